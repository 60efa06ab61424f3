import type { Point } from '../../shape/point'
import type { Vector } from '../../shape/pose'
import { cross, degrees, dot, norm, radians, subtract, unit } from '../space'
import { type Development, type Facet, facets } from './unroll'

/** The sharpest curl that a skin has to take, for `checkCurl`: its radius and the direction of its axis in the flat. */
export interface Curl {
  readonly radius: number
  /** Degrees from the x axis of the flat pattern, 0 to 180. */
  readonly axis: number
  readonly at: Point
}

/** Turn over which a curl is measured, radians: from one triangle to the next it would be the chords, not the curve. */
const WINDOW = 0.2

/**
 * The smallest radius of curvature of a skin, apart from its scored folds (turns of `crease` degrees or more from one
 * step of an edge to the next); undefined where it is flat. Along each edge in turn: the way from the middle of one
 * step to that of another, square to the ruling, over the angle between the faces that stand on them.
 */
export function tightestCurl(development: Development, crease = 20): Curl | undefined {
  const all = facets(development)
  const edges = (['a', 'b'] as const).map((edge) => all.filter(({ on }) => on === edge).map(stepOf))
  let tightest: Curl | undefined
  for (const steps of edges) {
    for (const [k, step] of steps.entries()) {
      const last = steps[windowEnd(steps, k, crease)]!
      const turn = angleBetween(step.face, last.face)
      if (turn < 1e-4) continue
      const [cos, sin] = [Math.cos(radians(step.axis)), Math.sin(radians(step.axis))]
      const width = Math.abs(cos * (last.at[1] - step.at[1]) - sin * (last.at[0] - step.at[0]))
      if (tightest && width / turn >= tightest.radius) continue
      tightest = { radius: width / turn, axis: step.axis, at: step.at }
    }
  }
  return tightest
}

/** Mean direction of the rulings in the flat, degrees, 0 to 180, weighed by length: the way the grain should run. */
export function rulingDirection({ flatA, flatB, rulings }: Pick<Development, 'flatA' | 'flatB' | 'rulings'>): number {
  // Directions without sense add up as vectors of twice the angle.
  let [x, y] = [0, 0]
  for (const [i, j] of rulings) {
    const [dx, dy] = [flatB[j]![0] - flatA[i]![0], flatB[j]![1] - flatA[i]![1]]
    const length = Math.hypot(dx, dy)
    if (length === 0) continue
    x += (dx * dx - dy * dy) / length
    y += (2 * dx * dy) / length
  }
  return (degrees(Math.atan2(y, x)) / 2 + 180) % 180
}

/** A step of an edge: its middle and the direction to the other edge in the flat, and the face that stands on it. */
interface Step {
  readonly at: Point
  readonly axis: number
  readonly face: Vector
}

function stepOf({ on, flat, space: [p, q, r] }: Facet): Step {
  const [from, to, apex] = on === 'a' ? flat : [flat[1], flat[2], flat[0]]
  const at: Point = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2]
  const axis = (degrees(Math.atan2(apex[1] - at[1], apex[0] - at[0])) + 360) % 180
  return { at, axis, face: unit(cross(subtract(q, p), subtract(r, p))) }
}

/** The step up to which a curl from another is measured: where it has turned enough, or before the next fold. */
function windowEnd(steps: readonly Step[], from: number, crease: number): number {
  for (let k = from; k + 1 < steps.length; k++) {
    if (degrees(angleBetween(steps[k]!.face, steps[k + 1]!.face)) >= crease) return k
    if (angleBetween(steps[from]!.face, steps[k + 1]!.face) >= WINDOW) return k + 1
  }
  return steps.length - 1
}

function angleBetween(n: Vector, m: Vector): number {
  return Math.atan2(norm(cross(n, m)), dot(n, m))
}
