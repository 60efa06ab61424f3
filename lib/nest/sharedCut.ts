import type { Loop, Point } from '../shape/point'
import { ANGLE_SLACK, type Side, squaredOff, type Stretch } from './side'
import { boundsOf } from './turn'

/** A straight cut that parts two pieces at once, from end to end. */
export type SharedCut = readonly [from: Point, to: Point]

/** Where two placed outlines lie edge to edge. */
export interface Contact {
  /** Where both have an edge, one stretch after the other: what one cut does for both. */
  readonly cuts: readonly SharedCut[]
  readonly a: Side
  readonly b: Side
  /** The one with the longer side, which is cut out first; undefined where the sides are equal. */
  readonly first: 'a' | 'b' | undefined
}

/** How far the ends of a shared cut may lie apart on the two pieces, mm: what rounding of placements makes of nothing. */
export const SHARED_WITHIN = 0.002

/**
 * Where two placed outlines lie edge to edge so that one straight cut serves both: a straight side of one along a
 * straight side of the other, and one of them within the other from end to end. Both sides have convex corners, rounded
 * or not, that leave the knife room to run out; and where a side ends on the other, its corner leaves as
 * much waste. Sides that pass each other share nothing: neither piece could be cut out first.
 */
export function sharedCuts(a: Loop, b: Loop): Contact[] {
  const others = squaredOff(b).sides
  return squaredOff(a).sides.flatMap((side) => others.flatMap((other) => contactOf(side, other) ?? []))
}

/** All contacts among outlines on one sheet; `first` and `second` are their numbers, the lower one first. */
export function sharedCutsAmong(outlines: readonly Loop[]): { first: number; second: number; contact: Contact }[] {
  const boxes = outlines.map(boundsOf)
  const order = [...outlines.keys()].toSorted((a, b) => boxes[a]!.minX - boxes[b]!.minX || a - b)
  return order.flatMap((one, at) => {
    const found: { first: number; second: number; contact: Contact }[] = []
    for (const other of order.slice(at + 1)) {
      if (boxes[other]!.minX > boxes[one]!.maxX + SHARED_WITHIN) break
      if (boxes[other]!.minY > boxes[one]!.maxY + SHARED_WITHIN || boxes[one]!.minY > boxes[other]!.maxY + SHARED_WITHIN) continue
      const [first, second] = one < other ? [one, other] : [other, one]
      for (const contact of sharedCuts(outlines[first]!, outlines[second]!)) found.push({ first, second, contact })
    }
    return found
  })
}

/** Whether the corners at one end of a cut, of the pieces on both sides, leave the knife room to run out. */
export function runsOut(angle: number, other: number): boolean {
  return angle + other <= 360 - LEAST_WASTE + ANGLE_SLACK
}

/** Waste at the end of a shared cut, and between any two pieces that meet there, degrees. */
export const LEAST_WASTE = 60

/** Of a side that goes on past the end of another. */
export const STRAIGHT_ON = 180

function contactOf(a: Side, b: Side): Contact | undefined {
  const [dx, dy] = [a.to[0] - a.from[0], a.to[1] - a.from[1]]
  const squared = dx * dx + dy * dy
  // Asked of all pairs of sides of all neighbours.
  const begin = (b.from[0] - a.from[0]) * dy - (b.from[1] - a.from[1]) * dx
  if (begin * begin > SHARED_WITHIN * SHARED_WITHIN * squared) return undefined
  const end = (b.to[0] - a.from[0]) * dy - (b.to[1] - a.from[1]) * dx
  if (end * end > SHARED_WITHIN * SHARED_WITHIN * squared) return undefined
  const length = Math.sqrt(squared)
  const along = ([x, y]: Point) => ((x - a.from[0]) * dx + (y - a.from[1]) * dy) / length
  // The other runs against it, its card on the other side.
  const [low, high] = [along(b.to), along(b.from)]
  if (low >= high) return undefined
  const [atStart, atEnd] = [Math.abs(low) <= SHARED_WITHIN, Math.abs(high - length) <= SHARED_WITHIN]
  const [within, around] = [(atStart || low > 0) && (atEnd || high < length), (atStart || low < 0) && (atEnd || high > length)]
  if (!within && !around) return undefined
  const angles = (start: boolean, mine: number, its: number) => (start ? [mine, its] : within ? [STRAIGHT_ON, its] : [mine, STRAIGHT_ON])
  const [one, other] = [angles(atStart, a.fromAngle, b.toAngle), angles(atEnd, a.toAngle, b.fromAngle)]
  if (!runsOut(one[0]!, one[1]!) || !runsOut(other[0]!, other[1]!)) return undefined
  const cuts = a.edges.flatMap((mine) => b.edges.flatMap((its) => commonOf(mine, its, along)))
  if (cuts.reduce((sum, [from, to]) => sum + along(to) - along(from), 0) < LEAST_CUT) return undefined
  return { cuts, a, b, first: within && around ? undefined : within ? 'a' : 'b' }
}

/** What two edges have in common that run against each other on one line. */
function commonOf([from, to]: Stretch, [end, start]: Stretch, along: (at: Point) => number): SharedCut[] {
  const first = along(start) > along(from) ? start : from
  const last = along(end) < along(to) ? end : to
  return along(last) - along(first) > SHARED_WITHIN ? [[first, last]] : []
}

/** mm */
const LEAST_CUT = 1
