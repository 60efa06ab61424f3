import type { Geom2 } from '@jscad/modeling/src/geometries/types'
import { type Length, mm } from '../length/length'
import { bench } from '../length/unit'
import { intersect, normalize, subtract, unite } from './boolean'
import { boundsOf } from './bounds'
import type { CornerChoice } from './corner'
import { anyCrossing, selfCrossing } from './crossing'
import { figure, place, shapeError } from './fault'
import { checkPoint } from './grid'
import { type Circle, inscribedCircle } from './inscribed'
import { chamferRegion, filletRegion } from './fillet'
import { fromGeom2, toGeom2 } from './jscad'
import { area, centroid, loopArea, perimeter } from './area'
import { type Join, type OffsetOptions, offsetRegion } from './offset'
import { contains, within } from './place'
import { type Bounds, type Loop, type Point, type Region, SAME_POINT } from './point'
import { spanAt } from './span'
import { mirrorRegion, moveRegion, scaleRegion, turnRegion } from './transform'
import { type Side, trimRegion } from './trim'
import { type Web, narrowestWeb } from './web'

/** A point as the author writes it. */
export type At = readonly [x: Length, y: Length]

/**
 * A flat area as the author handles it: with lengths in, and millimetres at model size within. It never changes; every
 * word gives a new one.
 */
export class Shape {
  /** The area in mm at model size, in the form {@link Region} has everywhere. */
  readonly region: Region

  private constructor(region: Region) {
    this.region = region
    Object.freeze(this)
  }

  /**
   * The area within a loop that runs either way, or a region. Loops that are wound, nested or crossing otherwise than a
   * region's are read by the even-odd rule.
   *
   * @throws FindingError for a coordinate that is no number, an outline that crosses itself, or one without area
   */
  static of(given: Region | Loop): Shape {
    if (given.length === 0) return new Shape([])
    if (isLoop(given)) return new Shape([counterClockwise(simpleLoop(given))])
    const loops = given.map(soundLoop)
    if (isRegion(loops)) return new Shape(loops)
    return new Shape(normalize(loops.map(simpleLoop)))
  }

  /**
   * The area within a simple loop: one known not to cross itself, such as a circle's. It is not searched for crossings,
   * which would take longer than all else.
   *
   * @throws FindingError for a coordinate that is no number, or a loop without area
   */
  static simple(loop: Loop): Shape {
    return new Shape([counterClockwise(soundLoop(loop))])
  }

  /** This area and the others'. */
  union(...others: Shape[]): Shape {
    return new Shape(unite(this.region, ...others.map(regionOf)))
  }

  /** This area without the others'. */
  minus(...others: Shape[]): Shape {
    return new Shape(subtract(this.region, ...others.map(regionOf)))
  }

  /** The area common to this and all the others. */
  intersect(...others: Shape[]): Shape {
    return new Shape(intersect(this.region, ...others.map(regionOf)))
  }

  /** Grown by a distance all round, openings shrinking. Corners stay sharp unless another join is named. */
  offset(distance: Length, join: Join = 'mitred', options: OffsetOptions = {}): Shape {
    return new Shape(offsetRegion(this.region, mm(distance), join, options))
  }

  /**
   * Shrunk by a distance all round, openings growing: what a skin of that thickness leaves of a section.
   *
   * @throws FindingError where nothing is left
   */
  inset(distance: Length, join: Join = 'mitred', options: OffsetOptions = {}): Shape {
    const by = mm(distance)
    const region = offsetRegion(this.region, -by, join, options)
    if (region.length === 0 && this.region.length > 0) {
      const widest = inscribedCircle(this.region).radius
      throw shapeError(
        'nothing-left',
        `an inset of ${figure(by)} mm leaves nothing of a shape ${figure(2 * widest)} mm wide`,
        `inset it by less than ${figure(widest)} mm`,
        { found: by, wanted: widest },
      )
    }
    return new Shape(region)
  }

  /** Mirrored left to right (`x` changes sign) or top to bottom (`y` changes sign), about the origin. */
  mirrored(axis: 'x' | 'y'): Shape {
    return new Shape(mirrorRegion(this.region, axis))
  }

  moved(dx: Length, dy: Length): Shape {
    return new Shape(moveRegion(this.region, mm(dx), mm(dy)))
  }

  /** Turned counter-clockwise by degrees, about the origin or another point. */
  turned(degrees: number, about?: At): Shape {
    return new Shape(turnRegion(this.region, degrees, about && pointOf(about)))
  }

  /** Scaled about the origin. */
  scaled(factor: number): Shape {
    return new Shape(scaleRegion(this.region, factor))
  }

  /**
   * Corners rounded: all, or those chosen.
   *
   * @throws FindingError where a corner has no room for the radius
   */
  filleted(radius: Length, which?: CornerChoice): Shape {
    return new Shape(filletRegion(this.region, mm(radius), which))
  }

  /**
   * Corners cut off so far back along both edges: all, or those chosen.
   *
   * @throws FindingError where an edge is too short
   */
  chamfered(distance: Length, which?: CornerChoice): Shape {
    return new Shape(chamferRegion(this.region, mm(distance), which))
  }

  /** The part on one side of a line through two points, seen from the first to the second. */
  trimmed(line: readonly [from: At, to: At], side: Side): Shape {
    return new Shape(trimRegion(this.region, pointOf(line[0]), pointOf(line[1]), side))
  }

