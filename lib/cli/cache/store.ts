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
  getBytes(key: string): Uint8Array | undefined
  putBytes(key: string, bytes: Uint8Array): void
  /** Removes what was not used for longest until all fits into {@link MOST_BYTES}. */
  trim(): void
}

export const NO_STORE: Store = {
  get: () => undefined,
  put() {},
  getBytes: () => undefined,
  putBytes() {},
  trim() {},
}

/** Some builds of large models, or many of small ones. */
export const MOST_BYTES = 64 * 1024 * 1024

export function openStore(folder: string, most = MOST_BYTES): Store {
  let grown = false
  const store: Store = {
    get(key) {
      const bytes = store.getBytes(key)
      return bytes && JSON.parse(Buffer.from(bytes).toString('utf8'))
    },
    put(key, value) {
      store.putBytes(key, Buffer.from(JSON.stringify(value)))
    },
    getBytes(key) {
      const file = fileOf(folder, key)
      const bytes = read(file)
      if (bytes) touch(file)
      return bytes
    },
    putBytes(key, bytes) {
      // One entry that takes most of the room would put all others out.
      if (bytes.length <= most / 2) grown = write(fileOf(folder, key), bytes) || grown
    },
    trim() {
      if (grown) trimTo(folder, most)
      grown = false
    },
  }
  return store
}

/** Digest of text or bytes, as keys are made of. */
export function digest(content: string | Uint8Array): string {
  return createHash('sha256').update(content).digest('base64url')
}

function fileOf(folder: string, key: string): string {
  return join(folder, digest(key))
}

/** The digest in front tells a whole entry from one that a crash or a full disk cut off. */
function read(file: string): Buffer | undefined {
  try {
    const bytes = readFileSync(file)
    const end = bytes.indexOf(NEWLINE)
    const body = bytes.subarray(end + 1)
    return digest(body) === bytes.toString('latin1', 0, end) ? body : undefined
  } catch {
    return undefined
  }
}

const NEWLINE = 10

function write(file: string, body: Uint8Array): boolean {
  const draft = `${file}.${randomBytes(6).toString('hex')}.tmp`
  try {
    mkdirSync(dirname(file), { recursive: true })
    writeFileSync(draft, Buffer.concat([Buffer.from(`${digest(body)}\n`), body]))
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
