import { readFileSync } from 'node:fs'
import Module from 'node:module'
import { dirname, join, sep } from 'node:path'
import { type AuthorsFs, createAuthorsFs } from './cache/authorsFs'
import { guarded } from '../model/guard'
import { prepareTranspiler, transpile } from './transpile'

/* oxlint-disable no-underscore-dangle -- Node's own names */

/** What is being loaded now, for the hooks, which Node calls without saying on whose behalf. */
export interface Running {
  /** Every file that was read. */
  readonly files: Set<string>
  /** The file whose code is running. */
  current: string
}

/**
 * Runs an author's file by Node's own `require`, taught TypeScript and that `cardwright` means this running copy.
 * What it has read is in `running` whatever happens.
 */
export function runFile(
  file: string,
  timeLimit: number,
  running: Running,
): { value: { readonly default?: unknown } } | 'timeout' {
  installHooks()
  now = running
  try {
    return guarded(timeLimit, () => require(file) as { default?: unknown })
  } finally {
    now = undefined
  }
}

/** The author's files that a loaded one stands on, itself among them. */
export function filesBelow(file: string, root: string): Set<string> {
  return new Set([...modulesBelow(file)].filter((path) => isAuthors(path, root)))
}

function modulesBelow(file: string): Set<string> {
  const children = (path: string) => require.cache[path]?.children.map(({ filename }) => filename) ?? []
  return spread([file], (path) => children(path).filter((child) => !child.startsWith(OWN_FOLDER + sep)))
}

function packageOf(file: string): string | undefined {
  return /^.*[\\/]node_modules[\\/](?:@[^\\/]+[\\/])?[^\\/]+[\\/]/.exec(file)?.[0].concat('package.json')
}

/** All that a loaded file stands on, as far as it can be told. */
export interface SourceFiles {
  readonly files: ReadonlySet<string>
  /** Folders whose names may decide which file an import finds, or that were listed. */
  readonly folders: ReadonlySet<string>
  /** Whether that is all: nothing was asked of other programs, the network or the like. */
  readonly fathomed: boolean
}

/** Of a package from `node_modules` its `package.json` stands for the whole. */
export function sourceBelow(file: string): SourceFiles {
  const modules = modulesBelow(file)
  const { files, folders, unfathomed } = authorsFs.readingOf(modules)
  for (const path of modules) {
    const manifest = packageOf(path)
    files.add(manifest ?? path)
    if (manifest === undefined) for (const folder of [dirname(path), dirname(dirname(path))]) folders.add(folder)
  }
  return { files, folders, fathomed: !unfathomed }
}

/** Forgets files and all of the author's that import them, so that they are read again. */
export function forgetFiles(files: Iterable<string>, root: string): void {
  const importers = new Map<string, string[]>()
  for (const module of Object.values(require.cache)) {
    if (!module || !isAuthors(module.filename, root)) continue
    for (const { filename } of module.children) {
      importers.set(filename, [...(importers.get(filename) ?? []), module.filename])
    }
  }
  const forgotten = spread(files, (path) => importers.get(path) ?? [])
  authorsFs.forget(forgotten)
  for (const file of forgotten) delete require.cache[file]
  for (const [request, file] of Object.entries(internals._pathCache)) {
    // Node remembers where a file was even after it has gone.
    if (forgotten.has(file)) delete internals._pathCache[request]
  }
}

/** This copy of the package, built: `dist`. */
const OWN_FOLDER = dirname(__dirname)
const OWN_INDEX = join(OWN_FOLDER, 'index.js')

let now: Running | undefined

interface NodeModule extends NodeJS.Module {
  _compile(code: string, file: string): void
}

/** The parts of Node's module loader that its types leave out; all have been stable since Node 4. */
const internals = Module as unknown as {
  readonly _pathCache: Record<string, string>
  _extensions: Record<string, (module: NodeModule, file: string) => void>
  _load(request: string, parent: NodeModule | undefined, ...rest: unknown[]): unknown
  _resolveFilename(request: string, parent: NodeModule | undefined, ...rest: unknown[]): string
}

let hooked = false
const authorsFs: AuthorsFs = createAuthorsFs()

function installHooks(): void {
  if (hooked) return
  hooked = true
  // What is ours to load must not count against the author's time.
  prepareTranspiler()
  require(OWN_INDEX)
  internals._extensions['.ts'] = (module, file) => {
    const before = now?.current
    now?.files.add(file)
    if (now) now.current = file
    module._compile(transpile(readFileSync(file, 'utf8'), file), file)
    if (now && before !== undefined) now.current = before
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
  const load = internals._load
  internals._load = (request, parent, ...rest) => {
    const own = parent && isRunByUs(parent) ? authorsFs.require(request, parent.filename) : undefined
    return own ?? load.call(Module, request, parent, ...rest)
  }
}

/** Whether a module is the author's or one that the author's import: then this file has begun it, and no other of ours. */
function isRunByUs(module: NodeModule): boolean {
  const { parent, filename } = module
  if (!parent || filename.startsWith(OWN_FOLDER + sep)) return false
  return parent.filename === __filename || isRunByUs(parent as NodeModule)
}

function isAuthors(file: string, root: string): boolean {
  return file.startsWith(root + sep) && !file.startsWith(OWN_FOLDER + sep) && !file.includes(`${sep}node_modules${sep}`)
}

/** The files given and all that can be reached from them. */
function spread(from: Iterable<string>, next: (file: string) => readonly string[]): Set<string> {
  const found = new Set<string>()
  const waiting = [...from]
  for (let file = waiting.pop(); file !== undefined; file = waiting.pop()) {
    if (found.has(file)) continue
    found.add(file)
    waiting.push(...next(file))
  }
  return found
}
