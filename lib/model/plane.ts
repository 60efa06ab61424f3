import { FindingError } from '../finding/finding'
import { callSite, resolveSite } from '../finding/site'
import { cross, dot, norm, radians, unit } from '../craft/space'
import { Length, ZERO, mm } from '../length/length'
import type { Pose, Vector } from '../shape/pose'

/** A place in the model as the author writes it: aft from the bow, to starboard, up. */
export type Place = readonly [aft: Length, starboard: Length, up: Length]

/** Where flat pieces stand in the model. Each gives the pose of a piece's own axes. */
export const plane = Object.freeze({ frame, spanwise, level, at, on, moved })

/**
 * Across the subject at a station: the piece's x runs to starboard, its y upwards, from the centre line and the base
 * line. `rake` leans the top aft, degrees.
 */
function frame(station: Length, { y = ZERO, z = ZERO, rake = 0 }: { y?: Length; z?: Length; rake?: number } = {}): Pose {
  const lean = radians(rake)
  return pose([mm(station), mm(y), mm(z)], [0, 1, 0], [Math.sin(lean), 0, Math.cos(lean)])
}

/**
 * Fore and aft at a distance from the centre line, as ribs and keels stand: the piece's x runs aft, its y upwards.
 * `twist` raises the leading edge (wash-in), degrees; `cant` leans the top outboard, to starboard.
 */
function spanwise(
  station: Length,
  { x = ZERO, z = ZERO, twist = 0, cant = 0 }: { x?: Length; z?: Length; twist?: number; cant?: number } = {},
): Pose {
  const t = radians(twist)
  const c = radians(cant)
  const right: Vector = [Math.cos(t), -Math.sin(t) * Math.sin(c), -Math.sin(t) * Math.cos(c)]
  const up: Vector = [Math.sin(t), Math.cos(t) * Math.sin(c), Math.cos(t) * Math.cos(c)]
  return pose([mm(x), mm(station), mm(z)], right, up)
}

/** Level at a height, as floors lie: the piece's x runs aft, its y to starboard, the printed side up. */
function level(height: Length, { x = ZERO, y = ZERO }: { x?: Length; y?: Length } = {}): Pose {
  return pose([mm(x), mm(y), mm(height)], [1, 0, 0], [0, 1, 0])
}

/**
 * Anywhere: the place of the piece's origin and the directions of its x and y, which need not be of unit length; of y what is
 * square to x is taken.
 *
 * @throws FindingError for directions of no length, and for two that are parallel
 */
function at(origin: Place, right: Vector, up: Vector): Pose {
  const x = unit(right)
  const lift = dot(up, x)
  const square: Vector = [up[0] - lift * x[0], up[1] - lift * x[1], up[2] - lift * x[2]]
  const sine = norm(square) / norm(up)
  if (!(norm(right) > 0) || !(sine > LEAST_SINE)) throw noPlane(right, up)
  return pose([mm(origin[0]), mm(origin[1]), mm(origin[2])], x, unit(square))
}

/** Sine of the least angle between two directions that settle a plane. */
const LEAST_SINE = 1e-6

function noPlane(right: Vector, up: Vector): FindingError {
  const site = resolveSite(callSite())
  const [x, y] = [right, up].map((way) => `[${way.join(', ')}]`)
  const apart = norm(right) > 0 && norm(up) > 0
  return new FindingError({
    id: 'plane',
    severity: 'error',
    text: `plane.at was given the directions ${x} and ${y}, ${apart ? 'which are parallel: at an angle of 0° they settle no plane' : 'one of length 0: more is needed'}`,
    remedy: 'give the way the piece’s x runs in the model and the way its y does: plane.at(origin, [0, 1, 0], [0, 0, 1])',
    ...(site && { site }),
  })
}

/**
 * A place within something that stands at another: `inner` is taken in the axes of `outer`, its x, its y, and z towards
 * its printed side. `plane.on(plane.level(floor, { x }), plane.frame(depth))` moves a frame to a floor.
 */
function on(outer: Pose, inner: Pose): Pose {
  const face = cross(outer.right, outer.up)
  const turned = ([x, y, z]: Vector): Vector => [0, 1, 2].map((k) => x * outer.right[k]! + y * outer.up[k]! + z * face[k]!) as unknown as Vector
  const origin = turned(inner.origin)
  return pose([0, 1, 2].map((k) => outer.origin[k]! + origin[k]!) as unknown as Vector, turned(inner.right), turned(inner.up))
}

/** The same place further along in the piece's own axes: `out` towards the printed side. */
function moved(given: Pose, { x = ZERO, y = ZERO, out = ZERO }: { x?: Length; y?: Length; out?: Length }): Pose {
  return on(given, pose([mm(x), mm(y), mm(out)], [1, 0, 0], [0, 1, 0]))
}

/** The pose seen in a mirror on the centre plane, for a piece whose flat shape is mirrored left to right as well. */
export function mirrorPose(given: Pose): Pose {
  const right = mirrorPoint(given.right)
  return pose(mirrorPoint(given.origin), [-right[0], -right[1], -right[2]], mirrorPoint(given.up))
}

/** A point or direction seen in a mirror on the centre plane. */
export function mirrorPoint([x, y, z]: Vector): Vector {
  return [x, -y, z]
}

function pose(origin: Vector, right: Vector, up: Vector): Pose {
  return Object.freeze({ origin, right, up })
}
