import { readFileSync, readdirSync } from 'node:fs'
import { basename, dirname, join, relative, sep } from 'node:path'
import { FindingError, type Site } from '../finding/finding'
import { nearestName } from '../finding/nearest'
import { isModelDefinition, type ModelDefinition } from '../model/define'
import { filesBelow, forgetFiles, type Running, runFile, sourceBelow, type SourceFiles } from './nodeLoader'
import { thrownFinding } from './problem'
import { placeOf, syntaxError, TranspileError } from './transpile'

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
  /** All that a loaded file stands on. */
  sourceOf(file: string): SourceFiles
  /** Forgets these files and all that import them, so that the next load reads them again. */
  forget(files: Iterable<string>): void
}

export function createLoader({ root, timeLimit }: LoaderOptions): Loader {
  const loadedFrom = new Map<string, Set<string>>()
  return {
    load(file) {
      const running: Running = { files: new Set([file]), current: file }
      loadedFrom.set(file, running.files)
      try {
        const exported = runFile(file, timeLimit, running)
        if (exported === 'timeout') throw stuck(running.current, timeLimit)
        return definitionOf(exported.value, file)
      } catch (error) {
        throw loadError(error, file)
      } finally {
        for (const path of filesBelow(file, root)) running.files.add(path)
      }
    },
    filesOf: (file) => loadedFrom.get(file) ?? new Set([file]),
    sourceOf: sourceBelow,
    forget: (files) => forgetFiles(files, root),
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
  if (error instanceof TranspileError) return syntaxError(error)
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
  const others = namesIn(dirname(wanted)).filter((name) => join(dirname(wanted), name) !== importer.replace(/\.ts$/, ''))
  const near = nearestName(basename(wanted).replace(/\.(ts|js)$/, ''), others)
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
