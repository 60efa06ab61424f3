import fs from 'node:fs'
import { isBuiltin } from 'node:module'
import { resolve } from 'node:path'
import { fileURLToPath } from 'node:url'

/** What a module of the author's did with the world beside importing, as far as it can be followed. */
export interface Reading {
  /** Files read or looked for, absolute. */
  readonly files: Set<string>
  readonly folders: Set<string>
  /** Something was used whose results cannot be told again, such as the network or another program. */
  unfathomed: boolean
}

/**
 * Notes what authors' modules read, by module, so that a build that nothing has changed for can be told. Node's `fs` is
 * handed to them with its reading functions watched. A module that uses any other function of it, or a module of Node's
 * that reaches outside (`node:child_process`, `node:http`, …), counts as unfathomed. What cannot be seen are the clock,
 * `Math.random` and the environment: a model that asks those is not reproducible in any case.
 */
export interface AuthorsFs {
  /** What a `require` of this name in this module gives; undefined where Node's own way is right. */
  require(request: string, module: string): unknown
  /** What the modules did. */
  readingOf(modules: Iterable<string>): Reading
  forget(modules: Iterable<string>): void
}

export function createAuthorsFs(): AuthorsFs {
  const readings = new Map<string, Reading>()
  const watched = new Map<string, unknown>()
  const mine = (module: string): Reading => {
    let reading = readings.get(module)
    if (!reading) readings.set(module, (reading = noReading()))
    return reading
  }
  return {
    require(request, module) {
      if (!isBuiltin(request)) return undefined
      const name = request.replace(/^node:/, '')
      if (name === 'fs') {
        if (!watched.has(module)) watched.set(module, watchedFs(() => mine(module)))
        return watched.get(module)
      }
      if (!HARMLESS.has(name)) mine(module).unfathomed = true
      return undefined
    },
    readingOf(modules) {
      const all = noReading()
      for (const module of modules) {
        const { files, folders, unfathomed } = readings.get(module) ?? NONE
        for (const file of files) all.files.add(file)
        for (const folder of folders) all.folders.add(folder)
        all.unfathomed ||= unfathomed
      }
      return all
    },
    forget(modules) {
      for (const module of modules) readings.delete(module)
    },
  }
}

function noReading(): Reading {
  return { files: new Set(), folders: new Set(), unfathomed: false }
}

const NONE = noReading()

/** What gives the same for the same, and nothing of the world outside. */
const HARMLESS = new Set(
  'assert assert/strict buffer console events path path/posix path/win32 querystring string_decoder url util'.split(' '),
)

/** What is noted of a call, by the name of the function. */
const FILE_WORDS = new Set(['readFileSync', 'existsSync', 'statSync', 'lstatSync', 'accessSync', 'realpathSync'])
const FOLDER_WORDS = new Set(['readdirSync'])

function watchedFs(reading: () => Reading): unknown {
  const note = (name: string, [path, options]: unknown[]) => {
    const file = absolute(path)
    const deep = (options as { recursive?: boolean } | undefined)?.recursive === true
    if (file === undefined || deep) reading().unfathomed = true
    else if (FILE_WORDS.has(name)) reading().files.add(file)
    else if (FOLDER_WORDS.has(name)) reading().folders.add(file)
    else reading().unfathomed = true
  }
  const entries = Object.entries(fs).map(([name, value]) => [name, watchedFunction(name, value, note)])
  return Object.fromEntries(entries)
}

function watchedFunction(name: string, value: unknown, note: (name: string, words: unknown[]) => void): unknown {
  if (typeof value !== 'function') return value
  return new Proxy(value, {
    apply(target, self, words) {
      note(name, words)
      return Reflect.apply(target, self, words)
    },
    construct(target, words) {
      note(name, [])
      return Reflect.construct(target, words)
    },
  })
}

function absolute(path: unknown): string | undefined {
  if (typeof path === 'string') return resolve(path)
  if (Buffer.isBuffer(path)) return resolve(path.toString())
  if (path instanceof URL && path.protocol === 'file:') return fileURLToPath(path)
  return undefined
}
