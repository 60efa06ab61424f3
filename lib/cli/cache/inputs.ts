import { join } from 'node:path'
import { PRINTERS_FILE } from '../../sheet/printersFile'
import type { OptionName, OptionValues } from '../options'
import type { ModelFile } from '../project'
import { STOCK_BOOK } from '../stockBook'
import { fileDigest } from './stands'

/**
 * All that a build's result depends on and that is known before anything is loaded. What the model's files read is
 * noted when they are loaded; the program itself is in every key.
 *
 * An option counts unless it is listed here as one that does not. Where an option only names something (a file, a
 * revision), what it names must be added as well.
 */
export function buildInputs(file: ModelFile, { root, out, options, before }: Surroundings): Record<string, unknown> {
  const counting = Object.entries(options).filter(([name]) => !INDIFFERENT.has(name as OptionName))
  return {
    file,
    root,
    out,
    options: Object.fromEntries(counting.toSorted()),
    before,
    measured: fileDigest(join(root, STOCK_BOOK)),
    ...(options.printer !== undefined && { printers: fileDigest(join(root, PRINTERS_FILE)) }),
  }
}

export interface Surroundings {
  readonly root: string
  readonly out: string
  readonly options: OptionValues
  /** Digest of the manifest that the layout starts from; empty where it starts afresh. */
  readonly before: string
}

/** What options change only in how a result is told. */
const INDIFFERENT: ReadonlySet<OptionName> = new Set(['out', 'watch', 'json', 'types', 'cache', 'color', 'trace', 'help', 'version'])
