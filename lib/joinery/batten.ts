import { distance } from '../craft/space'
import { hermite, naturalSlopes } from '../section/spline'
import type { Vector } from '../shape/pose'

/**
 * A fair line through points in space, as a batten bent over them lies: a natural cubic spline over the lengths of the
 * chords between them.
 */
export function batten(points: readonly Vector[]): Vector[] {
  const knots = [0]
  for (let i = 1; i < points.length; i++) knots.push(knots[i - 1]! + distance(points[i - 1]!, points[i]!))
  const axes = [0, 1, 2].map((axis) => points.map((point) => point[axis]!))
  const slopes = axes.map((values) => naturalSlopes(knots, values))
  const line: Vector[] = [points[0]!]
  for (let i = 1; i < points.length; i++) {
    const span = knots[i]! - knots[i - 1]!
    const steps = Math.max(1, Math.ceil(span / STEP))
    for (let k = 1; k <= steps; k++) {
      const at = (axis: number): number => {
        const [values, slope] = [axes[axis]!, slopes[axis]!]
        return hermite(k / steps, values[i - 1]!, values[i]!, slope[i - 1]! * span, slope[i]! * span)
      }
      line.push(k === steps ? points[i]! : [at(0), at(1), at(2)])
    }
  }
  return line
}

/** Longest straight step of a line between sections, mm. */
const STEP = 2
