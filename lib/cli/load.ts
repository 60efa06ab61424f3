import { readFileSync, readdirSync } from 'node:fs'
import Module from 'node:module'
import { basename, dirname, join, relative, sep } from 'node:path'
import { FindingError, type Site } from '../finding/finding'
import { nearestName } from '../finding/nearest'
import { isModelDefinition, type ModelDefinition } from '../model/define'
import { guarded } from '../model/guard'
import { thrownFinding } from './problem'
import { placeOf, prepareTranspiler, transpile } from './transpile'

export interface LoaderOptions {
  /** The author's project: files outside it, and its node_modules, are never read again. */
  readonly root: string
  /** Longest a file may take to run, ms. */
  readonly timeLimit: number
}

export interface Loader {
  /**
   * Runs an author's file and gives the model it exports, or undefined where it has no default export at all.
   *
   * @throws FindingError where it does not compile, does not run, or exports something else
   */
  load(file: string): ModelDefinition | undefined
  /** The author's files that the last load of this one went through, itself among them; also after a failure. */
  filesOf(file: string): ReadonlySet<string>
  /** Forgets these files and all that import them, so that the next load reads them again. */
  forget(files: Iterable<string>): void
}

/** Node's own module loader, taught TypeScript, with `cardwright` always meaning this running copy. */
export function createLoader({ root, timeLimit }: LoaderOptions): Loader {
  const loadedFrom = new Map<string, Set<string>>()
  const isAuthors = (file: string) =>
    file.startsWith(root + sep) && !file.startsWith(OWN_FOLDER + sep) && !file.includes(`${sep}node_modules${sep}`)
  installHooks()
  return {
    load(file) {
      const touched = new Set([file])
      loadedFrom.set(file, touched)
      running = { touched, current: file }
      try {
        const exported = guarded(timeLimit, () => require(file) as { default?: unknown })
        if (exported === 'timeout') throw stuck(running.current, timeLimit)
        return definitionOf(exported.value, file)
      } catch (error) {
        throw loadError(error, file)
      } finally {
        running = undefined
        for (const path of reachable(file)) if (isAuthors(path)) touched.add(path)
      }
    },
    filesOf: (file) => loadedFrom.get(file) ?? new Set([file]),
    forget(files) {
      const forgotten = dependents(files, isAuthors)
      for (const file of forgotten) delete require.cache[file]
      for (const [request, file] of Object.entries(internals._pathCache)) {
        // Node remembers where a file was even after it has gone.
        if (forgotten.has(file)) delete internals._pathCache[request]
      }
    },
  }
}

/** This copy of the package, built: `dist`. */
const OWN_FOLDER = dirname(__dirname)
const OWN_INDEX = join(OWN_FOLDER, 'index.js')

/** What is being loaded now, for the hooks, which Node calls without saying on whose behalf. */
let running: { readonly touched: Set<string>; current: string } | undefined

interface NodeModule extends NodeJS.Module {
  _compile(code: string, file: string): void
}

/* oxlint-disable no-underscore-dangle -- Node's own names */

/** The parts of Node's module loader that its types leave out; all have been stable since Node 4. */
const internals = Module as unknown as {
  readonly _pathCache: Record<string, string>
  _extensions: Record<string, (module: NodeModule, file: string) => void>
  _resolveFilename(request: string, parent: NodeModule | undefined, ...rest: unknown[]): string
}

let hooked = false

function installHooks(): void {
  if (hooked) return
  hooked = true
  // What is ours to load must not count against the author's time.
  prepareTranspiler()
  require(OWN_INDEX)
  internals._extensions['.ts'] = (module, file) => {
    running?.touched.add(file)
    const before = running?.current
    if (running) running.current = file
    module._compile(transpile(readFileSync(file, 'utf8'), file), file)
    if (running && before !== undefined) running.current = before
  }
  const resolve = internals._resolveFilename
  internals._resolveFilename = (request, parent, ...rest) => {
    if (request === 'cardwright') return OWN_INDEX
    try {
      return resolve.call(Module, request, parent, ...rest)
    } catch (error) {
      // `./wing.js` is how TypeScript wants `wing.ts` written in an ES module project.
      if (!/^\.\.?\/.*\.js$/.test(request)) throw error
      return resolve.call(Module, request.replace(/\.js$/, '.ts'), parent, ...rest)
    }
  }
}

