import { closeSync, existsSync, fsyncSync, openSync, readFileSync, rmdirSync, writeSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { FindingError } from '../finding/finding'
import { entryId, type LogEntry, type Logbook, readLogbook, writeEntry } from '../revision/logbook'
import { type LoggedShape, type LoggedShapes, readShapes, writeShape } from '../revision/shapes'
import { holdLock } from './lock'

/** The logbook of a project as it is on disk, with the shapes its pieces were cut to. */
export interface ProjectLogbook extends Logbook {
  readonly shapes: LoggedShapes
}

/** Of all models of a project: beside its package.json, so that it is committed with them. */
export const LOGBOOK = 'logbook.jsonl'
const SHAPES = 'logbook.shapes.jsonl'

/**
 * What a project's logbook holds; nothing where there is none.
 *
 * @throws FindingError for a line that is not an entry, other than a torn one
 */
export function readProjectLogbook(root: string): ProjectLogbook {
  const book = readLogbook(textOf(join(root, LOGBOOK)), LOGBOOK)
  const { shapes, findings } = readShapes(textOf(join(root, SHAPES)), SHAPES)
  return { ...book, findings: [...book.findings, ...findings], shapes }
}

/** An entry, and the shapes of the pieces it is about. */
export interface NewEntry {
  readonly entry: LogEntry
  readonly shapes: readonly LoggedShape[]
}

/**
 * Adds an entry to a project's logbook. When this returns the entry is on the disk, and survives whatever happens to
 * the process or the machine; files are only ever added to, so that no crash can take an earlier entry away. What a
 * crash left torn stays, the entry starts a new line after it and says so.
 *
 * @param make given what is there, while no other process can add to it
 * @throws FindingError where the logbook cannot be read or written
 */
export function addEntry(root: string, make: (book: ProjectLogbook) => NewEntry): LogEntry {
  return locked(root, () => {
    const book = readProjectLogbook(root)
    const { entry, shapes } = make(book)
    const own = unlike(book.entries, book.tornAtEnd > 0 ? { ...entry, torn: book.tornAtEnd } : entry)
    const line = writeEntry(own)
    // A line that could not be read again would lock everybody out of the logbook.
    readLogbook(line, LOGBOOK)
    // Shapes first: one without an entry does no harm.
    const unknown = shapes.filter(({ fingerprint }) => !book.shapes.has(fingerprint))
    const once = [...new Map(unknown.map((shape) => [shape.fingerprint, shape])).values()]
    if (once.length > 0) append(join(root, SHAPES), once.map(writeShape).join(''))
    append(join(root, LOGBOOK), line)
    return own
  })
}

function textOf(file: string): string {
  return existsSync(file) ? readFileSync(file, 'utf8') : ''
}

/** Two entries that say the same are two entries. */
function unlike(entries: readonly LogEntry[], entry: LogEntry): LogEntry {
  const known = new Set(entries.map(entryId))
  let own = entry
  for (let again = 1; known.has(entryId(own)); again++) own = { ...entry, again }
  return own
}

function append(file: string, text: string): void {
  const isNew = !existsSync(file)
  const handle = openSync(file, 'a+')
  try {
    const bytes = Buffer.from(endsInLine(file) ? text : `\n${text}`)
    let written = 0
    while (written < bytes.length) written += writeSync(handle, bytes, written)
    fsyncSync(handle)
  } finally {
    closeSync(handle)
  }
  if (isNew) syncFolder(dirname(file))
}

function endsInLine(file: string): boolean {
  const bytes = readFileSync(file)
  return bytes.length === 0 || bytes.at(-1) === LINE_END
}

const LINE_END = 10

/** A new file is only there after a crash once its folder is on the disk too. Windows opens no folders. */
function syncFolder(folder: string): void {
  if (process.platform === 'win32') return
  const handle = openSync(folder, 'r')
  fsyncSync(handle)
  closeSync(handle)
}

function locked<T>(root: string, work: () => T): T {
  const folder = join(root, '.cache', 'logbook')
  try {
    const release = holdLock(folder, PATIENCE)
    try {
      return work()
    } finally {
      release()
    }
  } catch (error) {
    throw writeError(error)
  } finally {
    removeIfEmpty(folder)
  }
}

/** ms; many may be waiting, each for a slow disk. */
const PATIENCE = 60_000

function removeIfEmpty(folder: string): void {
  try {
    rmdirSync(folder)
    rmdirSync(dirname(folder))
  } catch {
    // Others are at work in it.
  }
}

function writeError(error: unknown): unknown {
  const { code = '' } = error as NodeJS.ErrnoException
  const reason = REASONS[code]
  if (!reason) return error
  const [why, remedy] = reason
  const text = `${LOGBOOK} could not be written: ${why} (${code})`
  return new FindingError(
    { id: 'write', severity: 'error', text, remedy: `${remedy}; nothing was entered` },
    { cause: error },
  )
}

const REASONS: Readonly<Record<string, readonly [why: string, remedy: string]>> = {
  ENOSPC: ['the disk is full', 'free some space and enter it again'],
  EDQUOT: ['your share of the disk is used up', 'free some space and enter it again'],
  EACCES: ['you may not write there', 'change its permissions and enter it again'],
  EPERM: ['the system does not allow it', 'change its permissions and enter it again'],
  EROFS: ['the disk is read-only', 'make it writable and enter it again'],
  EISDIR: ['a folder stands where the file is needed', 'move that folder and enter it again'],
  ELOCKED: [
    'other processes have been writing it for a minute',
    'wait for it to end, or delete .cache/logbook if none is running',
  ],
}
