import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Printer, readPrinters } from '../sheet/printers'
import { PRINTERS_FILE } from '../sheet/printersFile'

/** The project's printers, by name; none where none was calibrated. @throws FindingError for a file that is not one */
export function printersIn(root: string): Map<string, Printer> {
  const file = join(root, PRINTERS_FILE)
  return existsSync(file) ? readPrinters(readFileSync(file, 'utf8')) : new Map()
}
