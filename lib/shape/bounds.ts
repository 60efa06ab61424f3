import type { Bounds, Loop } from './point'

/** The upright rectangle round the loops; of nothing, one that holds nothing (`minX` above `maxX`). */
export function boundsOf(loops: readonly Loop[]): Bounds {
  let minX = Infinity
  let minY = Infinity
  let maxX = -Infinity
  let maxY = -Infinity
  for (const loop of loops) {
    for (const point of loop) {
      const x = point[0]
      const y = point[1]
      if (x < minX) minX = x
      if (x > maxX) maxX = x
      if (y < minY) minY = y
      if (y > maxY) maxY = y
    }
  }
  return { minX, minY, maxX, maxY }
}

/** Whether two rectangles share at least a point. */
export function boundsMeet(a: Bounds, b: Bounds): boolean {
  return a.minX <= b.maxX && b.minX <= a.maxX && a.minY <= b.maxY && b.minY <= a.maxY
}
