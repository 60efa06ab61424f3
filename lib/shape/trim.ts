import { intersect } from './boolean'
import { boundsOf } from './bounds'
import { place, shapeError } from './fault'
import { type Point, type Region, SAME_POINT } from './point'

/** Seen along the line from its first point to its second. */
export type Side = 'left' | 'right'

/** The part of a region on one side of the line through two points. */
export function trimRegion(region: Region, from: Point, to: Point, keep: Side): Region {
  if (region.length === 0) return region
  return intersect(region, [halfPlane(region, from, to, keep)])
}

/** Both parts of a region cut along the line through two points. */
export function splitRegion(region: Region, from: Point, to: Point): { left: Region; right: Region } {
  return { left: trimRegion(region, from, to, 'left'), right: trimRegion(region, from, to, 'right') }
}

/** A rectangle on one side of the line, large enough to hold all of the region that lies there. */
function halfPlane(region: Region, from: Point, to: Point, keep: Side): Point[] {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  if (!(length > SAME_POINT)) {
    throw shapeError(
      'bad-line',
      `a line to trim by runs from ${place(from)} to ${place(to)} mm, a length of ${length} mm`,
      'give two different points',
      { found: length, wanted: SAME_POINT, at: from },
    )
  }
  const { minX, minY, maxX, maxY } = boundsOf(region)
  const [ux, uy] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
  // The rectangle is laid about the foot of the region's middle, so that a line given far off loses no exactness.
  const [mx, my] = [(minX + maxX) / 2, (minY + maxY) / 2]
  const along = (mx - from[0]) * ux + (my - from[1]) * uy
  const off = Math.abs((my - from[1]) * ux - (mx - from[0]) * uy)
  const reach = Math.hypot(maxX - minX, maxY - minY) + off + 1
  const [cx, cy] = [from[0] + along * ux, from[1] + along * uy]
  const at = (s: number, h: number): Point => [cx + s * ux - h * uy, cy + s * uy + h * ux]
  return keep === 'left'
    ? [at(-reach, 0), at(reach, 0), at(reach, reach), at(-reach, reach)]
    : [at(reach, 0), at(-reach, 0), at(-reach, -reach), at(reach, -reach)]
}
