import type { Point, Polyline } from '../shape/point'

/** A rectangle about a centre, turned counter-clockwise by an angle in degrees. */
export interface Box {
  readonly centre: Point
  readonly width: number
  readonly height: number
  readonly angle: number
}

/** Line segments to stay clear of, as flat arrays of ax, ay, bx, by. The first `cuts` of them bound the card. */
export interface Obstacles {
  readonly segments: Float64Array
  readonly cuts: number
  /** Filled by the search: the same segments turned by an angle in degrees. */
  readonly turned: Map<number, Turned>
}

/** Segments in turned axes, each running upwards, and the box around the cuts. */
interface Turned {
  readonly segments: Float64Array
  readonly minX: number
  readonly minY: number
  readonly maxX: number
  readonly maxY: number
}

/** Gathers segments; the cuts, which say where card is, have to be added before anything else. */
export function obstacles(
  cuts: readonly Polyline[],
  others: readonly { readonly points: Polyline; readonly closed: boolean }[],
): Obstacles {
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
  return { segments: segments.subarray(0, at), cuts: count, turned: new Map() }
}

/** The same with a rectangle to stay clear of. */
export function addObstacle({ segments, cuts }: Obstacles, box: Box): Obstacles {
  const around = obstacles([], filled(box)).segments
  const all = new Float64Array(segments.length + around.length)
  all.set(segments)
  all.set(around, segments.length)
  return { segments: all, cuts, turned: new Map() }
}

/**
 * Looks for a place in the card where a rectangle of the given size touches no obstacle, its long side at `angle`;
 * undefined where there is none. Strips of the height are laid across the piece; the stretches of a strip that no
 * obstacle enters are the places, exactly. Of all the roomiest is taken, near the middle of the piece where several
 * are as roomy.
 */
export function findRoom(obstacles: Obstacles, width: number, height: number, angle: number): Box | undefined {
  const { cuts } = obstacles
  const { segments, minX, minY, maxX, maxY } = turnedBy(obstacles, -angle)
  const slackY = maxY - minY - height
  if (!(slackY > 0) || maxX - minX < width) return undefined
  const [middleX, middleY] = [(minX + maxX) / 2, (minY + maxY) / 2]
  const strips = Math.min(MOST_STRIPS, 2 + Math.ceil(slackY / (height * STRIP_STEP)))
  let found = false
  let [bestX, bestLow, bestScore] = [0, 0, -Infinity]
  for (let k = 0; k < strips; k++) {
    const low = minY + (slackY * (k + 0.5)) / strips
    const middle = low + height / 2
    const blocked = blockedBy(segments, low, low + height)
    let free = Infinity
    for (let i = 0; i < blocked; i++) {
      const from = BLOCKED[2 * i]!
      const gap = from - free
      if (gap >= width && isCard(segments, cuts, (free + from) / 2, middle)) {
        const x = middleOf(free, from, width, middleX)
        const score = Math.min(gap - width, width) - AWAY * Math.hypot(x - middleX, 2 * (middle - middleY))
        if (score > bestScore) {
          found = true
          ;[bestX, bestLow, bestScore] = [x, low, score]
        }
      }
      const to = BLOCKED[2 * i + 1]!
      if (free === Infinity || to > free) free = to
    }
  }
  if (!found) return undefined
  const { above, below } = roomAround(segments, bestX - width / 2, bestX + width / 2, bestLow, bestLow + height)
  // In the middle of the card above and below, but in a large piece no farther off than need be.
  const lift = Math.max(-MOST_LIFT, Math.min(MOST_LIFT, (above - below) / 2))
  return { centre: turnPoint([bestX, bestLow + height / 2 + lift], angle), width, height, angle }
}

/** Whether any of the segments touches the rectangle. */
export function touches({ centre, width, height, angle }: Box, segments: Float64Array): boolean {
  const { cos, sin } = turning(-angle)
  const [w, h] = [width / 2, height / 2]
  const [x, y] = centre
  for (let i = 0; i < segments.length; i += 4) {
    const dx = segments[i]! - x
    const dy = segments[i + 1]! - y
    const ex = segments[i + 2]! - x
    const ey = segments[i + 3]! - y
    const dTurned = dx * sin + dy * cos
    const eTurned = ex * sin + ey * cos
    const up = dTurned <= eTurned
    const ay = up ? dTurned : eTurned
    const by = up ? eTurned : dTurned
    if (by < -h || ay > h) continue
    const ax = up ? dx * cos - dy * sin : ex * cos - ey * sin
    const bx = up ? ex * cos - ey * sin : dx * cos - dy * sin
    const slope = by > ay ? (bx - ax) / (by - ay) : 0
    const enter = ay < -h ? ax + slope * (-h - ay) : ax
    const leave = by > h ? ax + slope * (h - ay) : bx
    if (Math.min(enter, leave) <= w && Math.max(enter, leave) >= -w) return true
  }
  return false
}

/** A rectangle as lines that nothing fits between: with its edges alone, a smaller one inside it would touch nothing. */
export function filled(box: Box): { points: Polyline; closed: boolean }[] {
  const rows = Math.ceil(box.height / HATCH)
  const hatch = Array.from({ length: rows - 1 }, (_, i): { points: Polyline; closed: boolean } => {
    const rise = box.height * ((i + 1) / rows - 0.5)
    const ends = [-box.width / 2, box.width / 2].map((x): Point => {
      const [dx, dy] = turnPoint([x, rise], box.angle)
      return [box.centre[0] + dx, box.centre[1] + dy]
    })
    return { points: ends, closed: false }
  })
  return [{ points: corners(box), closed: true }, ...hatch]
}

