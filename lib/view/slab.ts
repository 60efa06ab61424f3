import type { Piece } from '../model/piece'
import type { Pose } from '../shape/pose'
import type { DocumentSolid } from './document'

/** Flat pieces as slabs; others not at all. */
export function slabsOf(pieces: readonly Piece[], thickness: (piece: Piece) => number): DocumentSolid[] {
  const { ShapeUtils, Vector2 } = require('three') as typeof import('three')
  return pieces.flatMap((piece) => {
    const poses = [piece.pose, ...(piece.also ?? [])].filter((pose): pose is Pose => pose !== undefined)
    if (poses.length === 0) return []
    const loops = [piece.outline, ...piece.openings.map(({ loop }) => loop)].map((loop) =>
      loop.map(([x, y]) => new Vector2(x, y)),
    )
    const caps = ShapeUtils.triangulateShape(loops[0]!, loops.slice(1))
    const points = loops.flat()
    const n = points.length
    const half = thickness(piece) / 2
    const triangles: number[] = []
    for (const [a, b, c] of caps as [number, number, number][]) triangles.push(a, b, c, n + c, n + b, n + a)
    let start = 0
    for (const { length } of loops) {
      for (let i = 0; i < length; i++) {
        const [a, b] = [start + i, start + ((i + 1) % length)]
        triangles.push(n + a, n + b, b, n + a, b, a)
      }
      start += length
    }
    return poses.map(({ origin, right, up }, i) => {
      const normal = cross(right, up)
      const vertices = [half, -half].flatMap((w) =>
        points.flatMap(({ x, y }) =>
          [0, 1, 2].map((k) => origin[k]! + x * right[k]! + y * up[k]! + w * normal[k]!),
        ),
      )
      return { mark: piece.mark, copy: i + 1, vertices, triangles }
    })
  })
}

function cross(a: readonly number[], b: readonly number[]): number[] {
  return [a[1]! * b[2]! - a[2]! * b[1]!, a[2]! * b[0]! - a[0]! * b[2]!, a[0]! * b[1]! - a[1]! * b[0]!]
}
