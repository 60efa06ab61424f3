import type { Point } from '../shape/point'
import type { Pose, Vector } from '../shape/pose'
import { type FlatMesh, boundary } from './flatMesh'

/** A body in a piece's own axes: x and y as on the flat piece, z towards the printed side. */
export interface Body {
  readonly vertices: Float64Array
  readonly triangles: Uint32Array
  /**
   * Of card given thickness: how many flat triangles it is of. Corner i of the printed face lies over corner n/2 + i of
   * the other, and the triangles begin with each flat one and its fellow. Undefined where the flat was not in order, so
   * that the body need not be closed, and of what is not card.
   */
  readonly cells?: number
  /** Of card: x, y on the flat of each corner of the printed face. */
  readonly flat?: Float64Array
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
  const place = new Int32Array(mesh.points.length).fill(-1)
  for (const index of mesh.triangles) place[index] = 0
  let count = 0
  for (let i = 0; i < place.length; i++) if (place[i] === 0) place[i] = count++
  const vertices = new Float64Array(6 * count)
  const onFlat = new Float64Array(2 * count)
  for (const [index, point] of mesh.points.entries()) {
    const i = place[index]!
    if (i < 0) continue
    onFlat.set(point, 2 * i)
    const { at, out } = carry(point, index)
    for (let k = 0; k < 3; k++) {
      vertices[3 * i + k] = at[k]! + out[k]!
      vertices[3 * (count + i) + k] = at[k]! - out[k]!
    }
  }
  const flat = mesh.triangles.map((index) => place[index]!)
  return { vertices, flat: onFlat, ...twoFaced(flat, count) }
}

/** Both faces of flat triangles, corner i of the one over corner count + i of the other, and the walls between. */
function twoFaced(flat: readonly number[], count: number): Pick<Body, 'triangles' | 'cells'> {
  const { edges, simple } = boundary(flat, count)
  const triangles = new Uint32Array(2 * flat.length + 6 * edges.length)
  let to = 0
  const put = (a: number, b: number, c: number): void => {
    triangles[to++] = a
    triangles[to++] = b
    triangles[to++] = c
  }
  for (let i = 0; i < flat.length; i += 3) {
    const [a, b, c] = [flat[i]!, flat[i + 1]!, flat[i + 2]!]
    put(a, b, c)
    put(count + a, count + c, count + b)
  }
  for (const [a, b] of edges) {
    put(count + a, count + b, b)
    put(count + a, b, a)
  }
  return { triangles, ...(simple && { cells: flat.length / 3 }) }
}
