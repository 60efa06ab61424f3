import type { Point, Polyline } from '../shape/point'

/** A rectangle about a centre, turned counter-clockwise by an angle in degrees. */
export interface Box {
  readonly centre: Point
  readonly width: number
  readonly height: number
  readonly angle: number
}

/** Line segments to stay clear of, as flat arrays of ax, ay, bx, by. Those up to `cuts` bound the card. */
export interface Obstacles {
  readonly segments: Float64Array
  readonly cuts: number
}

/** Gathers segments; the cuts, which say where card is, have to be added before anything else. */
export function obstacles(cuts: readonly Polyline[], others: readonly { points: Polyline; closed: boolean }[]): Obstacles {
  let count = 0
  for (const loop of cuts) count += loop.length
  let all = count
  for (const { points, closed } of others) all += points.length - (closed ? 0 : 1)
  const segments = new Float64Array(4 * Math.max(all, count))
  let at = 0
  const add = (points: Polyline, closed: boolean) => {
    for (let i = closed ? 0 : 1; i < points.length; i++) {
      const from = points[i === 0 ? points.length - 1 : i - 1]!
      const to = points[i]!
      segments[at++] = from[0]
      segments[at++] = from[1]
      segments[at++] = to[0]
      segments[at++] = to[1]
    }
  }
  for (const loop of cuts) add(loop, true)
  for (const { points, closed } of others) add(points, closed)
  return { segments: segments.subarray(0, at), cuts: count }
}

/** The same with a rectangle to stay clear of. */
export function addObstacle({ segments, cuts }: Obstacles, box: Box): Obstacles {
  const around = obstacles([corners(box)], []).segments
  const all = new Float64Array(segments.length + around.length)
  all.set(segments)
  all.set(around, segments.length)
  return { segments: all, cuts }
}

/**
 * Looks for a place in the card where a rectangle of the given size touches no obstacle, its long side at `angle`;
 * undefined where there is none. Strips of the height are laid across the piece; the stretches of a strip that no
 * obstacle enters are the places, exactly. Of all the roomiest is taken, near the middle of the piece where several
 * are as roomy.
 */
export function findRoom({ segments, cuts }: Obstacles, width: number, height: number, angle: number): Box | undefined {
  const turned = turnSegments(segments, -angle)
  const count = turned.length / 4
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity]
  for (let i = 0; i < 4 * cuts; i += 4) {
    minX = Math.min(minX, turned[i]!)
    maxX = Math.max(maxX, turned[i]!)
    minY = Math.min(minY, turned[i + 1]!)
    maxY = Math.max(maxY, turned[i + 1]!)
  }
  const slackY = maxY - minY - height
  if (!(slackY > 0) || maxX - minX < width) return undefined
  const [middleX, middleY] = [(minX + maxX) / 2, (minY + maxY) / 2]
  const strips = Math.min(MOST_STRIPS, 2 + Math.ceil(slackY / (height * STRIP_STEP)))
  let best: { x: number; low: number; left: number; right: number; score: number } | undefined
  const blocked: [number, number][] = []
  for (let k = 0; k < strips; k++) {
    const low = minY + (slackY * (k + 0.5)) / strips
    const high = low + height
    blocked.length = 0
    for (let i = 0; i < count; i++) {
      const extent = extentInStrip(turned, 4 * i, low, high)
      if (extent) blocked.push(extent)
    }
    blocked.sort((a, b) => a[0] - b[0])
    let free = -Infinity
    for (const [from, to] of blocked) {
      if (from - free >= width && Number.isFinite(free) && isCard(turned, cuts, (free + from) / 2, low + height / 2)) {
        const x = middleOf(free, from, width, middleX)
        const room = Math.min(from - free - width, width)
        const score = room - AWAY * Math.hypot(x - middleX, 2 * (low + height / 2 - middleY))
        if (!best || score > best.score) best = { x, low, left: x - width / 2, right: x + width / 2, score }
      }
      free = Math.max(free, to)
    }
  }
  if (!best) return undefined
  const { above, below } = roomAround(turned, best.left, best.right, best.low, best.low + height)
  // Card on both sides: in the middle of it, but a large piece does not need its label hunted down its length.
  const lift = Math.max(-MOST_LIFT, Math.min(MOST_LIFT, (above - below) / 2))
  return { centre: turnPoint([best.x, best.low + height / 2 + lift], angle), width, height, angle }
}

