import type { Mesh } from './mesh'

/**
 * What is closer together than a seventh of its solid becomes one, within these shares of the model: less nobody sees, and
 * more leaves holes in a large skin.
 */
const OWN = 1 / 7
const [LEAST, MOST] = [1 / 200, 1 / 80]

/**
 * Triangles for a rough picture, over the very corners of the fine one: in each solid all corners in one cell of a grid
 * that face alike are taken as the first of them (vertex clustering, Rossignac and Borrel 1993), and triangles that come
 * to nothing are left out.
 */
export function coarseTriangles({ faces, solids, box }: Mesh): Uint32Array {
  const { positions, normals, triangles } = faces
  const out = new Uint32Array(triangles.length)
  const whole = sizeOf(box.least, box.most)
  const stand = new Uint32Array(positions.length / 3)
  let at = 0
  for (const { box: own, corners, triangles: range } of solids) {
    const cell = Math.min(whole * MOST, Math.max(whole * LEAST, sizeOf(own.least, own.most) * OWN)) || 1
    const [x, y, z] = own.least
    const firsts = new Map<number, number>()
    for (let v = corners[0]; v < corners[1]; v++) {
      const cx = Math.floor((positions[v * 3]! - x) / cell)
      const cy = Math.floor((positions[v * 3 + 1]! - y) / cell)
      const cz = Math.floor((positions[v * 3 + 2]! - z) / cell)
      const key = ((cx * SPAN + cy) * SPAN + cz) * 6 + facing(normals, v)
      const first = firsts.get(key)
      if (first === undefined) firsts.set(key, v)
      stand[v] = first ?? v
    }
    for (let t = range[0]; t < range[1]; t += 3) {
      const a = stand[triangles[t]!]!
      const b = stand[triangles[t + 1]!]!
      const c = stand[triangles[t + 2]!]!
      if (a === b || b === c || c === a) continue
      out[at++] = a
      out[at++] = b
      out[at++] = c
    }
  }
  return out.slice(0, at)
}

/** More than there are cells along any side. */
const SPAN = 256

/** Which way the normal of a corner points most: of x, y, z there and back. */
function facing(normals: Int8Array, v: number): number {
  const x = normals[v * 4]!
  const y = normals[v * 4 + 1]!
  const z = normals[v * 4 + 2]!
  const ax = Math.abs(x)
  const ay = Math.abs(y)
  const az = Math.abs(z)
  if (ax >= ay && ax >= az) return x < 0 ? 0 : 1
  if (ay >= az) return y < 0 ? 2 : 3
  return z < 0 ? 4 : 5
}

function sizeOf(least: readonly number[], most: readonly number[]): number {
  return Math.max(...most.map((value, axis) => value - least[axis]!))
}
