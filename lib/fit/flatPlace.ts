import { nearestInTriangle } from '../craft/develop/carry'
import { toPiece } from '../craft/space'
import type { Point } from '../shape/point'
import type { Vector } from '../shape/pose'
import type { Standing } from './scene'

/**
 * Where a point of the model lies on the flat piece: of folded and curled card by the flat triangle whose middle of the card
 * comes nearest to it. Undefined for what is wound, of which only the body is known and not which turn of the strip comes
 * to lie where.
 */
export function flatPlace({ piece, pose, vertices, triangles, cells, flat }: Standing, point: Vector): Point | undefined {
  if (!piece.form) return toPiece(pose, point)
  if (cells === undefined || !flat) return undefined
  const half = vertices.length / 2
  const middle = (corner: number): Vector => {
    const at = (k: number): number => (vertices[3 * corner + k]! + vertices[half + 3 * corner + k]!) / 2
    return [at(0), at(1), at(2)]
  }
  let nearest = Infinity
  let place: Point | undefined
  for (let i = 0; i < 6 * cells; i += 6) {
    const [a, b, c] = [triangles[i]!, triangles[i + 1]!, triangles[i + 2]!]
    const [u, v, w, squared] = nearestInTriangle(point, [middle(a), middle(b), middle(c)])
    if (squared >= nearest) continue
    nearest = squared
    const mixed = (k: number): number => u * flat[2 * a + k]! + v * flat[2 * b + k]! + w * flat[2 * c + k]!
    place = [mixed(0), mixed(1)]
  }
  return place
}