/** Closer than the smallest letters are high, mm. */
const HATCH = 1

/** The corners of a rectangle, counter-clockwise. */
export function corners({ centre, width, height, angle }: Box): Point[] {
  const [w, h] = [width / 2, height / 2]
  const around: Point[] = [
    [-w, -h],
    [w, -h],
    [w, h],
    [-w, h],
  ]
  const { cos, sin } = turning(angle)
  return around.map((at) => [at[0] * cos - at[1] * sin + centre[0], at[0] * sin + at[1] * cos + centre[1]])
}

/** Strips are laid this share of their height apart, so that no room a fifth higher than the text is missed. */
const STRIP_STEP = 0.2
const MOST_STRIPS = 40

/** What a millimetre away from the middle of the piece costs in millimetres of room. */
const AWAY = 0.15

const MOST_LIFT = 6

function turnedBy({ segments, cuts, turned }: Obstacles, angle: number): Turned {
  let found = turned.get(angle)
  if (!found) turned.set(angle, (found = turnSegments(segments, cuts, angle)))
  return found
}

function turnSegments(segments: Float64Array, cuts: number, angle: number): Turned {
  const { cos, sin } = turning(angle)
  const all = new Float64Array(segments.length)
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity]
  for (let i = 0; i < segments.length; i += 4) {
    const ax = segments[i]! * cos - segments[i + 1]! * sin
    const ay = segments[i]! * sin + segments[i + 1]! * cos
    const bx = segments[i + 2]! * cos - segments[i + 3]! * sin
    const by = segments[i + 2]! * sin + segments[i + 3]! * cos
    const up = ay <= by
    all[i] = up ? ax : bx
    all[i + 1] = up ? ay : by
    all[i + 2] = up ? bx : ax
    all[i + 3] = up ? by : ay
    if (i >= 4 * cuts) continue
    if (ax < minX) minX = ax
    if (ax > maxX) maxX = ax
    if (ay < minY) minY = ay
    if (ay > maxY) maxY = ay
  }
  return { segments: all, minX, minY, maxX, maxY }
}

/** Leftmost and rightmost of what of each segment lies in a strip, in order from the left; how many there are. */
function blockedBy(segments: Float64Array, low: number, high: number): number {
  if (BLOCKED.length < segments.length / 2) BLOCKED = new Float64Array(segments.length)
  let count = 0
  for (let i = 0; i < segments.length; i += 4) {
    const ay = segments[i + 1]!
    const by = segments[i + 3]!
    if (by < low || ay > high) continue
    const ax = segments[i]!
    const bx = segments[i + 2]!
    const slope = by > ay ? (bx - ax) / (by - ay) : 0
    const enter = ay < low ? ax + slope * (low - ay) : ax
    const leave = by > high ? ax + slope * (high - ay) : bx
    const from = enter < leave ? enter : leave
    const to = enter < leave ? leave : enter
    // Sorted in as they come: neighbours along an outline are neighbours here, so there is little to shift.
    let at = count++
    for (; at > 0 && BLOCKED[2 * at - 2]! > from; at--) {
      BLOCKED[2 * at] = BLOCKED[2 * at - 2]!
      BLOCKED[2 * at + 1] = BLOCKED[2 * at - 1]!
    }
    BLOCKED[2 * at] = from
    BLOCKED[2 * at + 1] = to
  }
  return count
}

/** Scratch of {@link blockedBy}, from and to in turn. */
let BLOCKED = new Float64Array(1024)

function turnPoint([x, y]: Point, angle: number): Point {
  const { cos, sin } = turning(angle)
  return [x * cos - y * sin, x * sin + y * cos]
}

/** Even number of cuts to the left: air. */
export function isCard(segments: Float64Array, cuts: number, x: number, y: number): boolean {
  let inside = false
  for (let i = 0; i < 4 * cuts; i += 4) {
    const ax = segments[i]!
    const ay = segments[i + 1]!
    const bx = segments[i + 2]!
    const by = segments[i + 3]!
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
  let [above, below] = [FAR, FAR]
  for (let i = 0; i < segments.length; i += 4) {
    const ax = segments[i]!
    const bx = segments[i + 2]!
    const from = Math.max(left, Math.min(ax, bx))
    const to = Math.min(right, Math.max(ax, bx))
    if (from > to) continue
    const ay = segments[i + 1]!
    const by = segments[i + 3]!
    // Segments run upwards, and an upright one is above or below as a whole.
    const heightAt = (x: number) => ay + ((by - ay) * (x - ax)) / (bx - ax)
    const [enter, leave] = ax === bx ? [ay, by] : [heightAt(from), heightAt(to)]
    if (Math.min(enter, leave) >= high) above = Math.min(above, enter - high, leave - high)
    else if (Math.max(enter, leave) <= low) below = Math.min(below, low - enter, low - leave)
  }
  return { above, below }
}

const FAR = 1e3

function turning(angle: number): { cos: number; sin: number } {
  if (angle === 0) return { cos: 1, sin: angle }
  const radians = (angle * Math.PI) / 180
  if (angle % 90 === 0) return { cos: Math.round(Math.cos(radians)), sin: Math.round(Math.sin(radians)) }
  return { cos: Math.cos(radians), sin: Math.sin(radians) }
}
