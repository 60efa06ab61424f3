import { shapeError } from './fault'
import type { Loop, Point, Region } from './point'

export function moveRegion(region: Region, dx: number, dy: number): Region {
  return mapped(region, (point) => [point[0] + dx, point[1] + dy])
}

/** Turned counter-clockwise by degrees. Quarter turns are exact. */
export function turnRegion(region: Region, degrees: number, about: Point = [0, 0]): Region {
  const [cos, sin] = cosSin(degrees)
  const [cx, cy] = about
  return mapped(region, ([x, y]) => [cx + (x - cx) * cos - (y - cy) * sin, cy + (x - cx) * sin + (y - cy) * cos])
}

/** Mirrored about the origin: `x` changes the sign of x, `y` that of y. Loops keep their winding. */
export function mirrorRegion(region: Region, axis: 'x' | 'y'): Region {
  const turned = mapped(region, axis === 'x' ? ([x, y]) => [0 - x, y] : ([x, y]) => [x, 0 - y])
  return turned.map((loop) => loop.toReversed())
}

/** Scaled about the origin by a factor above 0. */
export function scaleRegion(region: Region, factor: number): Region {
  if (!(factor > 0 && Number.isFinite(factor))) {
    throw shapeError(
      'bad-factor',
      `a shape was scaled by ${factor}`,
      'give a factor above 0; use mirrored to turn it over',
      { found: factor, wanted: 0 },
    )
  }
  return mapped(region, (point) => [point[0] * factor, point[1] * factor])
}

/** Cosine and sine of an angle in degrees, exact for quarter turns. */
export function cosSin(degrees: number): [cos: number, sin: number] {
  const quarter = (((degrees % 360) + 360) % 360) / 90
  if (Number.isInteger(quarter)) return [[1, 0], [0, 1], [-1, 0], [0, -1]][quarter]! as [number, number]
  const radians = (degrees * Math.PI) / 180
  return [Math.cos(radians), Math.sin(radians)]
}

function mapped(region: Region, map: (point: Point) => Point): Region {
  return region.map((loop): Loop => loop.map(map))
}
