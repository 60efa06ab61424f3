import { FindingError } from '../../finding/finding'
import type { Vector } from '../../shape/pose'
import { radians } from '../space'
import { type Pattern, type PatternOptions, patternOf } from './pattern'
import type { Ruling } from './unroll'

export interface Transition extends PatternOptions {
  /** Sides of the rectangle at the bottom. */
  readonly width: number
  readonly depth: number
  /** Radius of the circle at the top. */
  readonly radius: number
  readonly height: number
  /** How far the middle of the circle lies beside the middle of the rectangle. */
  readonly shift?: readonly [number, number]
  /** Points the circle is divided into: a multiple of 4. */
  readonly divisions: number
}

/**
 * Square-to-round transition: four plane triangles on the sides of the rectangle, each touching the circle where its
 * tangent runs along that side, and a quarter of an oblique cone at each corner. The seam runs up the middle of the
 * side towards +x (triangulation with true lengths √(plan² + H²), as B. Coey, *Pattern Development*, 2021).
 *
 * @throws FindingError for divisions that do not put a point on each quarter
 */
export function squareToRound(spec: Transition): Pattern {
  const { width, depth, radius, height, shift = [0, 0], divisions } = spec
  if (!Number.isInteger(divisions / 4) || divisions < 4) {
    throw new FindingError({
      id: 'transition-divisions',
      severity: 'error',
      text: `a circle in ${divisions} parts for a square-to-round transition, a multiple of 4 is needed`,
      remedy: `use ${Math.max(4, 4 * Math.round(divisions / 4))}`,
      found: divisions,
      wanted: Math.max(4, 4 * Math.round(divisions / 4)),
    })
  }
  const [x, y] = [width / 2, depth / 2]
  const seam: Vector = [x, Math.max(-y, Math.min(y, shift[1])), 0]
  const a: Vector[] = [seam, [x, y, 0], [-x, y, 0], [-x, -y, 0], [x, -y, 0], seam]
  const b = Array.from({ length: divisions + 1 }, (_, i): Vector => {
    const at = radians((360 * i) / divisions)
    return [shift[0] + radius * Math.cos(at), shift[1] + radius * Math.sin(at), height]
  })
  const rulings: Ruling[] = [[0, 0]]
  const quarter = divisions / 4
  for (let corner = 1; corner <= 4; corner++) {
    for (let i = (corner - 1) * quarter; i <= corner * quarter; i++) rulings.push([corner, i])
  }
  rulings.push([5, divisions])
  return patternOf({ a, b, rulings }, spec)
}
