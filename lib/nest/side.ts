import type { Bounds, Loop, Point } from '../shape/point'
import { boundsOf, signedArea } from './turn'

/**
 * A straight side of an outline along which a rule may lie, run with the card on its left. A rounded corner counts as
 * the corner that it is cut from, so the rule's line may begin before the card's straight edge and end after it.
 */
export interface Side {
  /** Corners at the ends of the rule's line. */
  readonly from: Point
  readonly to: Point
  /** Angles of the card at these corners, degrees, both below 180. */
  readonly fromAngle: number
  readonly toAngle: number
  /** The stretch of the line that is an edge of the card. */
  readonly edge: readonly [from: Point, to: Point]
}

/** An outline as it is before its corners are rounded: what a knife along a rule cuts out first. */
export interface Squared {
  /** Counter-clockwise; it covers the outline. */
  readonly loop: Loop
  readonly box: Bounds
  readonly sides: readonly Side[]
}

/**
 * Squares off the rounded corners of an outline. A corner is rounded where a chain of short chords turns smoothly and
 * only outwards from one straight edge to another, by no more than half a turn. Up to a right angle it is squared off
 * by the two edges, run on; beyond that tangents at equal shares of the turn stand between, none turning by more.
 */
export function squaredOff(outline: Loop): Squared {
  let found = known.get(outline)
  if (!found) known.set(outline, (found = square(outline)))
  return found
}

/** Notes what a loop is squared off to that is another one, moved. */
export function squaredLike(moved: Loop, other: Loop, dx: number, dy: number): void {
  const { loop, box, sides } = squaredOff(other)
  const move = ([x, y]: Point): Point => [x + dx, y + dy]
  const corners = new Map(loop.map((at) => [at, move(at)]))
  known.set(moved, {
    loop: [...corners.values()],
    box: { minX: box.minX + dx, minY: box.minY + dy, maxX: box.maxX + dx, maxY: box.maxY + dy },
    sides: sides.map(({ from, to, edge, ...angles }) => {
      return { ...angles, from: corners.get(from)!, to: corners.get(to)!, edge: [move(edge[0]), move(edge[1])] }
    }),
  })
}

const known = new WeakMap<Loop, Squared>()

function square(outline: Loop): Squared {
  const edges = edgesOf(signedArea(outline) < 0 ? outline.toReversed() : outline)
  const count = edges.length
  const straight = edges.map((edge, i) => isStraight(edge, edges[(i + 1) % count]!))
  const first = straight.indexOf(true)
  const loop: Point[] = []
  const lying: { readonly edge: Edge; readonly corner: number }[] = []
  for (let k = 0; k < count; ) {
    const i = (Math.max(first, 0) + k) % count
    const edge = edges[i]!
    if (straight[i]) lying.push({ edge, corner: loop.length - 1 })
    let chords = 1
    while (chords < count && !straight[(i + chords) % count]) chords++
    const chain = Array.from({ length: chords }, (_, c) => edges[(i + c + 1) % count]!)
    const corners = straight[i] && chords > 1 && first >= 0 ? cornersOf(edge, chain) : undefined
    if (corners) loop.push(...corners)
    else {
      loop.push(...(straight[i] ? chain : chain.slice(0, 1)).map(({ from }) => from))
      if (!straight[i]) chords = 1
    }
    k += chords
  }
  const turned = loop.map((at, i) => angleAt(loop.at(i - 1)!, at, loop[(i + 1) % loop.length]!))
  const sides = lying.flatMap(({ edge: { from, to }, corner }): Side[] => {
    const before = (corner + loop.length) % loop.length
    const after = (corner + 1) % loop.length
    const [fromAngle, toAngle] = [turned[before]!, turned[after]!]
    if (!isConvex(fromAngle) || !isConvex(toAngle)) return []
    return [{ from: loop[before]!, to: loop[after]!, fromAngle, toAngle, edge: [from, to] }]
  })
  return { loop, box: boundsOf(loop), sides }
}

/** An edge of an outline with the turn at its end, degrees, to the left positive. */
interface Edge {
  readonly from: Point
  readonly to: Point
  readonly length: number
  readonly before: number
  readonly after: number
}

