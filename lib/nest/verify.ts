import { Clipper, FillRule } from 'clipper2-ts'
import type { Bounds, Loop, Point } from '../shape/point'
import { compareText } from '../finding/finding'
import type { NestPiece, NestRequest, NestResult, NestSheet, Placement } from './nest'
import { boundsOf, placeLoop, signedArea } from './turn'

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
 * A piece within an opening of another is right if the gap is kept there too.
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
    faults.push(...neighbourFaults([...parts, ...usedParts(sheet)], index, request.gap, tolerance))
  }
  return faults.toSorted((a, b) => (a.sheet ?? -1) - (b.sheet ?? -1) || compareText(a.id, b.id))
}

/** A fault in one line, for a message. */
export function faultText(fault: LayoutFault): string {
  const where = fault.sheet === undefined ? '' : ` on sheet ${fault.sheet + 1}`
  const pair = fault.other === undefined ? fault.id : `${fault.id} and ${fault.other}`
  return `${fault.kind}: ${pair}${where}, found ${+fault.found.toFixed(4)}, wanted ${+fault.wanted.toFixed(4)}`
}

/** One placed piece, or a used part of the sheet. Inside is what an odd number of rings enclose. */
interface Part {
  readonly id: string
  readonly rings: readonly Loop[]
  readonly box: Bounds
  readonly fixed: boolean
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

function placedPart(piece: NestPiece, { turn, x, y }: Placement): Part {
  const outline = placeLoop(piece.outline, turn, x, y)
  const rings = [outline, ...piece.openings.map((loop) => placeLoop(loop, turn, x, y))]
  return { id: piece.id, rings, box: boundsOf(outline), fixed: false }
}

function usedParts(sheet: NestSheet): Part[] {
  return (sheet.used ?? []).map((loop) => ({ id: 'used', rings: [loop], box: boundsOf(loop), fixed: true }))
}

function outsideFault(part: Part, { area }: NestSheet, sheet: number, tolerance: number): LayoutFault[] {
  const { minX, minY, maxX, maxY } = part.box
  const found = Math.max(area.minX - minX, area.minY - minY, maxX - area.maxX, maxY - area.maxY)
  // A place that is not a number has a box that is inside out.
  if (found <= tolerance && Number.isFinite(minX + minY)) return []
  return [{ kind: 'outside', id: part.id, sheet, found, wanted: 0 }]
}

/** Sweeps the parts from left to right and tests those whose boxes come near each other. */
function neighbourFaults(parts: readonly Part[], sheet: number, gap: number, tolerance: number): LayoutFault[] {
  const faults: LayoutFault[] = []
  const sorted = parts.toSorted((a, b) => a.box.minX - b.box.minX || compareText(a.id, b.id))
  let open: Part[] = []
  for (const part of sorted) {
    open = open.filter((other) => other.box.maxX + gap > part.box.minX)
    for (const other of open) {
      if (part.fixed && other.fixed) continue
      if (other.box.maxY + gap <= part.box.minY || part.box.maxY + gap <= other.box.minY) continue
      const fault = pairFault(part, other, sheet, gap, tolerance)
      if (fault) faults.push(fault)
    }
    open.push(part)
  }
  return faults
}

function pairFault(a: Part, b: Part, sheet: number, gap: number, tolerance: number): LayoutFault | undefined {
  const [first, second] = a.fixed || (!b.fixed && compareText(a.id, b.id) > 0) ? [b, a] : [a, b]
  const names = { id: first.id, other: second.id, sheet }
  const distance = distanceBetween(a, b, Math.max(gap, tolerance))
  if (distance <= tolerance || contains(a, b.rings[0]![0]!) || contains(b, a.rings[0]![0]!)) {
    const depth = overlapDepth(a, b)
    if (depth > tolerance) return { kind: 'overlap', ...names, found: depth, wanted: 0 }
  }
  if (distance < gap - tolerance) return { kind: 'gap', ...names, found: distance, wanted: gap }
  return undefined
}

/** Least distance between the edges of two parts, 0 where edges cross; no more than `reach` is told. */
function distanceBetween(a: Part, b: Part, reach: number): number {
  const edgesA = edgesNear(a.rings, b.box, reach)
  const edgesB = edgesNear(b.rings, a.box, reach)
  let least = reach * reach
  for (let i = 0; i < edgesA.length; i += 4) {
    const ax = edgesA[i]!
    const ay = edgesA[i + 1]!
    const bx = edgesA[i + 2]!
    const by = edgesA[i + 3]!
    for (let j = 0; j < edgesB.length; j += 4) {
      const cx = edgesB[j]!
      const cy = edgesB[j + 1]!
      const dx = edgesB[j + 2]!
      const dy = edgesB[j + 3]!
      if (Math.min(ax, bx) - Math.max(cx, dx) >= reach || Math.min(cx, dx) - Math.max(ax, bx) >= reach) continue
      if (Math.min(ay, by) - Math.max(cy, dy) >= reach || Math.min(cy, dy) - Math.max(ay, by) >= reach) continue
      if (segmentsCross(ax, ay, bx, by, cx, cy, dx, dy)) return 0
      least = Math.min(
        least,
        pointToSegment(ax, ay, cx, cy, dx, dy),
        pointToSegment(bx, by, cx, cy, dx, dy),
        pointToSegment(cx, cy, ax, ay, bx, by),
        pointToSegment(dx, dy, ax, ay, bx, by),
      )
    }
  }
  return Math.sqrt(least)
}

/** Edges whose box comes within `reach` of the given box, as x, y, x, y in a row. */
function edgesNear(rings: readonly Loop[], box: Bounds, reach: number): number[] {
  const edges: number[] = []
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const from = ring[j]!
      const to = ring[i]!
      const ax = from[0]
      const ay = from[1]
      const bx = to[0]
      const by = to[1]
      if (Math.max(ax, bx) < box.minX - reach || Math.min(ax, bx) > box.maxX + reach) continue
      if (Math.max(ay, by) < box.minY - reach || Math.min(ay, by) > box.maxY + reach) continue
      edges.push(ax, ay, bx, by)
    }
  }
  return edges
}

