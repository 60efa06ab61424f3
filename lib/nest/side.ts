import { addTo } from '../shape/lists'
import type { Bounds, Loop, Point } from '../shape/point'
import { boundsOf, signedArea } from './turn'

/**
 * A straight side of an outline along which a rule may lie, run with the card on its left. A rounded corner counts as
 * the corner that it is cut from, so the rule's line may begin before the card's straight edge and end after it; and it
 * goes on across the mouths of notches.
 */
export interface Side {
  /** Corners at the ends of the rule's line. */
  readonly from: Point
  readonly to: Point
  /** Angles of the card at these corners, degrees, both below 180. */
  readonly fromAngle: number
  readonly toAngle: number
  /** The stretches of the line that are edges of the card, in their order along it. */
  readonly edges: readonly Stretch[]
}

export type Stretch = readonly [from: Point, to: Point]

/** An outline as it is before its notches are cut and its corners rounded: what a knife along a rule cuts out first. */
export interface Squared {
  /** Counter-clockwise; it covers the outline. */
  readonly loop: Loop
  readonly box: Bounds
  readonly sides: readonly Side[]
}

/**
 * Fills the notches of an outline and squares off its rounded corners. A notch has a narrow mouth in a straight side. A corner is rounded where a chain of short chords turns smoothly and
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
    sides: sides.map(({ from, to, edges, ...angles }) => {
      const stretches = edges.map(([start, end]): Stretch => [move(start), move(end)])
      return { ...angles, from: corners.get(from)!, to: corners.get(to)!, edges: stretches }
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
  const sides = lying.flatMap(({ edge: { edges }, corner }): Side[] => {
    const before = (corner + loop.length) % loop.length
    const after = (corner + 1) % loop.length
    const [fromAngle, toAngle] = [turned[before]!, turned[after]!]
    if (!isConvex(fromAngle) || !isConvex(toAngle)) return []
    return [{ from: loop[before]!, to: loop[after]!, fromAngle, toAngle, edges }]
  })
  return { loop, box: boundsOf(loop), sides }
}

/** An edge of an outline with the turns at its ends, degrees, to the left positive. */
interface Edge {
  readonly from: Point
  readonly to: Point
  readonly length: number
  readonly before: number
  readonly after: number
  /** What of it is left between notches. */
  readonly edges: readonly Stretch[]
}

/** Without notches, and points that lie on the straight line between their neighbours. */
function edgesOf(outline: Loop): Edge[] {
  const { loop, notches } = withoutNotches(straightened(outline))
  const count = loop.length
  const turns = loop.map((at, i) => 180 - angleAt(loop.at(i - 1)!, at, loop[(i + 1) % count]!))
  return loop.map((from, i) => {
    const to = loop[(i + 1) % count]!
    const mouths = notches.get(from) ?? []
    const ends = [from, ...mouths.flat(), to]
    const edges = ends.flatMap((at, k): Stretch[] => (k % 2 === 0 ? [[at, ends[k + 1]!]] : []))
    return { from, to, length: apart(from, to), before: turns[i]!, after: turns[(i + 1) % count]!, edges }
  })
}

function straightened(outline: Loop): Loop {
  let loop = outline
  for (;;) {
    const kept: Point[] = []
    // One after the other: of two that all but coincide one has to stay.
    for (const [i, at] of loop.entries()) {
      if (!isBetween(at, kept.at(-1) ?? loop.at(-1)!, loop[(i + 1) % loop.length]!)) kept.push(at)
    }
    if (kept.length === loop.length || kept.length < 3) return loop
    loop = kept
  }
}

/**
 * A loop without its notches, and where these were: the ends of their mouths, by the point from which their side runs.
 * A notch leaves a straight edge, stays on the card's side of its line, and comes back to the line in another edge.
 */
function withoutNotches(outline: Loop): { loop: Loop; notches: Map<Point, Stretch[]> } {
  const loop = startingAtHull(outline)
  const notches = new Map<Point, Stretch[]>()
  const kept: Point[] = []
  for (let i = 0; i < loop.length; ) {
    const from = loop[i]!
    kept.push(from)
    let to = i + 1
    for (let next = endOfNotch(loop, i, to); next !== undefined; next = endOfNotch(loop, i, to)) {
      addTo<Point, Stretch>(notches, from, [loop[to]!, loop[next]!])
      to = next + 1
    }
    i = to
  }
  return kept.length < 3 ? { loop: outline, notches: new Map() } : { loop: kept, notches }
}

/** No notch reaches across the lowest, then leftmost point. */
function startingAtHull(loop: Loop): Loop {
  const first = loop.reduce((best, [x, y], i) => (y < loop[best]![1] || (y === loop[best]![1] && x < loop[best]![0]) ? i : best), 0)
  return [...loop.slice(first), ...loop.slice(0, first)]
}

/** Where a notch that begins at one point of a loop comes back to the line of the edge before it; undefined where none does. */
function endOfNotch(loop: Loop, edge: number, begin: number): number | undefined {
  if (begin >= loop.length) return undefined
  const [from, to] = [loop[edge]!, loop[begin]!]
  const length = apart(from, to)
  const [ux, uy] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
  const off = ([x, y]: Point) => (y - from[1]) * ux - (x - from[0]) * uy
  const past = ([x, y]: Point) => (x - to[0]) * ux + (y - to[1]) * uy
  for (let i = begin + 1; i < Math.min(loop.length, begin + MOST_POINTS); i++) {
    const at = loop[i]!
    if (off(at) < -STRAIGHT_WITHIN) return undefined
    if (Math.abs(off(at)) > STRAIGHT_WITHIN) continue
    if (i === begin + 1 || past(at) <= 0 || past(at) > MOST_MOUTH) return undefined
    const after = loop[(i + 1) % loop.length]!
    return Math.abs(off(after)) <= STRAIGHT_WITHIN && past(after) > past(at) ? i : undefined
  }
  return undefined
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
  return Math.abs(off) <= NO_BEND && apart(before, at) < length && apart(at, after) < length
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

/** Widest mouth of what is taken for a notch, mm, and points that it has at most. */
const MOST_MOUTH = 6
const MOST_POINTS = 40

/** How far the edges on both sides of a notch may be out of line, mm. */
const STRAIGHT_WITHIN = 0.0005

/** A point that is off the line by no more is no corner, mm: it may be none by rounding alone. */
const NO_BEND = 1e-6
