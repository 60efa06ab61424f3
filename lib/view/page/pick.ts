import type { Box, Mesh, Triple } from './mesh'

export interface Ray {
  readonly from: Triple
  /** Of any length. */
  readonly along: Triple
}

export interface Plane {
  /** What lies further along this than `at` is cut away. */
  readonly normal: Triple
  readonly at: number
}

/** The first solid that the ray meets, of those that are there, where they stand now; undefined for none. */
export function pick(
  { faces, solids }: Mesh,
  ray: Ray,
  isThere: (solid: number) => boolean,
  moves: Float32Array,
  plane?: Plane,
): number | undefined {
  let nearest = Infinity
  let found: number | undefined
  for (const [i, solid] of solids.entries()) {
    if (!isThere(i)) continue
    const move: Triple = [moves[i * 3]!, moves[i * 3 + 1]!, moves[i * 3 + 2]!]
    const own: Ray = { from: minus(ray.from, move), along: ray.along }
    if (!meetsBox(own, solid.box, nearest)) continue
    for (let t = solid.triangles[0]; t < solid.triangles[1]; t += 3) {
      const distance = meetsTriangle(own, faces.positions, faces.triangles, t)
      if (distance >= nearest) continue
      if (plane && isCutAway(ray, distance, plane)) continue
      nearest = distance
      found = i
    }
  }
  return found
}

function isCutAway({ from, along }: Ray, distance: number, { normal, at }: Plane): boolean {
  return dot(normal, from) + distance * dot(normal, along) > at
}

function meetsBox({ from, along }: Ray, { least, most }: Box, nearest: number): boolean {
  let [enter, leave] = [0, nearest]
  for (let axis = 0; axis < 3; axis++) {
    const a = (least[axis]! - from[axis]!) / along[axis]!
    const b = (most[axis]! - from[axis]!) / along[axis]!
    // A ray within a face gives 0/0; it then meets nothing that the other axes do not decide.
    if (Number.isNaN(a) || Number.isNaN(b)) continue
    enter = Math.max(enter, Math.min(a, b))
    leave = Math.min(leave, Math.max(a, b))
  }
  return enter <= leave
}

/** Distance in lengths of the ray's direction, either side of the triangle; Infinity for a miss (Möller–Trumbore 1997). */
function meetsTriangle({ from, along }: Ray, positions: Float32Array, index: Uint32Array, t: number): number {
  const a = pointAt(positions, index[t]!)
  const u = minus(pointAt(positions, index[t + 1]!), a)
  const v = minus(pointAt(positions, index[t + 2]!), a)
  const p = cross(along, v)
  const determinant = dot(u, p)
  if (determinant === 0) return Infinity
  const toStart = minus(from, a)
  const x = dot(toStart, p) / determinant
  if (x < 0 || x > 1) return Infinity
  const q = cross(toStart, u)
  const y = dot(along, q) / determinant
  if (y < 0 || x + y > 1) return Infinity
  const distance = dot(v, q) / determinant
  return distance >= 0 ? distance : Infinity
}

function pointAt(positions: Float32Array, corner: number): Triple {
  return [positions[corner * 3]!, positions[corner * 3 + 1]!, positions[corner * 3 + 2]!]
}

function minus(a: Triple, b: Triple): Triple {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

function cross(a: Triple, b: Triple): Triple {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

function dot(a: Triple, b: Triple): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
