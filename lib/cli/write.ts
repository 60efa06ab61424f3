import {
  cpSync,
  existsSync,
  linkSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmdirSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { dirname, extname, join, relative } from 'node:path'
import { FindingError } from '../finding/finding'
import { holdLock } from './lock'

/** A file of a build; `path` below the model's output folder: `sheets/folder-1.svg`, `manifest.json`. */
export interface OutFile {
  readonly path: string
  readonly text: string
}

/**
 * Replaces what is ours in a model's output folder by this build: `sheets/` and `manifest.json`, both or neither.
 * Everything else in the folder is the author's and stays, as does any file in `sheets/` of a kind that we do not
 * write.
 *
 * No file system call of Node's swaps two folders at once, so the swap is journalled, all of it in `.building/`:
 *
 * 1. the build is written to `.building/next`, files that have not changed as links to the old ones;
 * 2. `next` is renamed to `ready`: from here on the new build counts, before it the old one does;
 * 3. the old `sheets/` goes to `.building/old`, then `sheets/` and `manifest.json` come out of `ready`: three renames;
 * 4. `.building` is removed.
 *
 * A full disk or a crash before 2 leaves the old build as it was. After a kill between 2 and 4 the next command, of
 * whatever kind, finishes 3 ({@link finishBuilds}). One process at a time is let in by a lock.
 *
 * @throws FindingError where the folder cannot be written or the disk is full
 */
export function writeBuild(folder: string, files: readonly OutFile[]): 'written' | 'unchanged' {
  const journal = join(folder, JOURNAL)
  try {
    mkdirSync(folder, { recursive: true })
    const release = holdLock(journal)
    try {
      finish(folder)
      if (isSame(folder, files)) return 'unchanged'
      writeNext(folder, files)
      renameSync(join(journal, 'next'), join(journal, 'ready'))
      finish(folder)
      return 'written'
    } finally {
      rmSync(join(journal, 'next'), { recursive: true, force: true })
      release()
    }
  } catch (error) {
    throw writeError(folder, error)
  } finally {
    removeIfEmpty(journal)
  }
}

/** Finishes the builds below an `out` folder that were complete when their process was killed. */
export function finishBuilds(out: string): void {
  if (!isFolder(out)) return
  for (const name of readdirSync(out)) {
    const folder = join(out, name)
    const journal = join(folder, JOURNAL)
    if (!existsSync(join(journal, 'ready'))) continue
    try {
      const release = holdLock(journal)
      finish(folder)
      release()
    } catch (error) {
      throw writeError(folder, error)
    } finally {
      removeIfEmpty(journal)
    }
  }
}

const JOURNAL = '.building'
const SHEETS = 'sheets'
/** What a build consists of, in the order it is swapped in: the manifest last, since it speaks for the rest. */
const ENTRIES = [SHEETS, 'manifest.json'] as const
/** What in `sheets/` is ours to remove. */
const SHEET_FORMATS = new Set(['.svg'])

/** Whether the folder holds this build and no other sheet of ours. */
export function isSame(folder: string, files: readonly OutFile[]): boolean {
  const sheets = oursIn(join(folder, SHEETS))
  const wanted = new Set(files.map(({ path }) => path))
  return (
    sheets.every((name) => wanted.has(`${SHEETS}/${name}`)) &&
    files.every(({ path, text }) => textAt(join(folder, path)) === text)
  )
}

function writeNext(folder: string, files: readonly OutFile[]): void {
  const next = join(folder, JOURNAL, 'next')
  rmSync(next, { recursive: true, force: true })
  mkdirSync(join(next, SHEETS), { recursive: true })
  for (const { path, text } of files) {
    const old = join(folder, path)
    if (textAt(old) === text && linked(old, join(next, path))) continue
    mkdirSync(dirname(join(next, path)), { recursive: true })
    writeFileSync(join(next, path), text)
  }
  for (const name of authorsIn(join(folder, SHEETS))) {
    const [from, to] = [join(folder, SHEETS, name), join(next, SHEETS, name)]
    if (!linked(from, to)) cpSync(from, to, { recursive: true })
  }
}

/** Swaps in what is ready, from wherever an earlier attempt stopped. */
function finish(folder: string): void {
  const journal = join(folder, JOURNAL)
  const [ready, old] = [join(journal, 'ready'), join(journal, 'old')]
  if (existsSync(ready)) {
    for (const entry of ENTRIES) {
      if (!existsSync(join(ready, entry))) continue
      if (entry === SHEETS && existsSync(join(folder, SHEETS))) {
        rmSync(old, { recursive: true, force: true })
        renameSync(join(folder, SHEETS), old)
      }
      renameSync(join(ready, entry), join(folder, entry))
    }
  }
  rmSync(ready, { recursive: true, force: true })
  rmSync(old, { recursive: true, force: true })
}

function oursIn(sheets: string): string[] {
  return namesIn(sheets).filter((name) => SHEET_FORMATS.has(extname(name)))
}

function authorsIn(sheets: string): string[] {
  return namesIn(sheets).filter((name) => !SHEET_FORMATS.has(extname(name)))
}

function namesIn(folder: string): string[] {
  return existsSync(folder) ? readdirSync(folder) : []
}

function isFolder(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isDirectory() === true
}

function textAt(file: string): string | undefined {
  try {
    return readFileSync(file, 'utf8')
  } catch {
    return undefined
  }
}

/** A hard link keeps an unchanged file's time and takes no space. Some file systems have none, and no folder has. */
function linked(from: string, to: string): boolean {
  try {
    linkSync(from, to)
    return true
  } catch {
    return false
  }
}

function removeIfEmpty(journal: string): void {
  try {
    rmdirSync(journal)
  } catch {
    // Another process is at work in it, or it never came to be.
  }
}

function writeError(folder: string, error: unknown): unknown {
  const { code = '', path = '' } = error as NodeJS.ErrnoException
  const reason = REASONS[code]
  if (!reason) return error
  const [why, remedy] = reason
  const place = path === '' || path.includes(JOURNAL) ? folder : path
  return new FindingError(
    {
      id: 'write',
      severity: 'error',
      text: `${relative(process.cwd(), place) || place} could not be written: ${why} (${code})`,
      remedy: `${remedy}; the sheets that were there are untouched`,
    },
    { cause: error },
  )
}

const REASONS: Readonly<Record<string, readonly [why: string, remedy: string]>> = {
  ENOSPC: ['the disk is full', 'free some space and build again'],
  EDQUOT: ['your share of the disk is used up', 'free some space and build again'],
  EACCES: ['you may not write there', 'change its permissions, or write elsewhere with --out'],
  EPERM: ['the system does not allow it', 'change its permissions, or write elsewhere with --out'],
  EROFS: ['the disk is read-only', 'write elsewhere with --out'],
  ENOTDIR: ['a file stands where a folder is needed', 'move that file, or write elsewhere with --out'],
  EEXIST: ['a file stands where a folder is needed', 'move that file, or write elsewhere with --out'],
  EISDIR: ['a folder stands where a file is needed', 'move that folder, or write elsewhere with --out'],
  ELOCKED: [
    'another build has been writing there for ten seconds',
    'wait for it to end, or delete .building there if none is running',
  ],
}
