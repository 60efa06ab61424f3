import { admit, firstWholeSheet } from './admit'
import type { NestPiece, NestRequest, NestResult, NestStrategy, Placement } from './nest'
import { nestShapes } from './strategy/shape'
import { faultText, verifyLayout } from './verify'

/** The way of nesting that a build uses; everything else goes through {@link nest}. */
const strategy: NestStrategy = nestShapes

/**
 * Nests the pieces on as few sheets as the strategy can, and hands out no layout that the exact test finds fault
 * with. A placement to be kept that no longer holds (turn not offered any more, the piece outside the area or too
 * near another) is given up, and its piece placed anew.
 * @throws Error if the layout fails the exact test: the strategy is wrong, not the request
 */
export function nest(request: NestRequest): NestResult {
  const keep = tenable(request)
  if (keep.length === request.pieces.length) return keptWhole(request, keep)
  const result = strategy({ ...request, keep })
  const faults = verifyLayout(request, result)
  if (faults.length > 0) throw new Error(`layout refused: ${faults.slice(0, 3).map(faultText).join('; ')}`)
  return result
}

/** Nothing to place: `tenable` has put all of it to the test. */
function keptWhole({ pieces }: NestRequest, keep: readonly Placement[]): NestResult {
  const places = new Map(keep.map((placement) => [placement.id, placement]))
  return {
    placements: pieces.map(({ id }) => places.get(id)!),
    unplaced: [],
    sheets: keep.reduce((most, { sheet }) => Math.max(most, sheet + 1), 0),
  }
}

/** The placements that can be kept: of two that are in each other's way the one that comes first. */
function tenable(request: NestRequest): Placement[] {
  const { kept } = admit(request)
  const standing = new Map<string, Standing>()
  const most = request.pieces.length + firstWholeSheet(request)
  for (const entry of kept) if (isSound(entry.placement, most)) standing.set(entry.piece.id, entry)
  const order = new Map([...standing.keys()].map((id, index) => [id, index]))
  // With one gone, others that lay edge to edge with it may be too near each other: so it is asked again.
  while (dropFaulty(request, standing, order));
  return [...standing.values()].map(({ placement }) => placement)
}

interface Standing {
  readonly piece: NestPiece
  readonly placement: Placement
}

/** @returns whether there were any */
function dropFaulty(request: NestRequest, standing: Map<string, Standing>, order: ReadonlyMap<string, number>): boolean {
  const entries = [...standing.values()]
  const placements = entries.map(({ placement }) => placement)
  const sheets = placements.reduce((most, { sheet }) => Math.max(most, sheet + 1), 0)
  const alone = { ...request, pieces: entries.map(({ piece }) => piece) }
  const faults = verifyLayout(alone, { placements, unplaced: [], sheets })
  // Those at fault by themselves go first, so that they push no good neighbour out.
  for (const { id, other } of faults) if (other === undefined || other === 'used') standing.delete(id)
  for (const { id, other } of faults) {
    if (other === undefined || !standing.has(id) || !standing.has(other)) continue
    standing.delete(order.get(id)! > order.get(other)! ? id : other)
  }
  return faults.length > 0
}

function isSound({ sheet, x, y, turn }: Placement, sheets: number): boolean {
  return Number.isInteger(sheet) && sheet >= 0 && sheet < sheets && [x, y, turn].every(Number.isFinite)
}
