import { figure, place, shapeError } from './fault'
import { CHORD_TOLERANCE, type Point } from './point'

/** Points of an arc about a centre, turned through so many degrees (counter-clockwise above 0), without the start. */
export function arcAbout(start: Point, centre: Point, degrees: number): Point[] {
  const [rx, ry] = [start[0] - centre[0], start[1] - centre[1]]
  const sweep = (degrees * Math.PI) / 180
  const steps = arcSteps(Math.hypot(rx, ry), Math.abs(sweep))
  const points: Point[] = []
  for (let k = 1; k <= steps; k++) {
    const angle = (sweep * k) / steps
    const cos = Math.cos(angle)
    const sin = Math.sin(angle)
    points.push([centre[0] + rx * cos - ry * sin, centre[1] + rx * sin + ry * cos])
  }
  return points
}

/**
 * Number of chords that keep an arc of `sweep` radians within the chord tolerance: sagitta r(1 − cos(step/2)). Two at
 * least, so that the points always tell in which direction the arc ends.
 */
export function arcSteps(radius: number, sweep: number): number {
  const step = radius <= CHORD_TOLERANCE ? Math.PI / 2 : 2 * Math.acos(1 - CHORD_TOLERANCE / radius)
  // Coarser than an eighth of a turn a circle no longer looks like one.
  const least = Math.max(2, Math.ceil(sweep / Math.min(step, Math.PI / 4) - 1e-9))
  // Whole quarters get points at their ends, so that a disc is as wide as it is high and turns into itself.
  const quarters = Math.round((2 * sweep) / Math.PI)
  const whole = quarters > 0 && Math.abs(quarters * (Math.PI / 2) - sweep) < 1e-9
  return whole ? Math.ceil(least / quarters) * quarters : least
}

/** The arc from a through `via` to b, without a. @throws FindingError where the three stand in a line */
export function arcThrough(a: Point, via: Point, b: Point): Point[] {
  const [vx, vy] = [via[0] - a[0], via[1] - a[1]]
  const [bx, by] = [b[0] - a[0], b[1] - a[1]]
  const cross = vx * by - vy * bx
  const [v2, b2] = [vx * vx + vy * vy, bx * bx + by * by]
  if (Math.abs(cross) <= 1e-9 * Math.max(v2, b2)) {
    throw shapeError(
      'flat-arc',
      `an arc was asked for through ${place(a)}, ${place(via)} and ${place(b)} mm, which stand in a line`,
      'move the middle point off the line, or draw a line',
    )
  }
  const centre: Point = [a[0] + (by * v2 - vy * b2) / (2 * cross), a[1] + (vx * b2 - bx * v2) / (2 * cross)]
  return arcTo(a, b, centre, cross < 0)
}

/** The arc of a radius from a to b, counter-clockwise or not, the shorter way round or the longer one, without a. */
export function arcByRadius(a: Point, b: Point, radius: number, counterClockwise = true, longer = false): Point[] {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]]
  const chord = Math.hypot(dx, dy)
  if (chord === 0 || !(radius >= chord / 2 - 1e-9)) {
    throw shapeError(
      'short-radius',
      `an arc of radius ${figure(radius)} mm cannot join points ${figure(chord)} mm apart`,
      chord === 0 ? 'give two different points' : `give a radius of ${figure(chord / 2)} mm or more`,
      { found: radius, wanted: chord / 2, at: a },
    )
  }
  const height = Math.sqrt(Math.max(0, radius * radius - (chord * chord) / 4))
  // The shorter counter-clockwise arc has its centre on the left of the chord.
  const sign = counterClockwise !== longer ? 1 : -1
  const centre: Point = [
    (a[0] + b[0]) / 2 - (sign * height * dy) / chord,
    (a[1] + b[1]) / 2 + (sign * height * dx) / chord,
  ]
  return arcTo(a, b, centre, counterClockwise)
}

/** The arc that leaves a in a direction and ends at b, without a; a line where b lies straight ahead. */
export function arcTangent(a: Point, direction: Point, b: Point): Point[] {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]]
  const cross = direction[0] * dy - direction[1] * dx
  const chord2 = dx * dx + dy * dy
  const size = Math.hypot(direction[0], direction[1])
  const dot = direction[0] * dx + direction[1] * dy
  if (Math.abs(cross) <= 1e-9 * size * Math.sqrt(chord2)) {
    if (dot > 0) return [b]
    throw shapeError(
      'flat-arc',
      `an arc was asked for from ${place(a)} to ${place(b)} mm, which lies straight behind its start`,
      'give an arc through a third point',
    )
  }
  const radius = (chord2 * size) / (2 * cross)
  const centre: Point = [a[0] - (radius * direction[1]) / size, a[1] + (radius * direction[0]) / size]
  return arcTo(a, b, centre, radius > 0)
}

