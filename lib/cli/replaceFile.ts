import { existsSync, mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { dirname } from 'node:path'
import { writeError } from './write'

/**
 * Writes a file whole or not at all: aside first, then in place of the old one.
 *
 * @throws FindingError where it cannot be written; the old one is untouched
 */
export function replaceFile(file: string, content: string | Uint8Array): void {
  const aside = `${file}.${process.pid}.part`
  try {
    mkdirSync(dirname(file), { recursive: true })
    writeFileSync(aside, content)
    renameSync(aside, file)
  } catch (error) {
    if (existsSync(aside)) rmSync(aside)
    throw writeError(file, error, 'what was there is untouched')
  }
}
