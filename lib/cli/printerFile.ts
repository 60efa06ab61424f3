import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { FindingError } from '../finding/finding'
import { type Printer, readPrinters } from '../sheet/printers'
import { PRINTERS_FILE } from '../sheet/printersFile'
import { UsageError } from './usage'

/** The project's printers, by name; none where none was calibrated. @throws FindingError for a file that is not one */
export function printersIn(root: string): Map<string, Printer> {
  const file = join(root, PRINTERS_FILE)
  return existsSync(file) ? readPrinters(readFileSync(file, 'utf8')) : new Map()
}

/** What is wrong with what was typed, or with a file that was named by it, as wrong use of the command. */
export function asUsage<T>(work: () => T): T {
  try {
    return work()
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    throw new UsageError(error.finding.text, error.finding.remedy)
  }
}
