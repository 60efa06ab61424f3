import type { Placement } from '../nest/nest'
import type { Stock } from '../stock/card'
import type { Offcut } from '../stock/offcut'
import type { Manifest } from './manifest'

/**
 * Places of an earlier build that still hold, by stock: those of pieces whose fingerprint has not changed, on stocks
 * whose sheets and offcuts have not. A modeller who has cut half of a sheet finds the other half where it was.
 * @param offcuts of this build, by stock
 */
export function keptPlacements(
  before: Manifest,
  stocks: ReadonlyMap<string, Stock>,
  fingerprints: ReadonlyMap<string, string>,
  offcuts: ReadonlyMap<string, readonly Offcut[]> = NONE,
): Map<string, Placement[]> {
  const same = new Set(
    before.stocks
      .filter((stock) => sameSheet(stock, stocks.get(stock.id)) && sameOffcuts(stock.offcuts, offcuts.get(stock.id)))
      .map(({ id }) => id),
  )
  const kept = new Map<string, Placement[]>()
  for (const { mark, stock, fingerprint, placements } of before.pieces) {
    if (!same.has(stock) || fingerprints.get(mark) !== fingerprint) continue
    const list = kept.get(stock)
    if (list) list.push(...placements)
    else kept.set(stock, [...placements])
  }
  return kept
}

/** Offcuts of an earlier build, by stock, where its sheets are still the same. */
export function keptOffcuts(before: Manifest, stocks: ReadonlyMap<string, Stock>): Map<string, readonly Offcut[]> {
  return new Map(
    before.stocks.flatMap((stock): [string, readonly Offcut[]][] =>
      stock.offcuts && sameSheet(stock, stocks.get(stock.id)) ? [[stock.id, stock.offcuts]] : [],
    ),
  )
}

const NONE: ReadonlyMap<string, readonly Offcut[]> = new Map()

function sameOffcuts(before: readonly Offcut[] = [], now: readonly Offcut[] = []): boolean {
  return before.length === now.length && before.every((one, i) => sameOffcut(one, now[i]!))
}

function sameOffcut(a: Offcut, b: Offcut): boolean {
  const [theirs, ours] = [a.used ?? [], b.used ?? []]
  if (a.width !== b.width || a.height !== b.height || theirs.length !== ours.length) return false
  return theirs.every((one, i) => (['x', 'y', 'width', 'height'] as const).every((key) => one[key] === ours[i]![key]))
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
