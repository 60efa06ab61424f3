import type { Placement } from '../nest/nest'
import type { Stock } from '../stock/card'
import type { Manifest } from './manifest'

/**
 * Places of an earlier build that still hold, by stock: those of pieces whose fingerprint has not changed, on stocks
 * whose sheets have not. A modeller who has cut half of a sheet finds the other half where it was.
 */
export function keptPlacements(
  before: Manifest,
  stocks: ReadonlyMap<string, Stock>,
  fingerprints: ReadonlyMap<string, string>,
): Map<string, Placement[]> {
  const same = new Set(before.stocks.filter((stock) => sameSheet(stock, stocks.get(stock.id))).map(({ id }) => id))
  const kept = new Map<string, Placement[]>()
  for (const { mark, stock, fingerprint, placements } of before.pieces) {
    if (!same.has(stock) || fingerprints.get(mark) !== fingerprint) continue
    const list = kept.get(stock)
    if (list) list.push(...placements)
    else kept.set(stock, [...placements])
  }
  return kept
}

function sameSheet(before: Stock, now: Stock | undefined): boolean {
  return (
    now !== undefined &&
    before.grain === now.grain &&
    before.sheet.width === now.sheet.width &&
    before.sheet.height === now.sheet.height &&
    (['left', 'right', 'top', 'bottom'] as const).every((side) => before.margin[side] === now.margin[side])
  )
}