/** The direction in which a flattened arc ends: that of its last chord, turned on by half of what each chord turns. */
export function arcHeading(start: Point, arc: readonly Point[]): Point {
  const c = arc.at(-1)!
  const b = arc.at(-2) ?? start
  const a = arc.at(-3) ?? start
  const [ux, uy] = [b[0] - a[0], b[1] - a[1]]
  const [vx, vy] = [c[0] - b[0], c[1] - b[1]]
  const half = Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy) / 2
  return [vx * Math.cos(half) - vy * Math.sin(half), vx * Math.sin(half) + vy * Math.cos(half)]
}

/** A quadratic Bézier curve from a to b, without a. */
export function quadratic(a: Point, control: Point, b: Point): Point[] {
  const third = (p: Point): Point => [p[0] + ((control[0] - p[0]) * 2) / 3, p[1] + ((control[1] - p[1]) * 2) / 3]
  return cubic(a, third(a), third(b), b)
}

/** A cubic Bézier curve from a to b, without a: halved until each part is flat to the chord tolerance. */
export function cubic(a: Point, c1: Point, c2: Point, b: Point): Point[] {
  const points: Point[] = []
  halve(a, c1, c2, b, points, 0)
  return points
}

/**
 * The fair curve a batten takes through points: a cubic spline parametrised by chord length, with continuous curvature.
 * Free ends have no curvature there (natural); given a direction, an end leaves or arrives along it; a closed curve
 * runs on through its first point. Without the first point. (De Boor, A Practical Guide to Splines, ch. IV.)
 */
export function fairCurve(points: readonly Point[], ends: FairEnds = {}): Point[] {
  return fairCubics(points, ends).flatMap(([a, c1, c2, b]) => cubic(a, c1, c2, b))
}

/** A cubic Bézier curve: start, two control points, end. */
export type Cubic = readonly [start: Point, first: Point, second: Point, end: Point]

/** The fair curve as cubic Bézier curves, one between each two points. */
export function fairCubics(points: readonly Point[], ends: FairEnds = {}): Cubic[] {
  const knots = ends.closed ? [...points, points[0]!] : points
  const spans = knots.slice(1).map((p, i) => Math.hypot(p[0] - knots[i]![0], p[1] - knots[i]![1]))
  const doubled = spans.findIndex((span) => !(span > 0))
  if (knots.length < 2 || doubled >= 0) {
    throw shapeError(
      'bad-curve',
      doubled >= 0
        ? `points ${doubled + 1} and ${doubled + 2} of a curve both stand at ${place(knots[doubled]!)} mm`
        : `a curve was asked for through ${knots.length} points`,
      doubled >= 0 ? 'leave one out' : 'give 2 points or more',
      { found: doubled >= 0 ? 0 : knots.length, wanted: 2 },
    )
  }
  const slopes = ends.closed ? closedSlopes(knots, spans) : openSlopes(knots, spans, ends)
  return spans.map((span, i): Cubic => {
    const [a, b] = [knots[i]!, knots[i + 1]!]
    const [da, db] = [slopes[i]!, slopes[i + 1]!]
    const first: Point = [a[0] + (da[0] * span) / 3, a[1] + (da[1] * span) / 3]
    const second: Point = [b[0] - (db[0] * span) / 3, b[1] - (db[1] * span) / 3]
    return [a, first, second, b]
  })
}

export interface FairEnds {
  /** Direction in which the curve leaves its first point; its size does not matter. */
  readonly start?: Point
  /** Direction in which it arrives at its last point. */
  readonly end?: Point
  readonly closed?: boolean
}

function arcTo(a: Point, b: Point, centre: Point, counterClockwise: boolean): Point[] {
  const from = Math.atan2(a[1] - centre[1], a[0] - centre[0])
  const to = Math.atan2(b[1] - centre[1], b[0] - centre[0])
  let sweep = to - from
  if (counterClockwise && sweep <= 0) sweep += 2 * Math.PI
  if (!counterClockwise && sweep >= 0) sweep -= 2 * Math.PI
  const points = arcAbout(a, centre, (sweep * 180) / Math.PI)
  // The end is the author's own point, not where the sine came out.
  points[points.length - 1] = b
  return points
}

