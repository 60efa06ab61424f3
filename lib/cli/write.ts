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
import { FORMAT_FOLDERS, type SheetFile } from '../sheet/format'
import { fileDigest } from './cache/stands'
import { digest } from './cache/store'
import { holdLock } from './lock'

/** A file of a build; `path` below the model's output folder: `sheets/folder-01.svg`, `manifest.json`. */
export type OutFile = SheetFile

/** What tells a file of a build from another: its path and the digest of its bytes. */
export interface FileDigest {
  readonly path: string
  readonly digest: string
}

export function digestsOf(files: readonly OutFile[]): FileDigest[] {
  return files.map(({ path, content }) => ({ path, digest: digest(content) }))
}

/**
 * Replaces what is ours in a model's output folder by this build: `sheets/`, the folders of the other formats and
 * `manifest.json`, all or none. Everything else in the folder is the author's and stays, as does any file in our folders
 * of a kind that we do not write there.
 *
 * A format that was not asked for this time is left alone as long as the sheets are the same; once they are not, its
 * files go, since they show what is no longer built.
 *
 * No file system call of Node's swaps two folders at once, so the swap is journalled, all of it in `.building/`:
 *
 * 1. the build is written to `.building/next`, files that have not changed as links to the old ones;
 * 2. `next` is renamed to `ready`: from here on the new build counts, before it the old one does;
 * 3. folder by folder the old one goes to `.building/old` and the new one comes out of `ready`, `manifest.json` last;
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
  // A model's patch sheets are a build of their own in its folder.
  const folders = readdirSync(out).flatMap((name) => [join(out, name), join(out, name, 'patch')])
  for (const folder of folders) {
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
const MANIFEST = 'manifest.json'

interface Folder {
  readonly folder: string
  /** What in it is ours to remove. */
  readonly extension: string
}

const FOLDERS: readonly Folder[] = Object.values(FORMAT_FOLDERS)
const [SHEETS] = FOLDERS as [Folder]

/** Whether the folder holds this build, and no other file of ours in the folders that this build has files for. */
export function isSame(folder: string, files: readonly OutFile[]): boolean {
  return hasNoOthers(folder, files) && hasAll(folder, files)
}

function hasAll(folder: string, files: readonly OutFile[]): boolean {
  return files.every(({ path, content }) => bytesAt(join(folder, path))?.equals(bytes(content)))
}

function hasNoOthers(folder: string, files: readonly Named[]): boolean {
  const asked = FOLDERS.filter((one) => filesIn(one, files).length > 0)
  const wanted = new Set(files.map(({ path }) => path))
  return [SHEETS, ...asked].every((one) =>
    oursIn(folder, one).every((name) => wanted.has(`${one.folder}/${name}`)),
  )
}

type Named = Pick<OutFile, 'path'>

function filesIn({ folder }: Folder, files: readonly Named[]): Named[] {
  return files.filter(({ path }) => path.startsWith(`${folder}/`))
}

/** The same by digests, for a build whose texts are not at hand. */
export function holdsBuild(folder: string, files: readonly FileDigest[]): boolean {
  return hasNoOthers(folder, files) && files.every(({ path, digest }) => fileDigest(join(folder, path)) === digest)
}

function writeNext(folder: string, files: readonly OutFile[]): void {
  const next = join(folder, JOURNAL, 'next')
  rmSync(next, { recursive: true, force: true })
  for (const { folder: name, extension } of foldersToReplace(folder, files)) {
    mkdirSync(join(next, name), { recursive: true })
    for (const theirs of namesIn(join(folder, name)).filter((one) => extname(one) !== extension)) {
      const [from, to] = [join(folder, name, theirs), join(next, name, theirs)]
      if (!linked(from, to)) cpSync(from, to, { recursive: true })
    }
  }
  for (const { path, content } of files) {
    const old = join(folder, path)
    if (bytesAt(old)?.equals(bytes(content)) && linked(old, join(next, path))) continue
    mkdirSync(dirname(join(next, path)), { recursive: true })
    writeFileSync(join(next, path), content)
  }
}

/** Those that this build has files for, and those whose files are of sheets that will no longer be there. */
function foldersToReplace(folder: string, files: readonly OutFile[]): Folder[] {
  const sheets = files.filter(({ path }) => path === MANIFEST || path.startsWith(`${SHEETS.folder}/`))
  const stale = !isSame(folder, sheets)
  return FOLDERS.filter(
    (one) => one === SHEETS || filesIn(one, files).length > 0 || (stale && oursIn(folder, one).length > 0),
  )
}

/** Swaps in what is ready, from wherever an earlier attempt stopped. The manifest comes last, since it speaks for the rest. */
function finish(folder: string): void {
  const journal = join(folder, JOURNAL)
  const [ready, old] = [join(journal, 'ready'), join(journal, 'old')]
  for (const { folder: entry } of FOLDERS) {
    if (!existsSync(join(ready, entry))) continue
    if (existsSync(join(folder, entry))) {
      rmSync(join(old, entry), { recursive: true, force: true })
      mkdirSync(old, { recursive: true })
      renameSync(join(folder, entry), join(old, entry))
    }
    if (namesIn(join(ready, entry)).length > 0) renameSync(join(ready, entry), join(folder, entry))
  }
  if (existsSync(join(ready, MANIFEST))) renameSync(join(ready, MANIFEST), join(folder, MANIFEST))
  rmSync(ready, { recursive: true, force: true })
  rmSync(old, { recursive: true, force: true })
}

function oursIn(folder: string, one: Folder): string[] {
  return namesIn(join(folder, one.folder)).filter((name) => extname(name) === one.extension)
}

function namesIn(folder: string): string[] {
  return existsSync(folder) ? readdirSync(folder) : []
}

function isFolder(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isDirectory() === true
}

function bytesAt(file: string): Buffer | undefined {
  try {
    return readFileSync(file)
  } catch {
    return undefined
  }
}

function bytes(content: OutFile['content']): Uint8Array {
  return typeof content === 'string' ? Buffer.from(content) : content
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

/** An error of the file system as a finding, with what to do about it; any other error as it is. */
export function writeError(folder: string, error: unknown, kept = 'the sheets that were there are untouched'): unknown {
  const { code = '', path = '' } = error as NodeJS.ErrnoException
  const reason = REASONS[code]
  if (!reason) return error
  const [why, remedy] = reason
  const aside = path.includes(JOURNAL) || path.startsWith(`${folder}.`)
  const place = path === '' || aside ? folder : path
  return new FindingError(
    {
      id: 'write',
      severity: 'error',
      text: `${relative(process.cwd(), place) || place} could not be written: ${why} (${code})`,
      remedy: `${remedy}; ${kept}`,
    },
    { cause: error },
  )
}

/** The same for a file that was asked for by an option, which says what to do. */
export function unwritten(what: string, error: unknown, remedy: string): unknown {
  const cause = ((error as Error).cause ?? error) as NodeJS.ErrnoException
  if (cause.code === undefined) return error
  const why = cause.code === 'ENOENT' ? 'there is no such folder' : (REASONS[cause.code]?.[0] ?? cause.message)
  const text = `${what} could not be written: ${why} (${cause.code})`
  return new FindingError({ id: 'write', severity: 'error', text, remedy }, { cause: error })
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
