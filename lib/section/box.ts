import { type Length, lengthError, mm } from '../length/length'
import { arcAbout } from '../shape/curve'
import type { Loop, Point } from '../shape/point'
import { Shape } from '../shape/shape'

/**
 * An upright box about the origin with rounded corners: one radius, or one for the upper and one for the lower
 * corners, as car and fuselage sections have. A radius of 0 leaves the corner sharp.
 *
 * @throws FindingError where radii do not fit into the sides
 */
export function roundedBox(width: Length, height: Length, radius: Length | { top: Length; bottom: Length }): Shape {
  const [w, h] = [mm(width), mm(height)]
  const [top, bottom] = 'top' in radius ? [mm(radius.top), mm(radius.bottom)] : [mm(radius), mm(radius)]
  for (const [name, size] of [['width', w], ['height', h]] as const) {
    if (!(size > 0)) throw lengthError(`rounded box: a ${name} of ${size.toFixed(3)} mm`, 'give a length above 0')
  }
  for (const [name, size] of [['upper', top], ['lower', bottom]] as const) {
    if (!(size >= 0)) throw lengthError(`rounded box: ${name} corners of ${size.toFixed(3)} mm`, 'give 0 or more')
  }
  const wide = 2 * Math.max(top, bottom)
  if (wide > w || top + bottom > h) {
    const [needs, has, side] = wide > w ? [wide, w, 'width'] : [top + bottom, h, 'height']
    throw lengthError(
      `rounded box: the corners take ${needs.toFixed(3)} mm of a ${side} of ${has.toFixed(3)} mm`,
      'give smaller radii',
    )
  }
  return Shape.of(roundedBoxLoop(w, h, top, bottom))
}

/** Outline in mm, counter-clockwise from the lower right corner. */
export function roundedBoxLoop(width: number, height: number, top: number, bottom: number): Loop {
  const [x, y] = [width / 2, height / 2]
  return [
    ...corner([x, -y], [-bottom, bottom], [0, -bottom]),
    ...corner([x, y], [-top, -top], [top, 0]),
    ...corner([-x, y], [top, -top], [0, top]),
    ...corner([-x, -y], [bottom, bottom], [-bottom, 0]),
  ]
}

/** A quarter turn about a centre given from the corner, from a place given from that centre. */
function corner([x, y]: Point, [cx, cy]: Point, [sx, sy]: Point): readonly Point[] {
  if (cx === 0) return [[x, y]]
  const centre: Point = [x + cx, y + cy]
  const start: Point = [centre[0] + sx, centre[1] + sy]
  return [start, ...arcAbout(start, centre, 90)]
}
