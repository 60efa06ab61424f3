import type { Bounds, Point, Polyline } from '../shape/point'
import type { Role } from '../sheet/drawing'

/** A line of a drawing by itself. */
export interface Line {
  readonly role: Role
  readonly points: Polyline
  readonly closed: boolean
}

/** The parts of lines inside a box; a line that leaves it and comes back is two. */
export function clipped(lines: readonly Line[], box: Bounds): Line[] {
  return lines.flatMap((line) => {
    const parts: Point[][] = []
    eachSegment(line, (from, to) => {
      const inside = clipSegment(from, to, box)
      if (!inside) return
      const [a, b] = inside
      const last = parts.at(-1)
      const tip = last?.at(-1)
      if (last && tip && tip[0] === a[0] && tip[1] === a[1]) last.push(b)
      else parts.push([a, b])
    })
    return parts.map((points) => ({ role: line.role, points, closed: false }))
  })
}

export function eachSegment({ points, closed }: Line, visit: (from: Point, to: Point) => void): void {
  for (let i = 1; i < points.length; i++) visit(points[i - 1]!, points[i]!)
  if (closed && points.length > 2) visit(points.at(-1)!, points[0]!)
}

/** Liang and Barsky, A new concept and method for line clipping, ACM Transactions on Graphics 3 (1984). */
export function clipSegment(from: Point, to: Point, box: Bounds): readonly [Point, Point] | undefined {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]]
  let [first, last] = [0, 1]
  const sides = [
    [-dx, from[0] - box.minX],
    [dx, box.maxX - from[0]],
    [-dy, from[1] - box.minY],
    [dy, box.maxY - from[1]],
  ] as const
  for (const [step, room] of sides) {
    if (step === 0) {
      if (room < 0) return undefined
      continue
    }
    const t = room / step
    if (step < 0) first = Math.max(first, t)
    else last = Math.min(last, t)
    if (first > last) return undefined
  }
  const at = (t: number): Point => (t === 0 ? from : t === 1 ? to : [from[0] + t * dx, from[1] + t * dy])
  return [at(first), at(last)]
}
