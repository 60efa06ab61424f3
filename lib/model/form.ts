import type { Loop, Point } from '../shape/point'
import { toModel } from '../craft/space'
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
}
