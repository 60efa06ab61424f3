import type { Loop, Point } from '../shape/point'
import type { Score } from './piece'
import { cross, scale, subtract, toModel, unit } from '../craft/space'
import type { Pose, Vector } from '../shape/pose'

/**
 * How a piece that does not stay flat stands once it is built. A piece without one is a slab: its outline at its pose,
 * the card half to either side.
 */
export type Form = Folded | Curved | Turned

/** Folded up along its scores. */
export interface Folded {
  readonly kind: 'folded'
  /** A point of the panel that the pose is of; the largest panel where not given. */
  readonly base?: Point
  /** Where it is a part of something larger that is folded, which then says where it stands. */
  readonly of?: Blank
}

/** A flat thing that is folded up as a whole, in the axes of the piece that is cut out of it. */
export interface Blank {
  readonly outline: Loop
  readonly openings: readonly Loop[]
  readonly scores: readonly Score[]
  /** As {@link Folded.base}. */
  readonly base?: Point
  /** How far the piece lies before the middle of the card of the whole, mm; behind it below 0. */
  readonly out: number
}

/**
 * Curled, as a skin rolled back on: straight lines of the middle of the card from the flat piece to the model, in their
 * order along the piece. Between two neighbours the card is taken as straight. The printed side looks along
 * (second end − first end of a line) × (next line − this one), where the flat piece reads the same way round, which is
 * the side the flat piece shows.
 */
export interface Curved {
  readonly kind: 'curved'
  readonly rulings: readonly Ruling[]
}

export interface Ruling {
  readonly flat: readonly [Point, Point]
  /** mm at model size, in the axes of the piece's pose, z towards its printed side; of the model where it has none. */
  readonly model: readonly [Vector, Vector]
}

/** An edge of curled card: its first or last straight line, or the line through the starts or the ends of all of them. */
export type CardEdge = 'first' | 'last' | 'starts' | 'ends'

export const CARD_EDGES: readonly CardEdge[] = Object.freeze(['first', 'last', 'starts', 'ends'])

/**
 * The way the printed side looks between two lines of curled card, which is where the flat reads the right way round; by the
 * diagonals, as lines may meet. In the axes of the lines.
 */
export function faceBetween({ flat, model: [a, b] }: Ruling, next: Ruling): Vector {
  const [c, d] = next.model
  const normal = unit(cross(subtract(d, a), subtract(c, b)))
  const [p, q] = [flatWay(flat[0], next.flat[1]), flatWay(flat[1], next.flat[0])]
  return p[0] * q[1] - p[1] * q[0] < 0 ? scale(normal, -1) : normal
}

/** The same at a place along an edge, counted in its points, and in the axes that the piece stands in. */
export function faceAtEdge({ rulings }: Curved, edge: CardEdge, place: number, pose?: Pose): Vector {
  const last = rulings.length - 2
  const strip = edge === 'first' ? 0 : edge === 'last' ? last : Math.min(last, Math.floor(place))
  const [x, y, z] = faceBetween(rulings[strip]!, rulings[strip + 1]!)
  return pose ? subtract(toModel(pose, [x, y], z), pose.origin) : [x, y, z]
}

/** The way from an edge into the card, at a place along it, in the axes that the piece stands in; of unit length. */
export function inwardsAtEdge({ rulings }: Curved, edge: CardEdge, place: number, pose?: Pose): Vector {
  const { model } = rulings[Math.min(rulings.length - 1, Math.round(place))]!
  const [a, b] = {
    first: [rulings[0]!.model[0], rulings[1]!.model[0]],
    last: [rulings.at(-1)!.model[0], rulings.at(-2)!.model[0]],
    starts: [model[0], model[1]],
    ends: [model[1], model[0]],
  }[edge]
  const [x, y, z] = unit(subtract(b!, a!))
  return pose ? subtract(toModel(pose, [x, y], z), pose.origin) : [x, y, z]
}

function flatWay(from: Point, to: Point): Point {
  return [to[0] - from[0], to[1] - from[1]]
}

/** An edge of curled card where it stands, along the middle of the card; in the model's axes. */
export function edgeLine({ rulings }: Curved, edge: CardEdge, pose?: Pose): readonly Vector[] {
  const line =
    edge === 'first' ? rulings[0]!.model
    : edge === 'last' ? rulings.at(-1)!.model
    : rulings.map(({ model }) => model[edge === 'starts' ? 0 : 1])
  return pose ? line.map(([x, y, z]) => toModel(pose, [x, y], z)) : line
}

/**
 * A body of revolution, as wound strips, tubes and cones make: its section as a closed loop of (radius, height), mm, about
 * the line through the pose's origin along right × up, from which the heights count.
 */
export interface Turned {
  readonly kind: 'turned'
  readonly profile: Loop
  /** How its card lies in it, by which parts of it find their place; where that is not known they have none. */
  readonly card?: Unrolled
}

/** Card that goes round once, by its straight lines as of {@link Curved}, or a strip wound on itself. */
export type Unrolled =
  | { readonly kind: 'lines'; readonly rulings: readonly Ruling[] }
  | {
      readonly kind: 'strip'
      /** How far from the axis its inner end lies, where x is 0 on the flat, mm. */
      readonly inside: number
      /** From one turn to the next, mm. */
      readonly pitch: number
      /** The height at which y is 0, mm. */
      readonly lift: number
    }
