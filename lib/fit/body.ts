import { along } from '../craft/space'
import type { Point } from '../shape/point'
import type { Pose, Vector } from '../shape/pose'
import { type FlatMesh, boundary } from './flatMesh'

/** A body in a piece's own axes: x and y as on the flat piece, z towards the printed side. */
export interface Body {
  readonly vertices: Float64Array
  readonly triangles: Uint32Array
}

/** The model's own axes, as a pose. */
export const MODEL: Pose = { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 1, 0] }

/** Where the middle of the card is at a flat point, and from there to its printed face. */
export interface Carried {
  readonly at: Vector
  readonly out: Vector
}

/** A flat area carried into space, given thickness to both sides and closed round its edge. */
export function thickened(mesh: FlatMesh, carry: (point: Point, index: number) => Carried): Body {
  const used = [...new Set(mesh.triangles)].toSorted((a, b) => a - b)
  const place = new Map(used.map((index, i) => [index, i]))
  const count = used.length
  const vertices = new Float64Array(6 * count)
  for (const [i, index] of used.entries()) {
    const { at, out } = carry(mesh.points[index]!, index)
    vertices.set(along(at, out, 1), 3 * i)
    vertices.set(along(at, out, -1), 3 * (count + i))
  }
  const edges = boundary(mesh)
  const triangles = new Uint32Array(2 * mesh.triangles.length + 6 * edges.length)
  let to = 0
  const put = (...corners: number[]): void => {
    for (const corner of corners) triangles[to++] = corner
  }
  for (let i = 0; i < mesh.triangles.length; i += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => place.get(mesh.triangles[i + k]!)!) as [number, number, number]
    put(a, b, c, count + a, count + c, count + b)
  }
  for (const [from, next] of edges) {
    const [a, b] = [place.get(from)!, place.get(next)!]
    put(count + a, count + b, b, count + a, b, a)
  }
  return { vertices, triangles }
}
