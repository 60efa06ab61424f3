import type { Bounds } from '../shape/point'
import type { NestPiece, NestRequest, NestSheet, Placement, Unplaced } from './nest'
import { boundsOf, placeLoop, signedArea } from './turn'
import { TOLERANCE } from './verify'

/** A request sorted into what can be nested, what already has its place, and what cannot be nested and why. */
export interface Admitted {
  /** To be placed, in the order of the request. */
  readonly pieces: readonly NestPiece[]
  readonly kept: readonly { readonly piece: NestPiece; readonly placement: Placement }[]
  readonly unplaced: readonly Unplaced[]
}

/**
 * Judges every piece by itself, so that one bad piece does not stop the others.
 * @throws RangeError for a gap that is negative or not a number
 */
export function admit(request: NestRequest): Admitted {
  if (!(request.gap >= 0)) throw new RangeError(`gap of ${request.gap} mm between pieces: it must be 0 or more`)
  const places = new Map((request.keep ?? []).map((placement) => [placement.id, placement]))
  const pieces: NestPiece[] = []
  const kept: { piece: NestPiece; placement: Placement }[] = []
  const unplaced: Unplaced[] = []
  for (const piece of request.pieces) {
    const refusal = refuse(piece, request)
    const placement = places.get(piece.id)
    if (refusal) unplaced.push(refusal)
    else if (placement) kept.push({ piece, placement })
    else pieces.push(piece)
  }
  return { pieces, kept, unplaced }
}

/** The card of a sheet number: offcuts first, then as many of the common sheet as are wanted. */
export function sheetAt(request: NestRequest, index: number): NestSheet {
  return request.offcuts?.[index] ?? request.sheet
}

/** The first sheet number that is a whole sheet rather than an offcut. */
export function firstWholeSheet(request: NestRequest): number {
  return request.offcuts?.length ?? 0
}

/** `too large` for the printable area of the common sheet, with the excess at the turn where it is least. */
export function tooLarge(piece: NestPiece, sheet: NestSheet): Unplaced {
  let best = { x: Infinity, y: Infinity }
  for (const turn of piece.turns) {
    const excess = excessOf(boundsOf(placeLoop(piece.outline, turn)), sheet)
    const worst = Math.max(excess.x, excess.y)
    const bestWorst = Math.max(best.x, best.y)
    if (worst < bestWorst || (worst === bestWorst && excess.x + excess.y < best.x + best.y)) best = excess
  }
  return { id: piece.id, reason: 'too large', excess: best }
}

function refuse(piece: NestPiece, request: NestRequest): Unplaced | undefined {
  if (isDegenerate(piece)) return { id: piece.id, reason: 'degenerate' }
  if (piece.turns.length === 0) return { id: piece.id, reason: 'no turn' }
  const sheets = [request.sheet, ...(request.offcuts ?? [])]
  if (!sheets.some((sheet) => fitsSomeTurn(piece, sheet))) return tooLarge(piece, request.sheet)
  const { minX, minY, maxX, maxY } = request.sheet.area
  const excess = { x: request.gap - (maxX - minX), y: request.gap - (maxY - minY) }
  if (excess.x > 0 && excess.y > 0) return { id: piece.id, reason: 'gap too large', excess }
  return undefined
}

/** No outline that encloses anything: too few points, not finite, or thinner all over than two positions can tell. */
function isDegenerate({ outline }: NestPiece): boolean {
  if (outline.length < 3 || outline.some(([x, y]) => !Number.isFinite(x) || !Number.isFinite(y))) return true
  const { minX, minY, maxX, maxY } = boundsOf(outline)
  return Math.abs(signedArea(outline)) <= TOLERANCE * Math.max(maxX - minX, maxY - minY)
}

function fitsSomeTurn(piece: NestPiece, sheet: NestSheet): boolean {
  return piece.turns.some((turn) => {
    const excess = excessOf(boundsOf(placeLoop(piece.outline, turn)), sheet)
    return excess.x === 0 && excess.y === 0
  })
}

function excessOf(box: Bounds, { area }: NestSheet): { x: number; y: number } {
  const x = box.maxX - box.minX - (area.maxX - area.minX)
  const y = box.maxY - box.minY - (area.maxY - area.minY)
  return { x: x > TOLERANCE / 2 ? x : 0, y: y > TOLERANCE / 2 ? y : 0 }
}
