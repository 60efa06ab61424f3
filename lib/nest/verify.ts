import { compareText } from '../finding/finding'
import type { Part } from './near'
import { neighbourFaults } from './neighbours'
import type { NestPiece, NestRequest, NestResult, NestSheet, Placement } from './nest'
import { boundsOf, placeLoop } from './turn'

/**
 * How far a layout may stand from what was asked, mm: placements are written to 0.001 mm, so two pieces may come
 * nearer by as much and a piece may stand over the border by half of it. A hundredth of a knife line is 0.001 mm.
 */
export const TOLERANCE = 0.002

/** What is wrong with a layout. `found` and `wanted` in mm (degrees for a turn, pieces for a count). */
export interface LayoutFault {
  readonly kind: 'overlap' | 'gap' | 'outside' | 'turn' | 'count' | 'sheet'
  readonly id: string
  /** The other piece, or `used` where the sheet is used up. */
  readonly other?: string
  readonly sheet?: number
  readonly found: number
  readonly wanted: number
}

/**
 * Tests a layout by its true shapes and nothing of the search that made it: every piece once, offered turns only,
 * inside the printable area, no overlap with another piece or a used part of the sheet, and the gap kept to both.
 * A piece within an opening of another is right if the gap is kept there too. Where the request allows shared cuts, two
 * pieces may touch along a whole straight edge of both.
 * @param tolerance mm by which a distance may fall short
 * @returns the faults, by sheet and mark; an empty list is a layout that can be cut
 */
export function verifyLayout(request: NestRequest, result: NestResult, tolerance = TOLERANCE): LayoutFault[] {
  const pieces = new Map(request.pieces.map((piece) => [piece.id, piece]))
  const faults = countFaults(request, result)
  const sheets = new Map<number, Part[]>()
  for (const placement of result.placements) {
    const piece = pieces.get(placement.id)
    if (!piece) continue
    const { sheet } = placement
    if (!Number.isInteger(sheet) || sheet < 0 || sheet >= result.sheets) {
      faults.push({ kind: 'sheet', id: piece.id, found: sheet, wanted: result.sheets - 1 })
      continue
    }
    if (!piece.turns.includes(placement.turn)) {
      const wanted = piece.turns[0] ?? NaN
      faults.push({ kind: 'turn', id: piece.id, sheet, found: placement.turn, wanted })
    }
    const parts = sheets.get(sheet)
    if (parts) parts.push(placedPart(piece, placement))
    else sheets.set(sheet, [placedPart(piece, placement)])
  }
  for (const [index, parts] of sheets) {
    const sheet = request.offcuts?.[index] ?? request.sheet
    for (const part of parts) faults.push(...outsideFault(part, sheet, index, tolerance))
    const all = [...parts, ...usedParts(sheet)]
    faults.push(...neighbourFaults(all, index, { gap: request.gap, tolerance, shared: request.sharedCuts === true }))
  }
  return faults.toSorted((a, b) => (a.sheet ?? -1) - (b.sheet ?? -1) || compareText(a.id, b.id))
}

/** A fault in one line, for a message. */
export function faultText(fault: LayoutFault): string {
  const where = fault.sheet === undefined ? '' : ` on sheet ${fault.sheet + 1}`
  const pair = fault.other === undefined ? fault.id : `${fault.id} and ${fault.other}`
  return `${fault.kind}: ${pair}${where}, found ${+fault.found.toFixed(4)}, wanted ${+fault.wanted.toFixed(4)}`
}

function countFaults(request: NestRequest, result: NestResult): LayoutFault[] {
  const counts = new Map<string, number>()
  for (const { id } of [...result.placements, ...result.unplaced]) counts.set(id, (counts.get(id) ?? 0) + 1)
  const faults: LayoutFault[] = []
  for (const { id } of request.pieces) {
    const found = counts.get(id) ?? 0
    if (found !== 1) faults.push({ kind: 'count', id, found, wanted: 1 })
    counts.delete(id)
  }
  for (const [id, found] of counts) faults.push({ kind: 'count', id, found, wanted: 0 })
  return faults
}

/** A piece where a placement puts it. */
export function placedPart(piece: NestPiece, { turn, x, y }: Placement): Part {
  const outline = placeLoop(piece.outline, turn, x, y)
  const rings = [outline, ...piece.openings.map((loop) => placeLoop(loop, turn, x, y))]
  return { id: piece.id, rings, box: boundsOf(outline), fixed: false }
}

export function usedParts(sheet: NestSheet): Part[] {
  return (sheet.used ?? []).map((loop) => ({ id: 'used', rings: [loop], box: boundsOf(loop), fixed: true }))
}

function outsideFault(part: Part, { area }: NestSheet, sheet: number, tolerance: number): LayoutFault[] {
  const { minX, minY, maxX, maxY } = part.box
  const found = Math.max(area.minX - minX, area.minY - minY, maxX - area.maxX, maxY - area.maxY)
  // A place that is not a number has a box that is inside out.
  if (found <= tolerance && Number.isFinite(minX + minY)) return []
  return [{ kind: 'outside', id: part.id, sheet, found, wanted: 0 }]
}