  /** The outer edge. @throws FindingError where there is none, or the shape is in several parts */
  outline(): Loop {
    const outers = this.region.filter((loop) => loopArea(loop) > 0)
    if (outers.length === 1) return outers[0]!
    throw shapeError(
      'not-one-outline',
      `the outline of a shape in ${outers.length} parts was asked for, where 1 is meant`,
      outers.length === 0 ? 'check the cuts that left nothing' : 'join the parts, or take them one by one',
      { found: outers.length, wanted: 1 },
    )
  }

  /** The openings in it, each as a shape of its own. */
  holes(): Shape[] {
    return this.region.filter((loop) => loopArea(loop) < 0).map((loop) => new Shape([loop.toReversed()]))
  }

  /** Whether there is no area at all. */
  get empty(): boolean {
    return this.region.length === 0
  }

  /** mm² at model size. */
  get area(): number {
    return area(this.region)
  }

  /** Length of all its edges, openings too, mm at model size. */
  get perimeter(): number {
    return perimeter(this.region)
  }

  /** mm at model size. */
  get bounds(): Bounds {
    return boundsOf(this.region)
  }

  /** mm at model size. @throws FindingError where there is no area */
  get centroid(): Point {
    return centroid(this.region)
  }

  /** The narrowest card between two cuts, mm at model size; see {@link narrowestWeb}. */
  narrowestWeb(): Web | undefined {
    return narrowestWeb(this.region)
  }

  /** The largest circle that lies in the card, mm at model size. */
  inscribedCircle(): Circle {
    return inscribedCircle(this.region)
  }

  /** Whether a point lies in the area or on its edge. */
  contains(x: Length, y: Length): boolean {
    return contains(this.region, [mm(x), mm(y)])
  }

  /** Lowest and highest point of the shape at x. @throws FindingError where it has none there */
  spanAt(x: Length): { from: Length; to: Length } {
    return this.#span('x', mm(x))
  }

  /** Leftmost and rightmost point of the shape at height y. @throws FindingError where it has none there */
  spanAcross(y: Length): { from: Length; to: Length } {
    return this.#span('y', mm(y))
  }

  /** As a geom2 of @jscad/modeling, in mm at model size. */
  toGeom2(): Geom2 {
    return toGeom2(this.region)
  }

  /** From a geom2 of @jscad/modeling, its units taken as mm at model size. @throws FindingError for anything else */
  static fromGeom2(geometry: unknown): Shape {
    return new Shape(fromGeom2(geometry))
  }

  #span(axis: 'x' | 'y', at: number): { from: Length; to: Length } {
    const span = spanAt(this.region, axis, at)
    if (span) return { from: bench.mm(span.from), to: bench.mm(span.to) }
    const { minX, minY, maxX, maxY } = this.bounds
    const [least, most] = axis === 'x' ? [minX, maxX] : [minY, maxY]
    throw shapeError(
      'outside-span',
      this.empty
        ? `a span at ${axis} = ${figure(at)} mm was asked for of an empty shape`
        : `there is nothing of the shape at ${axis} = ${figure(at)} mm: ` +
            `it reaches from ${figure(least)} to ${figure(most)} mm`,
      'ask inside the shape',
      { found: at, wanted: at < least ? least : most },
    )
  }
}

function regionOf(shape: Shape): Region {
  if (shape instanceof Shape) return shape.region
  throw shapeError(
    'not-a-shape',
    `${String(shape)} was given where a shape is meant`,
    'give a shape: circle(…), path()….close()',
  )
}

function pointOf([x, y]: At): Point {
  return [mm(x), mm(y)]
}

function isLoop(given: Region | Loop): given is Loop {
  return typeof (given as Loop)[0]![0] === 'number'
}

/** A sound loop that does not cross itself. */
function simpleLoop(given: Loop): Loop {
  const loop = soundLoop(given)
  const at = selfCrossing(loop)
  if (at === undefined) return loop
  throw shapeError(
    'crossing-outline',
    `an outline of ${loop.length} points crosses itself at ${place(at)} mm`,
    'put its points in order round the edge',
    { at },
  )
}

/** The loop without points that repeat their neighbour, once it is known to enclose something. */
function soundLoop(given: Loop): Loop {
  for (let i = 0; i < given.length; i++) checkPoint(given[i]!, i)
  const repeats = (point: Point, i: number) => samePoint(point, given[i + 1 < given.length ? i + 1 : 0]!)
  const loop = given.some(repeats) ? given.filter((point, i) => !repeats(point, i)) : given
  // A figure of eight may enclose as much one way as the other: that is a crossing, and said so.
  const inside = loop.length < 3 ? 0 : Math.abs(loopArea(loop))
  if (inside <= SAME_POINT && (loop.length < 4 || selfCrossing(loop) === undefined)) {
    throw shapeError(
      'empty-shape',
      `an outline of ${loop.length} points encloses ${figure(inside)} mm²`,
      'give three points or more that do not stand in a line',
      { found: inside, wanted: SAME_POINT, ...(loop[0] && { at: loop[0] }) },
    )
  }
  return loop
}

function samePoint(a: Point, b: Point): boolean {
  return Math.abs(a[0] - b[0]) < SAME_POINT && Math.abs(a[1] - b[1]) < SAME_POINT
}

function counterClockwise(loop: Loop): Loop {
  return loopArea(loop) > 0 ? loop : loop.toReversed()
}

/** Whether sound loops keep apart and each is wound as its depth of nesting asks: outers left, holes right. */
function isRegion(loops: readonly Loop[]): boolean {
  if (anyCrossing(loops)) return false
  return loops.every((loop, i) => {
    const depth = loops.filter((other, j) => j !== i && within(other, loop[0]!)).length
    return loopArea(loop) > 0 === (depth % 2 === 0)
  })
}