/** Whether any of the segments touches the rectangle. */
export function touches({ centre, width, height, angle }: Box, segments: Float64Array): boolean {
  const { cos, sin } = turning(-angle)
  const [w, h] = [width / 2, height / 2]
  for (let i = 0; i < segments.length; i += 4) {
    const [ax, ay, bx, by] = [
      segments[i]! - centre[0],
      segments[i + 1]! - centre[1],
      segments[i + 2]! - centre[0],
      segments[i + 3]! - centre[1],
    ]
    const turned = [ax * cos - ay * sin, ax * sin + ay * cos, bx * cos - by * sin, bx * sin + by * cos]
    const extent = extentInStrip(turned, 0, -h, h)
    if (extent && extent[0] <= w && extent[1] >= -w) return true
  }
  return false
}

/** The corners of a rectangle, counter-clockwise. */
export function corners({ centre, width, height, angle }: Box): Point[] {
  const [w, h] = [width / 2, height / 2]
  const around: Point[] = [
    [-w, -h],
    [w, -h],
    [w, h],
    [-w, h],
  ]
  return around.map((corner) => {
    const [x, y] = turnPoint(corner, angle)
    return [x + centre[0], y + centre[1]]
  })
}

/** Strips are laid this share of their height apart, so that no room a fifth higher than the text is missed. */
const STRIP_STEP = 0.2
const MOST_STRIPS = 40

/** What a millimetre away from the middle of the piece costs in millimetres of room. */
const AWAY = 0.15

const MOST_LIFT = 6

function turnSegments(segments: Float64Array, angle: number): Float64Array {
  if (angle === 0) return segments
  const { cos, sin } = turning(angle)
  const turned = new Float64Array(segments.length)
  for (let i = 0; i < segments.length; i += 2) {
    turned[i] = segments[i]! * cos - segments[i + 1]! * sin
    turned[i + 1] = segments[i]! * sin + segments[i + 1]! * cos
  }
  return turned
}

function turnPoint([x, y]: Point, angle: number): Point {
  const { cos, sin } = turning(angle)
  return [x * cos - y * sin, x * sin + y * cos]
}

/** Leftmost and rightmost of the part of a segment that lies in a strip; undefined where it does not enter. */
function extentInStrip(at: ArrayLike<number>, i: number, low: number, high: number): [number, number] | undefined {
  let [ax, ay, bx, by] = [at[i]!, at[i + 1]!, at[i + 2]!, at[i + 3]!]
  if (ay > by) [ax, ay, bx, by] = [bx, by, ax, ay]
  if (by < low || ay > high) return undefined
  const slope = by > ay ? (bx - ax) / (by - ay) : 0
  const from = ay < low ? ax + slope * (low - ay) : ax
  const to = by > high ? ax + slope * (high - ay) : bx
  return from < to ? [from, to] : [to, from]
}

/** Even number of cuts to the left: air. */
export function isCard(segments: Float64Array, cuts: number, x: number, y: number): boolean {
  let inside = false
  for (let i = 0; i < 4 * cuts; i += 4) {
    const [ax, ay, bx, by] = [segments[i]!, segments[i + 1]!, segments[i + 2]!, segments[i + 3]!]
    if (ay <= y !== by <= y && ax + ((bx - ax) * (y - ay)) / (by - ay) < x) inside = !inside
  }
  return inside
}

/** Near the piece's middle where the stretch is long, else in the middle of the stretch. */
function middleOf(from: number, to: number, width: number, wanted: number): number {
  const least = from + width * 0.75
  const most = to - width * 0.75
  return least > most ? (from + to) / 2 : Math.max(least, Math.min(most, wanted))
}

/** How far the rectangle can go up and down before it meets an obstacle. */
function roomAround(segments: Float64Array, left: number, right: number, low: number, high: number) {
  let [above, below] = [Infinity, Infinity]
  const middle = (low + high) / 2
  for (let i = 0; i < segments.length; i += 4) {
    // The strip stands upright now: x and y change places.
    const upright = [segments[i + 1]!, segments[i]!, segments[i + 3]!, segments[i + 2]!]
    const extent = extentInStrip(upright, 0, left, right)
    if (!extent) continue
    if (extent[0] > middle) above = Math.min(above, extent[0] - high)
    else below = Math.min(below, low - extent[1])
  }
  return { above: Math.min(above, 1e3), below: Math.min(below, 1e3) }
}

function turning(angle: number): { cos: number; sin: number } {
  const radians = (angle * Math.PI) / 180
  if (angle % 90 === 0) return { cos: Math.round(Math.cos(radians)), sin: Math.round(Math.sin(radians)) }
  return { cos: Math.cos(radians), sin: Math.sin(radians) }
}
