import { type Length, mm } from '../length/length'
import {
  arcAbout,
  arcByRadius,
  arcHeading,
  arcTangent,
  arcThrough,
  cubic,
  fairCubics,
  quadratic,
} from './curve'
import { shapeError } from './fault'
import { fromPath2, toPath2 } from './jscad'
import { type Cap, type Join, strokeLine } from './offset'
import { type Point, type Polyline, SAME_POINT } from './point'
import { type At, Shape } from './shape'

/** Starts a path: `path().from(x, y).line(x, y).arcTo([x, y], r).close()`. */
export function path(): { from(x: Length, y: Length): Path } {
  return { from: (x, y) => new Path([[mm(x), mm(y)]]) }
}

export interface SplineOptions {
  /** Degrees from x in which the curve leaves the last point; without it the curve is free there. */
  readonly leave?: number
  /** Degrees from x in which it arrives at its end. */
  readonly arrive?: number
}

/** A run of lines and curves, flattened as it is drawn. Every step goes on from the last point and gives a new path. */
export class Path {
  /** mm at model size. */
  readonly points: Polyline
  /** Direction in which the last curve ends; undefined after a straight line, which shows it. */
  readonly #curveEnd: Point | undefined

  constructor(points: Polyline, curveEnd?: Point) {
    this.points = points
    this.#curveEnd = curveEnd
    Object.freeze(this)
  }

  /** A straight line to a point. */
  line(x: Length, y: Length): Path {
    return this.#to([[mm(x), mm(y)]])
  }

  /** A straight line so far over and up from the last point. */
  by(dx: Length, dy: Length): Path {
    const [x, y] = this.#end()
    return this.#to([[x + mm(dx), y + mm(dy)]])
  }

  /** An arc of a radius to a point, turning left (counter-clockwise) or right, by the shorter way or the longer one. */
  arcTo(to: At, radius: Length, turn: 'left' | 'right' = 'left', way: 'short' | 'long' = 'short'): Path {
    return this.#arc(arcByRadius(this.#end(), pointOf(to), mm(radius), turn === 'left', way === 'long'))
  }

  /** An arc through one point to another. */
  arcThrough(through: At, to: At): Path {
    return this.#arc(arcThrough(this.#end(), pointOf(through), pointOf(to)))
  }

  /** An arc about a centre, through so many degrees: counter-clockwise above 0. */
  arcAbout(centre: At, degrees: number): Path {
    return this.#arc(arcAbout(this.#end(), pointOf(centre), degrees))
  }

  /** An arc to a point that goes on in the direction in which the path arrived. */
  arcOn(to: At): Path {
    return this.#arc(arcTangent(this.#end(), this.#heading(), pointOf(to)))
  }

  /** A quadratic Bézier curve. */
  quadratic(control: At, to: At): Path {
    const [through, end] = [pointOf(control), pointOf(to)]
    return this.#to(quadratic(this.#end(), through, end), between(through, end))
  }

  /** A cubic Bézier curve. */
  bezier(first: At, second: At, to: At): Path {
    const [last, end] = [pointOf(second), pointOf(to)]
    return this.#to(cubic(this.#end(), pointOf(first), last, end), between(last, end))
  }

  /** A fair curve from the last point through all the points given, as a batten lies. */
  spline(...through: At[]): Path {
    return this.fair(through)
  }

  /** A fair curve through points, with the directions of its ends given. */
  fair(through: readonly At[], { leave, arrive }: SplineOptions = {}): Path {
    const cubics = fairCubics([this.#end(), ...through.map(pointOf)], {
      ...(leave !== undefined && { start: direction(leave) }),
      ...(arrive !== undefined && { end: direction(arrive) }),
    })
    const [, , second, end] = cubics.at(-1)!
    return this.#to(
      cubics.flatMap((one) => cubic(...one)),
      between(second, end),
    )
  }

  /** The area the path goes round, closed by a straight line if need be. */
  close(): Shape {
    return Shape.of(this.points)
  }

  /** The strip of card of a width with the path along its middle. */
  strip(width: Length, cap: Cap = 'flat', join: Join = 'mitred'): Shape {
    return Shape.of(strokeLine(this.points, mm(width), cap, join))
  }

  /** As a path2 of @jscad/modeling, in mm at model size. */
  toPath2(): ReturnType<typeof toPath2> {
    return toPath2(this.points)
  }

  /** From a path2 of @jscad/modeling, its units taken as mm at model size. */
  static fromPath2(geometry: unknown): Path {
    const { line, closed } = fromPath2(geometry)
    return new Path(closed && line.length > 0 ? [...line, line[0]!] : line)
  }

  #end(): Point {
    return this.points.at(-1)!
  }

  #heading(): Point {
    if (this.#curveEnd) return this.#curveEnd
    const [x, y] = this.#end()
    const before = this.points.findLast((p) => Math.hypot(x - p[0], y - p[1]) > SAME_POINT)
    if (before) return [x - before[0], y - before[1]]
    throw shapeError(
      'bad-path',
      'an arc was to go on from a path of 1 point, which has no direction',
      'draw a line first',
    )
  }

  #arc(points: readonly Point[]): Path {
    return this.#to(points, arcHeading(this.#end(), points))
  }

  #to(more: readonly Point[], curveEnd?: Point): Path {
    const led = curveEnd && Math.hypot(...curveEnd) > SAME_POINT
    return new Path([...this.points, ...more], led ? curveEnd : undefined)
  }
}

function pointOf([x, y]: At): Point {
  return [mm(x), mm(y)]
}

function between(from: Point, to: Point): Point {
  return [to[0] - from[0], to[1] - from[1]]
}

function direction(degrees: number): Point {
  const radians = (degrees * Math.PI) / 180
  return [Math.cos(radians), Math.sin(radians)]
}
