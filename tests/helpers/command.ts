import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join, sep } from 'node:path'
import { afterEach } from 'vitest'
import { holdLock } from '../../lib/cli/lock'

const ROOT = join(__dirname, '../..')
export const BIN = join(ROOT, 'dist/cli/bin.js')
const PROJECTS = join(ROOT, 'tests/fixtures/cli')

export interface Run {
  readonly code: number | null
  readonly stdout: string
  readonly stderr: string
}

/** Compiles `dist` unless it is newer than all of `lib`; several test files may ask at once. */
export function buildCommand(): void {
  const release = holdLock(join(tmpdir(), 'cardwright-test-build'), 120_000)
  try {
    const built = join(ROOT, 'dist/.tsbuildinfo')
    if (newest(join(ROOT, 'lib')) < timeOf(built)) return
    const { status, stdout } = spawnSync('npx', ['tsc', '-p', 'tsconfig.build.json'], { cwd: ROOT, encoding: 'utf8' })
    if (status !== 0) throw new Error(`lib does not compile:\n${stdout}`)
    // The compiler leaves the file alone when nothing but times has changed.
    utimesSync(built, new Date(), new Date())
  } finally {
    release()
  }
}

/** Runs the real command in a process of its own, as at a prompt whose output is piped. */
export function cardwright(cwd: string, words: readonly string[], options: RunOptions = {}): Run {
  const { status, stdout, stderr } = spawnSync(process.execPath, [BIN, ...words], {
    cwd,
    encoding: 'utf8',
    env: { ...process.env, NO_COLOR: '', ...options.env },
    ...(options.uid !== undefined && { uid: options.uid, gid: options.uid }),
  })
  return { code: status, stdout, stderr }
}

/**
 * Runs the built command inside this process: a tenth of the time, for tests of what a command answers. What it says of
 * its process (exit, signals, closed pipes) is for {@link cardwright}.
 */
export async function cardwrightHere(cwd: string, words: readonly string[]): Promise<Run> {
  const { main } = require(join(ROOT, 'dist/cli/main.js')) as typeof import('../../lib/cli/main')
  const before = { cwd: process.cwd(), console: globalThis.console, NO_COLOR: process.env['NO_COLOR'] }
  const emitter: NodeJS.EventEmitter = process
  const strays = ['uncaughtException', 'unhandledRejection'].map((name) => [name, emitter.listeners(name)] as const)
  const closed = process.stdout.listeners('error')
  const [out, err] = [caught(process.stdout), caught(process.stderr)]
  try {
    process.chdir(cwd)
    forgetBelow(process.cwd())
    process.env['NO_COLOR'] = ''
    return { code: await main(words), stdout: out.text(), stderr: err.text() }
  } finally {
    for (const stream of [out, err]) stream.release()
    process.chdir(before.cwd)
    globalThis.console = before.console
    if (before.NO_COLOR === undefined) delete process.env['NO_COLOR']
    else process.env['NO_COLOR'] = before.NO_COLOR
    for (const [name, listeners] of strays) dropOthers(emitter, name, listeners)
    dropOthers(process.stdout, 'error', closed)
  }
}

/** An author's files as they are now, not as an earlier command of this process has read them. */
function forgetBelow(folder: string): void {
  for (const file of Object.keys(require.cache)) if (file.startsWith(folder + sep)) delete require.cache[file]
}

/** Keeps what is written to a stream from it, until released. */
function caught(stream: NodeJS.WriteStream): { text: () => string; release: () => void } {
  let text = ''
  const write = stream.write
  stream.write = (chunk: string | Uint8Array) => {
    text += typeof chunk === 'string' ? chunk : Buffer.from(chunk).toString('utf8')
    return true
  }
  return { text: () => text, release: () => void (stream.write = write) }
}

function dropOthers(emitter: NodeJS.EventEmitter, name: string, kept: readonly unknown[]): void {
  for (const listener of emitter.listeners(name)) {
    if (!kept.includes(listener)) emitter.off(name, listener as (...values: unknown[]) => void)
  }
}

export interface RunOptions {
  readonly env?: Readonly<Record<string, string>>
  readonly uid?: number
}

export function startCardwright(cwd: string, words: readonly string[]): ChildProcess {
  return spawn(process.execPath, [BIN, ...words], { cwd, env: { ...process.env, NO_COLOR: '' } })
}

/** A copy of a project in `tests/fixtures/cli`, to be written to; gone after the test. */
export function project(name: string): string {
  const folder = emptyFolder()
  cpSync(join(PROJECTS, name), folder, { recursive: true })
  return folder
}

/** The same, until it is removed: for what several tests look at. */
export function keptProject(name: string): { folder: string; remove: () => void } {
  const folder = mkdtempSync(join(tmpdir(), 'cardwright-'))
  cpSync(join(PROJECTS, name), folder, { recursive: true })
  return { folder, remove: () => rmSync(folder, { recursive: true, force: true }) }
}

/** Gives a copied project the packages of this checkout, for tests that need Node's types. */
export function withPackages(folder: string): string {
  mkdirSync(join(folder, 'node_modules'))
  symlinkSync(join(ROOT, 'node_modules/@types'), join(folder, 'node_modules/@types'))
  return folder
}

const made: string[] = []

export function emptyFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'cardwright-'))
  made.push(folder)
  return folder
}

afterEach(() => {
  for (const folder of made.splice(0)) rmSync(folder, { recursive: true, force: true })
})

/** Every file below the folder with its text, by path. */
export function contents(folder: string, prefix = ''): Record<string, string> {
  const found: Record<string, string> = {}
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const [path, name] = [join(folder, entry.name), `${prefix}${entry.name}`]
    if (entry.isDirectory()) Object.assign(found, contents(path, `${name}/`))
    else found[name] = readFileSync(path, 'utf8')
  }
  return found
}

function newest(folder: string): number {
  const times = readdirSync(folder, { withFileTypes: true, recursive: true }).map((entry) =>
    timeOf(join(entry.parentPath, entry.name)),
  )
  return Math.max(...times)
}

function timeOf(path: string): number {
  try {
    return statSync(path).mtimeMs
  } catch {
    return 0
  }
}