function segmentsCross(
  ax: number, ay: number, bx: number, by: number, cx: number, cy: number, dx: number, dy: number,
): boolean {
  const c = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
  const d = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
  if ((c > 0 && d > 0) || (c < 0 && d < 0)) return false
  const a = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx)
  const b = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx)
  if ((a > 0 && b > 0) || (a < 0 && b < 0)) return false
  return c !== d || a !== b
}

/** Squared distance. */
function pointToSegment(px: number, py: number, ax: number, ay: number, bx: number, by: number): number {
  const ux = bx - ax
  const uy = by - ay
  const length = ux * ux + uy * uy
  const t = length === 0 ? 0 : Math.max(0, Math.min(1, ((px - ax) * ux + (py - ay) * uy) / length))
  const x = px - ax - t * ux
  const y = py - ay - t * uy
  return x * x + y * y
}

function contains(part: Part, [x, y]: readonly [number, number]): boolean {
  let inside = false
  for (const ring of part.rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const [ax, ay] = ring[j]!
      const [bx, by] = ring[i]!
      if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside
    }
  }
  return inside
}

/**
 * How deep two parts go into each other, measured as twice the area over the perimeter of the deepest common region:
 * for a sliver along a common edge that is its width, for a corner about half its depth.
 */
function overlapDepth(a: Part, b: Part): number {
  const common = Clipper.intersectD(toPaths(a), toPaths(b), FillRule.EvenOdd, DECIMALS).map(measureRing)
  // A region with a hole (a piece that just fills an opening) is judged as a whole.
  if (common.some(({ area }) => area < 0)) {
    return (2 * common.reduce((sum, { area }) => sum + area, 0)) / common.reduce((sum, { around }) => sum + around, 0)
  }
  return common.reduce((deepest, { area, around }) => Math.max(deepest, around > 0 ? (2 * area) / around : 0), 0)
}

function measureRing(path: readonly { x: number; y: number }[]): { area: number; around: number } {
  const area = signedArea(path.map(({ x, y }): Point => [x, y]))
  let around = 0
  for (let i = 0, j = path.length - 1; i < path.length; j = i++) {
    around += Math.hypot(path[i]!.x - path[j]!.x, path[i]!.y - path[j]!.y)
  }
  return { area, around }
}

function toPaths(part: Part): { x: number; y: number }[][] {
  return part.rings.map((ring) => ring.map(([x, y]) => ({ x, y })))
}

/** Decimals of a millimetre that the intersection is worked to. */
const DECIMALS = 6
