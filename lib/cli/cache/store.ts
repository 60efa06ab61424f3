import { createHash, randomBytes } from 'node:crypto'
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'

/**
 * Results on disk by what they were made from, in `.cache/cardwright/` of a project. It may be deleted at any time, and
 * nothing but speed hangs on it: an entry that cannot be read, was cut off, or is not ours counts as not there, and one
 * that cannot be written is left out. Entries are written beside and renamed, so that two builds at once are safe.
 */
export interface Store {
  get(key: string): unknown
  /** `value` as JSON. */
  put(key: string, value: unknown): void
  /** Removes what was not used for longest until all fits into {@link MOST_BYTES}. */
  trim(): void
}

export const NO_STORE: Store = { get: () => undefined, put() {}, trim() {} }

/** Some builds of large models, or many of small ones. */
export const MOST_BYTES = 64 * 1024 * 1024

export function openStore(folder: string, most = MOST_BYTES): Store {
  let grown = false
  return {
    get(key) {
      const file = fileOf(folder, key)
      const value = read(file)
      if (value !== undefined) touch(file)
      return value
    },
    put(key, value) {
      grown = write(fileOf(folder, key), JSON.stringify(value)) || grown
    },
    trim() {
      if (grown) trimTo(folder, most)
      grown = false
    },
  }
}

/** Digest of text or bytes, as keys are made of. */
export function digest(content: string | Uint8Array): string {
  return createHash('sha256').update(content).digest('base64url')
}

function fileOf(folder: string, key: string): string {
  return join(folder, `${digest(key)}.json`)
}

/** The digest in front tells a whole entry from one that a crash or a full disk cut off. */
function read(file: string): unknown {
  try {
    const text = readFileSync(file, 'utf8')
    const end = text.indexOf('\n')
    const body = text.slice(end + 1)
    return digest(body) === text.slice(0, end) ? JSON.parse(body) : undefined
  } catch {
    return undefined
  }
}

function write(file: string, body: string): boolean {
  const draft = `${file}.${randomBytes(6).toString('hex')}.tmp`
  try {
    mkdirSync(dirname(file), { recursive: true })
    writeFileSync(draft, `${digest(body)}\n${body}`)
    renameSync(draft, file)
    return true
  } catch {
    remove(draft)
    return false
  }
}

function remove(file: string): void {
  try {
    rmSync(file, { force: true })
  } catch {
    // Where nothing could be written there is nothing to remove.
  }
}

function touch(file: string): void {
  try {
    utimesSync(file, new Date(), new Date())
  } catch {
    // Somebody else's project: then the entry only looks older than it is.
  }
}

function trimTo(folder: string, most: number): void {
  const entries = readdirSync(folder).flatMap((name) => {
    const file = join(folder, name)
    const stat = statSync(file, { throwIfNoEntry: false })
    return stat?.isFile() ? [{ file, size: stat.size, used: stat.mtimeMs }] : []
  })
  let size = entries.reduce((sum, entry) => sum + entry.size, 0)
  for (const entry of entries.toSorted((a, b) => a.used - b.used)) {
    if (size <= most) return
    rmSync(entry.file, { force: true })
    size -= entry.size
  }
}
