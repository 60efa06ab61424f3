import { readdirSync, readFileSync, statSync } from 'node:fs'
import { digest } from './store'

/** What a result stands on, on disk: files by their content, folders by the names in them. */
export interface Stands {
  /** Digest by absolute path; `ENOENT` for one whose absence counted. */
  readonly files: Readonly<Record<string, string>>
  readonly folders: Readonly<Record<string, string>>
}

export function standsOn(files: Iterable<string>, folders: Iterable<string>): Stands {
  return { files: digests(files, fileDigest), folders: digests(folders, folderDigest) }
}

/** Whether all is still as it was. */
export function stillStands({ files, folders }: Stands): boolean {
  return (
    Object.entries(folders).every(([path, was]) => folderDigest(path) === was) &&
    Object.entries(files).every(([path, was]) => fileDigest(path) === was)
  )
}

/**
 * Whether any file was changed after `moment` (ms since 1970): then what was read may be older than what is there now.
 * File systems keep time to some milliseconds only, so one changed just before counts as well.
 */
export function changedSince({ files }: Stands, moment: number): boolean {
  return Object.keys(files).some((path) => {
    const stat = statSync(path, { throwIfNoEntry: false })
    return stat !== undefined && stat.mtimeMs > moment - COARSE
  })
}

const COARSE = 20

export function fileDigest(path: string): string {
  try {
    return digest(readFileSync(path))
  } catch (error) {
    return unreadable(error)
  }
}

/** A new name in a folder may be one that an import finds first. */
function folderDigest(path: string): string {
  try {
    return digest(JSON.stringify(readdirSync(path).toSorted()))
  } catch (error) {
    return unreadable(error)
  }
}

function unreadable(error: unknown): string {
  return (error as NodeJS.ErrnoException).code ?? 'unreadable'
}

function digests(paths: Iterable<string>, digestOf: (path: string) => string): Record<string, string> {
  return Object.fromEntries([...new Set(paths)].toSorted().map((path) => [path, digestOf(path)]))
}