/** Without points that lie on the straight line between their neighbours. */
function edgesOf(outline: Loop): Edge[] {
  let loop = outline
  for (;;) {
    const kept = loop.filter((at, i) => !isBetween(at, loop.at(i - 1)!, loop[(i + 1) % loop.length]!))
    if (kept.length === loop.length || kept.length < 3) break
    loop = kept
  }
  const count = loop.length
  const turns = loop.map((at, i) => 180 - angleAt(loop.at(i - 1)!, at, loop[(i + 1) % count]!))
  return loop.map((from, i) => {
    const to = loop[(i + 1) % count]!
    return { from, to, length: apart(from, to), before: turns[i]!, after: turns[(i + 1) % count]! }
  })
}

/** A chord of a curve is no edge to lay a rule along: it is short, and goes on smoothly at one end or both. */
function isStraight({ length, before }: Edge, { before: after }: Edge): boolean {
  if (length < LEAST_SIDE) return false
  return length >= LEAST_BESIDE_CURVE || !(isSmooth(before) || isSmooth(after))
}

/**
 * The corners that a chain of chords is cut from, or undefined where it is no rounded corner.
 * @param chain chords, and at last the straight edge that they lead to
 */
function cornersOf(start: Edge, chain: readonly Edge[]): Point[] | undefined {
  if (!chain.every(({ before }) => before > 0 && isSmooth(before))) return undefined
  const whole = chain.reduce((sum, { before }) => sum + before, 0)
  if (whole > MOST_TURN) return undefined
  const shares = Math.max(1, Math.ceil((whole - ANGLE_SLACK) / 90))
  const lines: (readonly [at: Point, along: Point])[] = [[start.from, direction(start)]]
  for (let i = 1; i < shares; i++) {
    const along = turnedBy(direction(start), (i * whole) / shares)
    const out = ([x, y]: Point) => x * along[1] - y * along[0]
    const furthest = chain.reduce((best, { from }) => (out(from) > out(best) ? from : best), start.to)
    lines.push([furthest, along])
  }
  const end = chain.at(-1)!
  lines.push([end.from, direction(end)])
  return lines.slice(1).map((line, i) => meeting(lines[i]!, line))
}

function direction({ from, to, length }: Edge): Point {
  return [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
}

function turnedBy([x, y]: Point, degrees: number): Point {
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)]
  return [x * cos - y * sin, x * sin + y * cos]
}

/** Where two lines meet that turn from one to the other. */
function meeting([a, u]: readonly [Point, Point], [b, v]: readonly [Point, Point]): Point {
  const share = ((b[0] - a[0]) * v[1] - (b[1] - a[1]) * v[0]) / (u[0] * v[1] - u[1] * v[0])
  return [a[0] + u[0] * share, a[1] + u[1] * share]
}

/** Angle of the card at a corner of an outline that runs counter-clockwise, degrees from 0 to 360. */
function angleAt(before: Point, at: Point, after: Point): number {
  const [ux, uy] = [at[0] - before[0], at[1] - before[1]]
  const [vx, vy] = [after[0] - at[0], after[1] - at[1]]
  return 180 - (Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy) * 180) / Math.PI
}

function isBetween(at: Point, before: Point, after: Point): boolean {
  const length = apart(before, after)
  if (length === 0) return false
  const off = ((after[0] - before[0]) * (at[1] - before[1]) - (after[1] - before[1]) * (at[0] - before[0])) / length
  return Math.abs(off) <= STRAIGHT_WITHIN && apart(before, at) < length && apart(at, after) < length
}

function apart([ax, ay]: Point, [bx, by]: Point): number {
  return Math.hypot(bx - ax, by - ay)
}

function isSmooth(turn: number): boolean {
  return Math.abs(turn) < LEAST_SHARP
}

/** An outline that goes on nearly straight has no corner there: the side does not end. */
function isConvex(angle: number): boolean {
  return angle > LEAST_CORNER && angle < 180 - LEAST_CORNER
}

/** Angles that differ by no more are alike, degrees. */
export const ANGLE_SLACK = 0.5

/** Too short to lay a rule along, mm: alone, and beside a curve whose chords may be as long. */
const LEAST_SIDE = 1
const LEAST_BESIDE_CURVE = 3

/** Chords of a rounded corner turn by less than this, degrees: curves are drawn to 0.01 mm, the least ones by few chords. */
const LEAST_SHARP = 30

/** Most that a rounded corner turns by, degrees. */
const MOST_TURN = 180 + ANGLE_SLACK

/** A corner's angle differs from 0 and from 180 by more than this, degrees. */
const LEAST_CORNER = 5

/** mm */
const STRAIGHT_WITHIN = 0.0005
