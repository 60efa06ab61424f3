import type { Bounds, Loop } from '../shape/point'

/** One placed piece, or a used part of the sheet. Inside is what an odd number of rings enclose. */
export interface Part {
  readonly id: string
  readonly rings: readonly Loop[]
  readonly box: Bounds
  readonly fixed: boolean
}

/** Whether two boxes come nearer to each other than so, along both axes. */
export function boxesNear(a: Bounds, b: Bounds, by: number): boolean {
  return a.minX < b.maxX + by && b.minX < a.maxX + by && a.minY < b.maxY + by && b.minY < a.maxY + by
}

/**
 * Least distance between the edges of two parts, 0 where edges cross; no more than `reach` is told, and where they are
 * nearer than `enough` any distance that shows it.
 */
export function distanceBetween(a: Part, b: Part, reach: number, enough = 0): number {
  const edgesA = edgesNear(a.rings, b.box, reach)
  const edgesB = edgesNear(b.rings, a.box, reach)
  let least = reach * reach
  for (let i = 0; i < edgesA.length; i += 4) {
    const ax = edgesA[i]!
    const ay = edgesA[i + 1]!
    const bx = edgesA[i + 2]!
    const by = edgesA[i + 3]!
    for (let j = 0; j < edgesB.length; j += 4) {
      const cx = edgesB[j]!
      const cy = edgesB[j + 1]!
      const dx = edgesB[j + 2]!
      const dy = edgesB[j + 3]!
      if (Math.min(ax, bx) - Math.max(cx, dx) >= reach || Math.min(cx, dx) - Math.max(ax, bx) >= reach) continue
      if (Math.min(ay, by) - Math.max(cy, dy) >= reach || Math.min(cy, dy) - Math.max(ay, by) >= reach) continue
      if (segmentsCross(ax, ay, bx, by, cx, cy, dx, dy)) return 0
      least = Math.min(
        least,
        pointToSegment(ax, ay, cx, cy, dx, dy),
        pointToSegment(bx, by, cx, cy, dx, dy),
        pointToSegment(cx, cy, ax, ay, bx, by),
        pointToSegment(dx, dy, ax, ay, bx, by),
      )
      if (least < enough * enough) return Math.sqrt(least)
    }
  }
  return Math.sqrt(least)
}

/** Edges whose box comes within `reach` of the given box, as x, y, x, y in a row. */
export function edgesNear(rings: readonly Loop[], box: Bounds, reach: number): number[] {
  const edges: number[] = []
  for (const ring of rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const from = ring[j]!
      const to = ring[i]!
      const ax = from[0]
      const ay = from[1]
      const bx = to[0]
      const by = to[1]
      if (Math.max(ax, bx) < box.minX - reach || Math.min(ax, bx) > box.maxX + reach) continue
      if (Math.max(ay, by) < box.minY - reach || Math.min(ay, by) > box.maxY + reach) continue
      edges.push(ax, ay, bx, by)
    }
  }
  return edges
}

function segmentsCross(
  ax: number, ay: number, bx: number, by: number, cx: number, cy: number, dx: number, dy: number,
): boolean {
  const c = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
  const d = (bx - ax) * (dy - ay) - (by - ay) * (dx - ax)
  if ((c > 0 && d > 0) || (c < 0 && d < 0)) return false
  const a = (dx - cx) * (ay - cy) - (dy - cy) * (ax - cx)
  const b = (dx - cx) * (by - cy) - (dy - cy) * (bx - cx)
  if ((a > 0 && b > 0) || (a < 0 && b < 0)) return false
  return c !== d || a !== b
}

/** Squared distance. */
export function pointToSegment(px: number, py: number, ax: number, ay: number, bx: number, by: number): number {
  const ux = bx - ax
  const uy = by - ay
  const length = ux * ux + uy * uy
  const t = length === 0 ? 0 : Math.max(0, Math.min(1, ((px - ax) * ux + (py - ay) * uy) / length))
  const x = px - ax - t * ux
  const y = py - ay - t * uy
  return x * x + y * y
}

export function contains(part: Pick<Part, 'rings'>, [x, y]: readonly [number, number]): boolean {
  let inside = false
  for (const ring of part.rings) {
    for (let i = 0, j = ring.length - 1; i < ring.length; j = i++) {
      const [ax, ay] = ring[j]!
      const [bx, by] = ring[i]!
      if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) inside = !inside
    }
  }
  return inside
}