/** Flat once the second differences bound the distance to the chord: 6/8 of the largest (Wang's formula). */
function halve(a: Point, c1: Point, c2: Point, b: Point, points: Point[], depth: number): void {
  const first = Math.hypot(a[0] - 2 * c1[0] + c2[0], a[1] - 2 * c1[1] + c2[1])
  const second = Math.hypot(c1[0] - 2 * c2[0] + b[0], c1[1] - 2 * c2[1] + b[1])
  if (!(Math.max(first, second) * 0.75 > CHORD_TOLERANCE) || depth >= DEEPEST) {
    points.push(b)
    return
  }
  const [p, q, r] = [middle(a, c1), middle(c1, c2), middle(c2, b)]
  const [s, t] = [middle(p, q), middle(q, r)]
  const half = middle(s, t)
  halve(a, p, s, half, points, depth + 1)
  halve(half, t, r, b, points, depth + 1)
}

/** Sixteen halvings flatten a curve a hundred kilometres long; more would mean coordinates that are no numbers. */
const DEEPEST = 16

function middle(p: Point, q: Point): Point {
  return [(p[0] + q[0]) / 2, (p[1] + q[1]) / 2]
}

/** Derivatives at the knots that make the second derivative continuous: one tridiagonal system for each coordinate. */
function openSlopes(knots: readonly Point[], spans: readonly number[], ends: FairEnds): Point[] {
  const last = knots.length - 1
  const lower: number[] = []
  const diagonal: number[] = []
  const upper: number[] = []
  const right: Point[] = []
  for (let i = 0; i <= last; i++) {
    const given = i === 0 ? ends.start : i === last ? ends.end : undefined
    if (given) {
      lower.push(0)
      diagonal.push(1)
      upper.push(0)
      right.push(unit(given))
    } else if (i === 0 || i === last) {
      // Natural: no second derivative at the end, 2 s0 + s1 = 3 × the chord's slope.
      const chord = slope(knots, spans, i === 0 ? 0 : last - 1)
      lower.push(i === 0 ? 0 : 1)
      diagonal.push(2)
      upper.push(i === 0 ? 1 : 0)
      right.push([3 * chord[0], 3 * chord[1]])
    } else {
      const [before, after] = [slope(knots, spans, i - 1), slope(knots, spans, i)]
      lower.push(spans[i]!)
      diagonal.push(2 * (spans[i - 1]! + spans[i]!))
      upper.push(spans[i - 1]!)
      right.push([
        3 * (spans[i]! * before[0] + spans[i - 1]! * after[0]),
        3 * (spans[i]! * before[1] + spans[i - 1]! * after[1]),
      ])
    }
  }
  return solveTridiagonal(lower, diagonal, upper, right)
}

/** A closed curve is the middle of an open one that goes round three times: its ends are too far off to be felt. */
function closedSlopes(knots: readonly Point[], spans: readonly number[]): Point[] {
  const around = knots.slice(0, -1)
  const lap = around.length
  const laps = Math.max(3, 2 * Math.ceil(LAP_KNOTS / lap) + 1)
  const many = Array.from({ length: laps * lap + 1 }, (_, i) => around[i % lap]!)
  const manySpans = Array.from({ length: laps * lap }, (_, i) => spans[i % lap]!)
  const slopes = openSlopes(many, manySpans, {})
  const middleLap = ((laps - 1) / 2) * lap
  const own = slopes.slice(middleLap, middleLap + lap)
  return [...own, own[0]!]
}

/** The influence of an end falls by 2 + √3 with every knot: after 30 it is below the last place of a double. */
const LAP_KNOTS = 30

function slope(knots: readonly Point[], spans: readonly number[], i: number): Point {
  const [a, b] = [knots[i]!, knots[i + 1]!]
  return [(b[0] - a[0]) / spans[i]!, (b[1] - a[1]) / spans[i]!]
}

function unit([x, y]: Point): Point {
  const size = Math.hypot(x, y)
  if (!(size > 0)) {
    throw shapeError(
      'bad-curve',
      `a curve was given the direction ${place([x, y])}`,
      'give a direction that leads somewhere',
    )
  }
  return [x / size, y / size]
}

/** Elimination and back substitution (Thomas); the system is diagonally dominant, so no pivots are needed. */
function solveTridiagonal(lower: number[], diagonal: number[], upper: number[], right: Point[]): Point[] {
  const count = diagonal.length
  const solved: Point[] = Array.from({ length: count })
  for (let i = 1; i < count; i++) {
    const factor = lower[i]! / diagonal[i - 1]!
    diagonal[i]! -= factor * upper[i - 1]!
    right[i] = [right[i]![0] - factor * right[i - 1]![0], right[i]![1] - factor * right[i - 1]![1]]
  }
  for (let i = count - 1; i >= 0; i--) {
    const after = solved[i + 1] ?? [0, 0]
    solved[i] = [
      (right[i]![0] - upper[i]! * after[0]) / diagonal[i]!,
      (right[i]![1] - upper[i]! * after[1]) / diagonal[i]!,
    ]
  }
  return solved
}
