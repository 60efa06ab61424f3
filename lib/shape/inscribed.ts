import polylabel from 'polylabel'
import { area, loopArea, perimeter } from './area'
import { boundsOf } from './bounds'
import { shapeError } from './fault'
import type { Loop, Point, Region } from './point'
import { within } from './place'

export interface Circle {
  readonly centre: Point
  readonly radius: number
}

/** Found to this share of the smaller side of the bounds, but never coarser than a hundredth of a millimetre. */
const SHARE = 1e-3
const COARSEST = 0.01

/**
 * The largest circle that lies in the card, clear of outline and holes: twice its radius is the greatest width of the
 * card anywhere. By polylabel's search over halved squares, exact to {@link SHARE} of the smaller side.
 *
 * @throws FindingError for a region without area
 */
export function inscribedCircle(region: Region): Circle {
  let largest: Circle | undefined
  for (const rings of parts(region)) {
    const { minX, minY, maxX, maxY } = boundsOf(rings)
    const precision = Math.min(COARSEST, Math.min(maxX - minX, maxY - minY) * SHARE)
    const found = polylabel(rings, precision)
    const radius = found.distance
    if (!largest || radius > largest.radius) largest = { centre: [found[0], found[1]], radius }
  }
  if (!largest || !(largest.radius > 0)) {
    throw shapeError(
      'empty-shape',
      'the inscribed circle of a shape of 0 mm² was asked for',
      'check the cuts that left nothing',
    )
  }
  return largest
}

/**
 * Whether a circle of a diameter surely goes into the card, told by its area alone; where not, it may still. Card no
 * farther than r from a cut covers no more than r × the length of the cuts, and round each hole π·r² more (Steiner's
 * formula for parallel curves), so where there is more card than that, some of it is farther from every cut.
 */
export function surelyHolds(region: Region, diameter: number): boolean {
  const r = diameter / 2 + COARSEST
  const holes = region.filter((loop) => loopArea(loop) < 0).length
  return area(region) > r * perimeter(region) + holes * Math.PI * r * r
}

/** Each outer loop with the holes that lie in it. */
export function parts(region: Region): Loop[][] {
  const outers = region.filter((loop) => loopArea(loop) > 0)
  if (outers.length === 1) return [[outers[0]!, ...region.filter((loop) => loop !== outers[0])]]
  const groups = outers.map((outer) => [outer])
  for (const hole of region) {
    if (loopArea(hole) > 0) continue
    // The smallest of the outers round it: islands lie in holes of larger ones.
    const owner = groups
      .filter(([outer]) => within(outer!, hole[0]!))
      .toSorted((a, b) => width(a[0]!) - width(b[0]!))[0]
    owner?.push(hole)
  }
  return groups
}

function width(loop: Loop): number {
  const { minX, maxX } = boundsOf([loop])
  return maxX - minX
}