function definitionOf(exported: { default?: unknown }, file: string): ModelDefinition | undefined {
  if (exported.default === undefined) return undefined
  if (isModelDefinition(exported.default)) return exported.default
  throw new FindingError({
    id: 'no-model',
    severity: 'error',
    text: `the default export is ${kindOf(exported.default)}, not a model`,
    remedy: "export default model('Title', { scale: '1:60' }, () => assembly(…))",
    site: exportSite(file),
  })
}

/** For a file that has to be a model and exports nothing. */
export function noModel(file: string): FindingError {
  return new FindingError({
    id: 'no-model',
    severity: 'error',
    text: 'the file exports no model',
    remedy: "end it with export default model('Title', { scale: '1:60' }, () => assembly(…))",
    site: { file, line: 1, column: 1 },
  })
}

function kindOf(value: unknown): string {
  if (value === null) return 'null'
  return typeof value === 'function' ? 'a function' : Array.isArray(value) ? 'a list' : `a ${typeof value}`
}

function exportSite(file: string): Site {
  const source = readFileSync(file, 'utf8')
  return { file, ...placeOf(source, Math.max(0, source.search(/^export default|^module\.exports|^export =/m))) }
}

function stuck(file: string, timeLimit: number): FindingError {
  return new FindingError({
    id: 'time-limit',
    severity: 'error',
    text: `the file did not come to an end within ${timeLimit / 1000} s of running`,
    remedy: 'look for a loop that never ends, or allow more with --time-limit',
    site: { file, line: 1, column: 1 },
  })
}

function loadError(error: unknown, entry: string): FindingError {
  if (error instanceof FindingError) return error
  const code = (error as NodeJS.ErrnoException | undefined)?.code
  if (code === 'MODULE_NOT_FOUND' || code === 'ERR_PACKAGE_PATH_NOT_EXPORTED') {
    const missing = missingImport(error as MissingModule)
    if (missing) return missing
  }
  return new FindingError(thrownFinding(error, entry), { cause: error })
}

interface MissingModule extends Error {
  readonly requireStack?: readonly string[]
}

function missingImport(error: MissingModule): FindingError | undefined {
  const importer = error.requireStack?.[0]
  const request = /Cannot find module '([^']+)'/.exec(error.message)?.[1]
  if (!importer || !request || !importer.endsWith('.ts')) return undefined
  const source = readFileSync(importer, 'utf8')
  const place = new RegExp(`(['"\`])${request.replace(/[.*+?^${}()|[\]\\/]/g, '\\$&')}\\1`).exec(source)
  return new FindingError(
    {
      id: 'missing-import',
      severity: 'error',
      text: `"${request}" was not found`,
      remedy: request.startsWith('.')
        ? nearFile(importer, request)
        : `install it with npm install ${request}, or take the import out`,
      site: { file: importer, ...placeOf(source, place?.index ?? 0) },
    },
    { cause: error },
  )
}

function nearFile(importer: string, request: string): string {
  const wanted = join(dirname(importer), request)
  const near = nearestName(basename(wanted).replace(/\.(ts|js)$/, ''), namesIn(dirname(wanted)))
  if (near === undefined) return 'make that file, or put the path right'
  const path = relative(dirname(importer), join(dirname(wanted), near))
    .split(sep)
    .join('/')
  return `did you mean "${path.startsWith('.') ? path : `./${path}`}"?`
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder).map((name) => name.replace(/(\.d)?\.(ts|js|json)$/, ''))
  } catch {
    return []
  }
}

function reachable(file: string): Set<string> {
  const found = new Set<string>()
  const waiting = [file]
  for (let path = waiting.pop(); path !== undefined; path = waiting.pop()) {
    if (found.has(path)) continue
    found.add(path)
    for (const child of require.cache[path]?.children ?? []) waiting.push(child.filename)
  }
  return found
}

/** The files given, and every cached author's file that stands on one of them. */
function dependents(files: Iterable<string>, isAuthors: (file: string) => boolean): Set<string> {
  const importers = new Map<string, string[]>()
  for (const module of Object.values(require.cache)) {
    if (!module || !isAuthors(module.filename)) continue
    for (const child of module.children) {
      importers.set(child.filename, [...(importers.get(child.filename) ?? []), module.filename])
    }
  }
  const found = new Set<string>()
  const waiting = [...files]
  for (let path = waiting.pop(); path !== undefined; path = waiting.pop()) {
    if (found.has(path)) continue
    found.add(path)
    waiting.push(...(importers.get(path) ?? []))
  }
  return found
}
