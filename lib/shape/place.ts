import { type Loop, type Point, type Region, SAME_POINT } from './point'

/** Whether a point lies in the region or on its edge (to within {@link SAME_POINT}). */
export function contains(region: Region, point: Point): boolean {
  const x = point[0]
  const y = point[1]
  let winding = 0
  for (const loop of region) {
    let ax = loop[loop.length - 1]![0]
    let ay = loop[loop.length - 1]![1]
    for (let i = 0; i < loop.length; i++) {
      const bx = loop[i]![0]
      const by = loop[i]![1]
      if (nearEdge(x, y, ax, ay, bx, by)) return true
      // Upward edges to the right count +1, downward -1 (Sunday's winding number; half-open, so corners count once).
      if (ay <= y !== by <= y) {
        const side = (bx - ax) * (y - ay) - (x - ax) * (by - ay)
        if (by > ay) {
          if (side > 0) winding++
        } else if (side < 0) winding--
      }
      ax = bx
      ay = by
    }
  }
  return winding > 0
}

/** Whether a point lies within a loop, whichever way that runs. On the loop itself the answer may be either. */
export function within(loop: Loop, [x, y]: Point): boolean {
  let inside = false
  let ax = loop[loop.length - 1]![0]
  let ay = loop[loop.length - 1]![1]
  for (let i = 0; i < loop.length; i++) {
    const bx = loop[i]![0]
    const by = loop[i]![1]
    if (ay <= y !== by <= y && x < ax + ((bx - ax) * (y - ay)) / (by - ay)) inside = !inside
    ax = bx
    ay = by
  }
  return inside
}

/** Distance from a point to the nearest edge of the region, mm: above 0 inside, below 0 outside. */
export function distanceToBoundary(region: Region, point: Point): number {
  const [x, y] = point
  let least = Infinity
  for (const loop of region) {
    let ax = loop[loop.length - 1]![0]
    let ay = loop[loop.length - 1]![1]
    for (let i = 0; i < loop.length; i++) {
      const bx = loop[i]![0]
      const by = loop[i]![1]
      least = Math.min(least, squaredDistance(x, y, ax, ay, bx, by))
      ax = bx
      ay = by
    }
  }
  const distance = Math.sqrt(least)
  return contains(region, point) ? distance : -distance
}

/** Square of the distance from (x, y) to the segment a–b. */
export function squaredDistance(x: number, y: number, ax: number, ay: number, bx: number, by: number): number {
  const ux = bx - ax
  const uy = by - ay
  const length = ux * ux + uy * uy
  const t = length === 0 ? 0 : Math.max(0, Math.min(1, ((x - ax) * ux + (y - ay) * uy) / length))
  const dx = x - ax - t * ux
  const dy = y - ay - t * uy
  return dx * dx + dy * dy
}

function nearEdge(x: number, y: number, ax: number, ay: number, bx: number, by: number): boolean {
  if (x < Math.min(ax, bx) - SAME_POINT || x > Math.max(ax, bx) + SAME_POINT) return false
  if (y < Math.min(ay, by) - SAME_POINT || y > Math.max(ay, by) + SAME_POINT) return false
  return squaredDistance(x, y, ax, ay, bx, by) <= SAME_POINT * SAME_POINT
}
