import type { Loop, Point } from '../shape/point'
import { boundsOf, signedArea } from './turn'

/** A straight cut that parts two pieces at once, from end to end. */
export type SharedCut = readonly [from: Point, to: Point]

/** A straight edge of an outline that may be cut together with a neighbour's, run with the card on its left. */
export interface StraightEdge {
  readonly from: Point
  readonly to: Point
  /** Angles of the card at the two ends, degrees, both below 180. */
  readonly fromAngle: number
  readonly toAngle: number
}

/** How far the ends of a shared cut may lie apart on the two pieces, mm: what rounding of placements makes of nothing. */
export const SHARED_WITHIN = 0.002

/**
 * The cuts that serve both of two placed outlines: a whole straight edge of one on a whole straight edge of the other,
 * convex corners at all ends, so that the knife runs out into waste at both ends. A cut that ends on the side of a third
 * piece or half way along the other's edge is none. Where the corners of the two at one end leave a slit narrower than a
 * right angle it is none either: too little waste for the knife to run out into.
 */
export function sharedCuts(a: Loop, b: Loop): SharedCut[] {
  const others = straightEdges(b)
  return straightEdges(a).flatMap((edge) => {
    const other = others.find((one) => isSame(edge, one))
    return other ? [[edge.from, edge.to] as const] : []
  })
}

/** All shared cuts among outlines on one sheet; `first` and `second` are their numbers, the lower one first. */
export function sharedCutsAmong(outlines: readonly Loop[]): { first: number; second: number; cut: SharedCut }[] {
  const boxes = outlines.map(boundsOf)
  const order = [...outlines.keys()].toSorted((a, b) => boxes[a]!.minX - boxes[b]!.minX || a - b)
  return order.flatMap((one, at) => {
    const found: { first: number; second: number; cut: SharedCut }[] = []
    for (const other of order.slice(at + 1)) {
      if (boxes[other]!.minX > boxes[one]!.maxX + SHARED_WITHIN) break
      if (boxes[other]!.minY > boxes[one]!.maxY + SHARED_WITHIN || boxes[one]!.minY > boxes[other]!.maxY + SHARED_WITHIN) continue
      const [first, second] = one < other ? [one, other] : [other, one]
      for (const cut of sharedCuts(outlines[first]!, outlines[second]!)) found.push({ first, second, cut })
    }
    return found
  })
}

/** An outline as the lines that are left of it without some of its edges; closed where none is taken out. */
export function outlineWithout(outline: Loop, cuts: readonly SharedCut[]): { points: Loop; closed: boolean }[] {
  const count = outline.length
  const gone = outline.map((from, i) => {
    const to = outline[(i + 1) % count]!
    return cuts.some(([a, b]) => (isNear(a, from) && isNear(b, to)) || (isNear(a, to) && isNear(b, from)))
  })
  const first = gone.indexOf(true)
  if (first < 0) return [{ points: outline, closed: true }]
  const lines: Point[][] = []
  let line: Point[] | undefined
  for (let k = 1; k < count; k++) {
    const i = (first + k) % count
    if (gone[i]) line = undefined
    else if (line) line.push(outline[(i + 1) % count]!)
    else lines.push((line = [outline[i]!, outline[(i + 1) % count]!]))
  }
  return lines.map((points) => ({ points, closed: false }))
}

/** Edges that may be shared, by what they are alone. */
export function straightEdges(outline: Loop): readonly StraightEdge[] {
  let found = known.get(outline)
  if (!found) known.set(outline, (found = searchEdges(outline)))
  return found
}

/** Whether the corners at one end of a cut, of the pieces on both sides, leave the knife room to run out. */
export function runsOut(angle: number, other: number): boolean {
  return angle + other <= 360 - LEAST_WASTE + ANGLE_SLACK
}

/** Waste at the end of a shared cut, and between any two pieces that meet there, degrees. */
export const LEAST_WASTE = 90

/** Angles that differ by no more are alike, degrees. */
export const ANGLE_SLACK = 0.5

const known = new WeakMap<Loop, readonly StraightEdge[]>()

function searchEdges(outline: Loop): StraightEdge[] {
  const loop = signedArea(outline) < 0 ? outline.toReversed() : outline
  const count = loop.length
  const angles = loop.map((at, i) => angleAt(loop[(i + count - 1) % count]!, at, loop[(i + 1) % count]!))
  return loop.flatMap((from, i) => {
    const next = (i + 1) % count
    const to = loop[next]!
    if (!isConvex(angles[i]!) || !isConvex(angles[next]!)) return []
    if (Math.hypot(to[0] - from[0], to[1] - from[1]) < LEAST_CUT) return []
    return [{ from, to, fromAngle: angles[i]!, toAngle: angles[next]! }]
  })
}

/** Angle of the card at a corner of an outline that runs counter-clockwise, degrees from 0 to 360. */
function angleAt(before: Point, at: Point, after: Point): number {
  const [ux, uy] = [at[0] - before[0], at[1] - before[1]]
  const [vx, vy] = [after[0] - at[0], after[1] - at[1]]
  return 180 - (Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy) * 180) / Math.PI
}

/** An outline that goes on nearly straight has no corner there: the edge does not end. */
function isConvex(angle: number): boolean {
  return angle > LEAST_CORNER && angle < 180 - LEAST_CORNER
}

function isSame(a: StraightEdge, b: StraightEdge): boolean {
  if (!isNear(a.from, b.to) || !isNear(a.to, b.from)) return false
  return runsOut(a.fromAngle, b.toAngle) && runsOut(a.toAngle, b.fromAngle)
}

function isNear(a: Point, b: Point): boolean {
  return Math.hypot(a[0] - b[0], a[1] - b[1]) <= SHARED_WITHIN
}

/** Chords of a curve and rounding of corners are no edges to lay a rule along, mm. */
const LEAST_CUT = 1

/** Degrees. */
const LEAST_CORNER = 5
