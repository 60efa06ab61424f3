import { FindingError } from '../finding/finding'
import { callSite, resolveSite } from '../finding/site'
import { Length, mm } from '../length/length'

/**
 * Millimetres of a length that belongs to card or printer, and so must be written on the bench.
 *
 * @param what names the figure in the message: `stock "wing": thickness`
 * @throws FindingError for a full-size length, for one counted in plies, and for what is no length
 */
export function lengthOnCard(length: Length, what: string): number {
  if (!(length instanceof Length)) {
    throw stockError(`${what} is ${String(length)}, a length is meant`, 'write it as bench.mm(0.3) or bench.points(12)')
  }
  if (length.full !== 0) {
    throw stockError(`${what} is given at full size, card does not scale`, 'write it with bench: bench.mm(0.3)')
  }
  if (Object.values(length.plies).some((plies) => plies !== 0)) {
    throw stockError(`${what} is counted in plies of a stock`, 'write it in mm or points: bench.mm(0.3)')
  }
  return mm(length)
}

export function stockError(text: string, remedy: string, figures?: { found: number; wanted: number }): FindingError {
  const site = resolveSite(callSite())
  return new FindingError({ id: 'stock', severity: 'error', text, remedy, ...figures, ...(site && { site }) })
}
