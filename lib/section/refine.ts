import { CHORD_TOLERANCE, type Point } from '../shape/point'

/** A curve as a function of a parameter. */
export type Curve = (u: number) => Point

/**
 * Points on a curve from u = 0 to u = 1, both ends included, so that no chord stands further than the tolerance from
 * it. The steps given are halved where the curve at a half, and at both quarters, is too far from the chord: the
 * quarters catch a piece that swings to either side and crosses its chord half-way.
 */
export function refine(curve: Curve, steps: number, tolerance = CHORD_TOLERANCE): Point[] {
  const points: Point[] = [curve(0)]
  for (let i = 0; i < steps; i++) {
    const [from, to] = [i / steps, (i + 1) / steps]
    halve(curve, from, points[points.length - 1]!, to, curve(to), tolerance * SAFETY, 0, points)
  }
  return points
}

/** The farthest point of an arc lies near, not at, the sampled ones. */
const SAFETY = 0.9

/** Stops a curve that has a gap in it: by then a step is a millionth of the curve. */
const DEEPEST = 16

function halve(
  curve: Curve,
  from: number,
  a: Point,
  to: number,
  b: Point,
  tolerance: number,
  depth: number,
  into: Point[],
): void {
  const middle = (from + to) / 2
  const m = curve(middle)
  const near =
    offChord(m, a, b) <= tolerance &&
    offChord(curve((from + middle) / 2), a, b) <= tolerance &&
    offChord(curve((middle + to) / 2), a, b) <= tolerance
  if (near || depth >= DEEPEST) {
    into.push(b)
    return
  }
  halve(curve, from, a, middle, m, tolerance, depth + 1, into)
  halve(curve, middle, m, to, b, tolerance, depth + 1, into)
}

function offChord(p: Point, a: Point, b: Point): number {
  const dx = b[0] - a[0]
  const dy = b[1] - a[1]
  const px = p[0] - a[0]
  const py = p[1] - a[1]
  const squared = dx * dx + dy * dy
  if (squared === 0) return Math.sqrt(px * px + py * py)
  const along = px * dx + py * dy
  if (along < 0 || along > squared) {
    const qx = p[0] - (along < 0 ? a[0] : b[0])
    const qy = p[1] - (along < 0 ? a[1] : b[1])
    return Math.sqrt(qx * qx + qy * qy)
  }
  return Math.abs(dx * py - dy * px) / Math.sqrt(squared)
}
