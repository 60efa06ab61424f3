import type { Loop, Point, Polyline } from '../shape/point'

/** Measures of a run of straight segments. */

/** Degrees the line turns to the left at a point. */
export function turnAt(before: Point, at: Point, after: Point): number {
  const [ux, uy] = [at[0] - before[0], at[1] - before[1]]
  const [vx, vy] = [after[0] - at[0], after[1] - at[1]]
  return (Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy) * 180) / Math.PI
}

/** Degrees the line turns through from its first segment to its last. */
export function turnOf(line: Polyline): number {
  let turn = 0
  for (let i = 1; i + 1 < line.length; i++) turn += turnAt(line[i - 1]!, line[i]!, line[i + 1]!)
  return turn
}

/** Interior angle of a counter-clockwise loop at a point, degrees. */
export function interiorAngle(loop: Loop, i: number): number {
  const n = loop.length
  return 180 - turnAt(loop[(i + n - 1) % n]!, loop[i]!, loop[(i + 1) % n]!)
}

/** Length of all segments. */
export function lengthOf(line: Polyline): number {
  return line.slice(1).reduce((sum, point, i) => sum + Math.hypot(point[0] - line[i]![0], point[1] - line[i]![1]), 0)
}

/** The part of a line between two distances along it, both ends included. */
export function cutOut(line: Polyline, from: number, to: number): Point[] {
  const part: Point[] = []
  let along = 0
  for (let i = 1; i < line.length; i++) {
    const [p, q] = [line[i - 1]!, line[i]!]
    const step = Math.hypot(q[0] - p[0], q[1] - p[1])
    const at = (s: number): Point => [
      p[0] + ((q[0] - p[0]) * (s - along)) / step,
      p[1] + ((q[1] - p[1]) * (s - along)) / step,
    ]
    if (step > 0 && along + step >= from && along <= to) {
      if (part.length === 0) part.push(at(Math.max(from, along)))
      part.push(along + step <= to ? q : at(to))
    }
    along += step
  }
  return withoutRepeats(part)
}

/** The line without points that repeat the one before. */
export function withoutRepeats(line: readonly Point[]): Point[] {
  return line.filter((point, i) => {
    const before = line[i - 1]
    return !before || Math.hypot(point[0] - before[0], point[1] - before[1]) > 1e-9
  })
}
