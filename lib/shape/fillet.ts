import { type Corner, type CornerChoice, chosenCorners, cornersOf } from './corner'
import { arcAbout } from './curve'
import { figure, place, shapeError } from './fault'
import type { Loop, Point, Region } from './point'

/**
 * The chosen corners rounded with a radius in mm. The edges beside a corner may be curves: the arc touches both
 * wherever it comes to, at most as far off as the next corner.
 *
 * @throws FindingError where there is no room for the radius
 */
export function filletRegion(region: Region, radius: number, which: CornerChoice = 'all'): Region {
  return cutCorners(region, radius, which, { word: 'fillet', cutAt: filletAt })
}

/**
 * The chosen corners cut off straight, a distance in mm back along both edges.
 *
 * @throws FindingError where an edge is too short for the distance
 */
export function chamferRegion(region: Region, distance: number, which: CornerChoice = 'all'): Region {
  return cutCorners(region, distance, which, { word: 'chamfer', cutAt: chamferAt })
}

interface Tool {
  readonly word: 'fillet' | 'chamfer'
  /**
   * @param back the points from the corner back to the corner before it, @param ahead from it to the corner after it
   * @returns undefined where there is no room
   */
  readonly cutAt: (back: readonly Point[], ahead: readonly Point[], size: number, turn: number) => Cut | undefined
}

/** What takes a corner's place, and how much of the edge before it and after it is used up, mm. */
interface Cut {
  readonly back: number
  readonly ahead: number
  readonly points: readonly Point[]
}

function cutCorners(region: Region, size: number, which: CornerChoice, tool: Tool): Region {
  if (!(size >= 0 && Number.isFinite(size))) {
    throw shapeError(
      `bad-${tool.word}`,
      `a ${tool.word} of ${figure(size)} mm was asked for`,
      'give a length of 0 mm or more',
      { found: size, wanted: 0 },
    )
  }
  if (size === 0) return region
  const corners = cornersOf(region)
  const chosen = chosenCorners(corners, which)
  return region.map((loop, number) => {
    const mine = chosen.filter((corner) => corner.loop === number)
    if (mine.length === 0) return loop
    const stops = new Set(corners.filter((corner) => corner.loop === number).map(({ index }) => index))
    const made = cutLoop(loop, mine, stops, size, tool)
    if (!('crowded' in made)) return made.loop
    throw noRoom(loop, mine, stops, size, tool, made.crowded)
  })
}

/** The loop with its corners cut, or the first corner that has no room. */
function cutLoop(
  loop: Loop,
  corners: readonly Corner[],
  stops: ReadonlySet<number>,
  size: number,
  tool: Tool,
): { loop: Loop } | { crowded: Corner } {
  const cuts: Cut[] = []
  for (const { index, turn } of corners) {
    const cut = tool.cutAt(side(loop, index, -1, stops), side(loop, index, 1, stops), size, turn)
    if (!cut) return { crowded: corners[cuts.length]! }
    cuts.push(cut)
  }
  const points: Point[] = []
  for (let k = 0; k < corners.length; k++) {
    const after = (k + 1) % corners.length
    const between = stretch(loop, corners[k]!.index, corners[after]!.index)
    const from = cuts[k]!.ahead
    const to = between.length - cuts[after]!.back
    if (from > to + ROUNDING) return { crowded: corners[k]! }
    points.push(...cuts[k]!.points)
    for (const { point, at } of between.inner) if (at > from + ROUNDING && at < to - ROUNDING) points.push(point)
  }
  // Cuts that use up an edge between them end on one point.
  return { loop: points.filter((p, i) => distance(p, points[(i + 1) % points.length]!) > ROUNDING) }
}

/** Lengths are compared to this, mm: what doubles lose on a sheet. */
const ROUNDING = 1e-9

/** The points from a corner one way round, as far as the next corner. */
function side(loop: Loop, index: number, step: 1 | -1, stops: ReadonlySet<number>): Point[] {
  const points = [loop[index]!]
  let i = index
  do {
    i = (i + step + loop.length) % loop.length
    points.push(loop[i]!)
  } while (!stops.has(i))
  return points
}

/** The run of a loop from one vertex on to another, with how far along it its inner points lie. */
function stretch(loop: Loop, from: number, to: number): { length: number; inner: { point: Point; at: number }[] } {
  const inner: { point: Point; at: number }[] = []
  let length = 0
  let i = from
  do {
    const next = (i + 1) % loop.length
    length += distance(loop[i]!, loop[next]!)
    i = next
    if (i !== to) inner.push({ point: loop[i]!, at: length })
  } while (i !== to)
  return { length, inner }
}

function chamferAt(back: readonly Point[], ahead: readonly Point[], size: number): Cut | undefined {
  const from = pointAlong(back, size)
  const to = pointAlong(ahead, size)
  return from && to && { back: size, ahead: size, points: [from, to] }
}

function pointAlong(line: readonly Point[], at: number): Point | undefined {
  let left = at
  for (let k = 0; k + 1 < line.length; k++) {
    const length = distance(line[k]!, line[k + 1]!)
    if (left <= length + ROUNDING) return mix(line[k]!, line[k + 1]!, Math.min(1, left / length))
    left -= length
  }
  return undefined
}

/**
 * A ball of the radius rolls back from the corner along the one edge, its centre standing off by the radius, until it
 * just touches the other edge.
 */
