import { shapeError } from './fault'
import type { Loop, Point, Region } from './point'

/** Area of a region in mm², by the shoelace formula: holes, running clockwise, take away. */
export function area(region: Region): number {
  return region.reduce((sum, loop) => sum + loopArea(loop), 0)
}

/** Area inside a loop in mm²: above 0 where it runs counter-clockwise, below 0 where clockwise. */
export function loopArea(loop: Loop): number {
  if (loop.length < 3) return 0
  // Measured from the first point: far from the origin the products would swallow the difference.
  const [x0, y0] = loop[0]!
  let ux = loop[1]![0] - x0
  let uy = loop[1]![1] - y0
  let twice = 0
  for (let i = 2; i < loop.length; i++) {
    const point = loop[i]!
    const vx = point[0] - x0
    const vy = point[1] - y0
    twice += ux * vy - vx * uy
    ux = vx
    uy = vy
  }
  return twice / 2
}

/** Length of all the cuts round a region in mm: outlines and holes. */
export function perimeter(region: Region): number {
  return region.reduce((sum, loop) => sum + loopLength(loop), 0)
}

export function loopLength(loop: Loop): number {
  let length = 0
  for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
    length += Math.hypot(loop[i]![0] - loop[j]![0], loop[i]![1] - loop[j]![1])
  }
  return length
}

/** Second moments of area about axes through the centroid, mm⁴, with area and centroid. */
export interface Moments {
  readonly area: number
  readonly centroid: Point
  /** ∫y² dA, about the level axis. */
  readonly ixx: number
  /** ∫x² dA, about the upright axis. */
  readonly iyy: number
  /** ∫xy dA. */
  readonly ixy: number
}

/**
 * Area, centroid and second moments, each loop edge as a triangle with a common corner (Green's theorem).
 *
 * @throws FindingError for a region without area, which has no centroid
 */
export function moments(region: Region): Moments {
  const [x0, y0] = region[0]?.[0] ?? [0, 0]
  let [twice, mx, my, xx, yy, xy] = [0, 0, 0, 0, 0, 0]
  for (const loop of region) {
    for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
      const [ax, ay] = [loop[j]![0] - x0, loop[j]![1] - y0]
      const [bx, by] = [loop[i]![0] - x0, loop[i]![1] - y0]
      const cross = ax * by - bx * ay
      twice += cross
      mx += (ax + bx) * cross
      my += (ay + by) * cross
      xx += (ax * ax + ax * bx + bx * bx) * cross
      yy += (ay * ay + ay * by + by * by) * cross
      xy += (ax * by + 2 * ax * ay + 2 * bx * by + bx * ay) * cross
    }
  }
  const total = twice / 2
  if (!(Math.abs(total) > 0)) {
    throw shapeError(
      'empty-shape',
      'the centroid of a shape of 0 mm² was asked for',
      'check the cuts that left nothing',
    )
  }
  const cx = mx / (6 * total)
  const cy = my / (6 * total)
  return {
    area: total,
    centroid: [cx + x0, cy + y0],
    ixx: yy / 12 - total * cy * cy,
    iyy: xx / 12 - total * cx * cx,
    ixy: xy / 24 - total * cx * cy,
  }
}

/** Centre of the area. @throws FindingError for a region without area */
export function centroid(region: Region): Point {
  return moments(region).centroid
}
