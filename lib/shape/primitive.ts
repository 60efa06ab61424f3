import { type Length, above0, mm } from '../length/length'
import { arcAbout } from './curve'
import { figure, shapeError } from './fault'
import { type Cap, type Join, strokeLine } from './offset'
import type { Point } from './point'
import { type At, Shape } from './shape'

/** A disc about the origin. */
export function circle(radius: Length): Shape {
  const r = above0(radius, 'the radius of a circle')
  return Shape.simple(arcAbout([r, 0], [0, 0], 360))
}

/** An upright rectangle about the origin. */
export function rectangle(width: Length, height: Length): Shape {
  const w = above0(width, 'the width of a rectangle') / 2
  const h = above0(height, 'the height of a rectangle') / 2
  return box(-w, -h, w, h)
}

/** An upright rectangle between two opposite corners, in any order. */
export function rectangleFrom(x0: Length, y0: Length, x1: Length, y1: Length): Shape {
  const [ax, ay, bx, by] = [mm(x0), mm(y0), mm(x1), mm(y1)]
  return box(Math.min(ax, bx), Math.min(ay, by), Math.max(ax, bx), Math.max(ay, by))
}

/** A slot with round ends lying along x, about the origin: `length` over all, `width` across. */
export function slot(length: Length, width: Length): Shape {
  const w = above0(width, 'the width of a slot')
  const l = above0(length, 'the length of a slot')
  if (l < w) {
    throw shapeError(
      'bad-size',
      `a slot of ${figure(l)} mm length is to be ${figure(w)} mm wide`,
      'make it at least as long as wide',
      { found: l, wanted: w },
    )
  }
  const reach = (l - w) / 2
  const [right, left]: [Point, Point] = [
    [reach, -w / 2],
    [-reach, w / 2],
  ]
  return Shape.simple([right, ...arcAbout(right, [reach, 0], 180), left, ...arcAbout(left, [-reach, 0], 180)])
}

/** A regular polygon about the origin with its corners on a circle, the first one on the x axis. */
export function regularPolygon(corners: number, radius: Length): Shape {
  if (!Number.isInteger(corners) || corners < 3) {
    throw shapeError('bad-size', `a polygon of ${corners} corners was asked for`, 'give a whole number of 3 or more', {
      found: corners,
      wanted: 3,
    })
  }
  const r = above0(radius, 'the radius of a polygon')
  return Shape.simple(
    Array.from({ length: corners }, (_, i): Point => {
      const angle = (2 * Math.PI * i) / corners
      return [r * Math.cos(angle), r * Math.sin(angle)]
    }),
  )
}

/** The area within corners given in order, either way round. */
export function polygon(...corners: At[]): Shape {
  if (corners.length < 3) {
    throw shapeError('empty-shape', `a polygon of ${corners.length} corners was asked for`, 'give 3 corners or more', {
      found: corners.length,
      wanted: 3,
    })
  }
  return Shape.of(corners.map(([x, y]): Point => [mm(x), mm(y)]))
}

/** The strip of a width with a line of points along its middle. */
export function strip(line: readonly At[], width: Length, cap: Cap = 'flat', join: Join = 'mitred'): Shape {
  const points = line.map(([x, y]): Point => [mm(x), mm(y)])
  return Shape.of(strokeLine(points, above0(width, 'the width of a strip'), cap, join))
}

function box(minX: number, minY: number, maxX: number, maxY: number): Shape {
  return Shape.simple([
    [minX, minY],
    [maxX, minY],
    [maxX, maxY],
    [minX, maxY],
  ])
}