function filletAt(back: readonly Point[], ahead: readonly Point[], radius: number, turn: number): Cut | undefined {
  const sign = turn > 0 ? 1 : -1
  let used = 0
  for (let k = 0; k + 1 < back.length; k++) {
    const [p, q] = [back[k]!, back[k + 1]!]
    const length = distance(p, q)
    // The loop runs from q to p, and the centre lies on the side to which it turns.
    const normal: Point = [(sign * (q[1] - p[1])) / length, (sign * (p[0] - q[0])) / length]
    const along = (t: number): Ball => ball(mix(p, q, t), normal, used + length * t, radius)
    const found = firstTouch(along, length, ahead, radius)
    if (found) return filletCut(found, ahead, sign)
    used += length
    const after = back[k + 2]
    if (!after) return undefined
    const reach = distance(q, after)
    const turned: Point = [(sign * (after[1] - q[1])) / reach, (sign * (q[0] - after[0])) / reach]
    const about = (t: number): Ball => ball(q, unit(mix(normal, turned, t)), used, radius)
    // The centre moves on an arc, nowhere faster than this: between corners edges turn by less than 90°.
    const farthest = Math.SQRT2 * radius * distance(normal, turned)
    const foundAbout = firstTouch(about, farthest, ahead, radius)
    if (foundAbout) return filletCut(foundAbout, ahead, sign)
  }
  return undefined
}

/** A ball that touches the one edge at `foot`, `used` mm back from the corner. */
interface Ball {
  readonly foot: Point
  readonly centre: Point
  readonly used: number
}

function ball(foot: Point, normal: Point, used: number, radius: number): Ball {
  return { foot, centre: [foot[0] + normal[0] * radius, foot[1] + normal[1] * radius], used }
}

/**
 * Where a ball that moves `reach` mm from t = 0 to 1 first comes free of the edge ahead. As long as it stands too deep
 * by some depth it must move at least that far, so it takes steps of its depth and never misses the place (sphere
 * tracing).
 */
function firstTouch(at: (t: number) => Ball, reach: number, ahead: readonly Point[], radius: number): Ball | undefined {
  let t = 0
  for (let step = 0; step < MOST_STEPS; step++) {
    const here = at(t)
    const depth = radius - nearest(ahead, here.centre).distance
    if (depth <= TOUCHING) return here
    if (t === 1 || reach === 0) return undefined
    t = Math.min(1, t + depth / reach)
  }
  return undefined
}

/** A ball this deep in an edge touches it, mm. Below {@link ROUNDING}, so that what just fits is found to fit. */
const TOUCHING = 1e-10

/** Steps get shorter as the ball comes free, the slower the flatter the edges meet: 10° takes about 130. */
const MOST_STEPS = 2000

function filletCut({ foot, centre, used }: Ball, ahead: readonly Point[], sign: number): Cut | undefined {
  const touch = nearest(ahead, centre)
  if (!touch.square) return undefined
  const [fx, fy] = [foot[0] - centre[0], foot[1] - centre[1]]
  const [tx, ty] = [touch.point[0] - centre[0], touch.point[1] - centre[1]]
  const sweep = Math.atan2(fx * ty - fy * tx, fx * tx + fy * ty)
  const degrees = ((sweep * sign < 0 ? sweep + sign * 2 * Math.PI : sweep) * 180) / Math.PI
  const arc = arcAbout(foot, centre, degrees)
  return { back: used, ahead: touch.at, points: [foot, ...arc.slice(0, -1), touch.point] }
}

interface Nearest {
  readonly point: Point
  readonly distance: number
  /** How far along the line. */
  readonly at: number
  /** Whether the way there meets the line square: not so where the line ends too soon. */
  readonly square: boolean
}

function nearest(line: readonly Point[], to: Point): Nearest {
  let best: Nearest = { point: line[0]!, distance: Infinity, at: 0, square: false }
  let start = 0
  for (let k = 0; k + 1 < line.length; k++) {
    const [a, b] = [line[k]!, line[k + 1]!]
    const length = distance(a, b)
    const foot = ((to[0] - a[0]) * (b[0] - a[0]) + (to[1] - a[1]) * (b[1] - a[1])) / length
    const along = Math.max(0, Math.min(length, foot))
    const point = mix(a, b, along / length)
    const off = distance(point, to)
    // The ball stops a hair before it is free, and with it where a radius that just fits comes to stand.
    const square = k + 2 < line.length || foot <= length + SQUARE * off
    if (off < best.distance) best = { point, distance: off, at: start + along, square }
    start += length
  }
  return best
}

const SQUARE = 1e-6

/** Enough to tell thousandths of a millimetre in a metre. */
const HALVINGS = 30

function noRoom(
  loop: Loop,
  corners: readonly Corner[],
  stops: ReadonlySet<number>,
  size: number,
  { word, cutAt }: Tool,
  crowded: Corner,
): Error {
  let [fits, tooLarge] = [0, size]
  for (let i = 0; i < HALVINGS; i++) {
    const half = (fits + tooLarge) / 2
    if ('crowded' in cutLoop(loop, corners, stops, half, { word, cutAt })) tooLarge = half
    else fits = half
  }
  const most = Math.floor(fits * 1000 + 1e-3) / 1000
  return shapeError(
    `${word}-too-large`,
    `a ${word} of ${figure(size)} mm has no room at the corner ${place(crowded.at)}, ${figure(most)} mm has`,
    `make it ${figure(most)} mm or less, or choose fewer corners`,
    { found: size, wanted: most, at: crowded.at },
  )
}

function distance(a: Point, b: Point): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1])
}

function mix(a: Point, b: Point, t: number): Point {
  return [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t]
}

function unit([x, y]: Point): Point {
  const size = Math.hypot(x, y)
  return [x / size, y / size]
}
