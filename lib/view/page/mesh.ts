import type { PackedSolids } from '../data'
import { unpackCorners, unpackTriangles } from './unpack'

/** All solids as two buffers to draw, faces and edges, in the order of the list. */
export interface Mesh {
  readonly faces: Drawn & { readonly normals: Int8Array; readonly triangles: Uint32Array }
  readonly edges: Drawn
  readonly solids: readonly MeshSolid[]
  /** Around everything. */
  readonly box: Box
}

export interface Drawn {
  /** Three numbers a corner, mm. */
  readonly positions: Float32Array
  /** The solid each corner belongs to. */
  readonly owners: Float32Array
}

export interface MeshSolid {
  readonly piece: number
  readonly copy: number
  readonly box: Box
  /** Its stretch of `faces.triangles`, in numbers. */
  readonly triangles: readonly [start: number, end: number]
  /** Its stretch of the corners of `edges`. */
  readonly edges: readonly [start: number, end: number]
}

export type Triple = readonly [number, number, number]

export interface Box {
  readonly least: Triple
  readonly most: Triple
}

/** Faces meeting at less than this are drawn as one curved face, with no line between them. */
const SMOOTH = Math.cos((28 * Math.PI) / 180)

/**
 * Corners are split where a crease runs through them, each part with its own normal, and an edge is drawn along every
 * crease. Neighbours are found through the corners' own triangles, without a table of edges: linear, and nothing is
 * allocated a triangle.
 */
export function meshOf(packed: PackedSolids): Mesh {
  const corners = unpackCorners(packed)
  const all = unpackTriangles(packed)
  const faces = growing()
  const edges = growing()
  const normals: number[] = []
  const triangles = new Uint32Array(all.length)
  const solids: MeshSolid[] = []
  let corner = 0
  let triangle = 0
  for (let i = 0; i < packed.list.length; i += 4) {
    const [piece, copy, nCorners, nTriangles] = packed.list.slice(i, i + 4) as [number, number, number, number]
    const own = corners.subarray(corner * 3, (corner + nCorners) * 3)
    const index = all.subarray(triangle, triangle + nTriangles * 3)
    const [firstEdge, firstTriangle] = [edges.owners.length, triangle]
    addSolid({ own, index, owner: solids.length, faces, normals, edges, out: triangles, start: triangle })
    corner += nCorners
    triangle += nTriangles * 3
    solids.push({
      piece,
      copy,
      box: boxOf(own),
      triangles: [firstTriangle, triangle],
      edges: [firstEdge, edges.owners.length],
    })
  }
  return {
    faces: { ...drawn(faces), normals: Int8Array.from(normals), triangles },
    edges: drawn(edges),
    solids,
    box: boxOf(corners),
  }
}

interface Growing {
  readonly positions: number[]
  readonly owners: number[]
}

function growing(): Growing {
  return { positions: [], owners: [] }
}

function drawn({ positions, owners }: Growing): Drawn {
  return { positions: Float32Array.from(positions), owners: Float32Array.from(owners) }
}

interface SolidWork {
  readonly own: Float32Array
  readonly index: Uint16Array | Uint32Array
  readonly owner: number
  readonly faces: Growing
  readonly normals: number[]
  readonly edges: Growing
  readonly out: Uint32Array
  readonly start: number
}

function addSolid({ own, index, owner, faces, normals, edges, out, start }: SolidWork): void {
  const flat = faceNormals(own, index)
  const { first, uses } = usesOfCorners(own.length / 3, index)
  for (let v = 0; v < own.length / 3; v++) {
    const [from, to] = [first[v]!, first[v + 1]!]
    for (let i = from; i < to; i++) {
      const use = uses[i]!
      const normal = smoothNormal(flat, uses, from, to, use)
      // A part of this corner that looks the same way serves for this triangle too.
      let target = -1
      for (let j = from; j < i && target < 0; j++) {
        const other = out[start + uses[j]!]!
        if (sameNormal(normals, other, normal)) target = other
      }
      if (target < 0) {
        target = faces.owners.length
        faces.positions.push(own[v * 3]!, own[v * 3 + 1]!, own[v * 3 + 2]!)
        faces.owners.push(owner)
        normals.push(normal[0], normal[1], normal[2], 0)
      }
      out[start + use] = target
      addEdge(own, index, flat, uses, from, to, use, edges, owner)
    }
  }
}

/** Of each triangle; (0, 0, 0) for one without an area. */
function faceNormals(own: Float32Array, index: ArrayLike<number>): Float32Array {
  const normals = new Float32Array(index.length)
  for (let t = 0; t < index.length; t += 3) {
    const [a, b, c] = [index[t]! * 3, index[t + 1]! * 3, index[t + 2]! * 3]
    const [ux, uy, uz] = [own[b]! - own[a]!, own[b + 1]! - own[a + 1]!, own[b + 2]! - own[a + 2]!]
    const [vx, vy, vz] = [own[c]! - own[a]!, own[c + 1]! - own[a + 1]!, own[c + 2]! - own[a + 2]!]
    const [x, y, z] = [uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx]
    const length = Math.hypot(x, y, z) || 1
    normals[t] = x / length
    normals[t + 1] = y / length
    normals[t + 2] = z / length
  }
  return normals
}

/** Where in the index each corner is used: `uses[first[v]]` to `uses[first[v + 1] - 1]`. */
function usesOfCorners(corners: number, index: ArrayLike<number>): { first: Uint32Array; uses: Uint32Array } {
  const first = new Uint32Array(corners + 1)
  for (let i = 0; i < index.length; i++) first[index[i]! + 1]!++
  for (let v = 0; v < corners; v++) first[v + 1]! += first[v]!
  const next = first.slice()
  const uses = new Uint32Array(index.length)
  for (let i = 0; i < index.length; i++) uses[next[index[i]!]!++] = i
  return { first, uses }
}

/** Mean normal of the faces at this corner that are smooth to the one that `use` belongs to, in 127ths. */
function smoothNormal(flat: Float32Array, uses: Uint32Array, from: number, to: number, use: number): Triple {
  const own = use - (use % 3)
  let [x, y, z] = [0, 0, 0]
  for (let i = from; i < to; i++) {
    const other = uses[i]! - (uses[i]! % 3)
    if (dot(flat, own, other) < SMOOTH && other !== own) continue
    x += flat[other]!
    y += flat[other + 1]!
    z += flat[other + 2]!
  }
  const length = Math.hypot(x, y, z) / 127 || 1
  return [Math.round(x / length), Math.round(y / length), Math.round(z / length)]
}

function sameNormal(normals: readonly number[], corner: number, [x, y, z]: Triple): boolean {
  return normals[corner * 4] === x && normals[corner * 4 + 1] === y && normals[corner * 4 + 2] === z
}

/** The edge that starts at this use of a corner, unless the face across it goes on smoothly or draws it itself. */
function addEdge(
  own: Float32Array,
  index: ArrayLike<number>,
  flat: Float32Array,
  uses: Uint32Array,
  from: number,
  to: number,
  use: number,
  edges: Growing,
  owner: number,
): void {
  const face = use - (use % 3)
  const [a, b] = [index[use]!, index[face + ((use + 1) % 3)]!]
  for (let i = from; i < to; i++) {
    const other = uses[i]! - (uses[i]! % 3)
    // The neighbour runs along the edge the other way: its corner before this one is our end.
    if (index[other + ((uses[i]! + 2) % 3)] !== b) continue
    if (a > b || dot(flat, face, other) >= SMOOTH) return
    break
  }
  for (const v of [a, b]) {
    edges.positions.push(own[v * 3]!, own[v * 3 + 1]!, own[v * 3 + 2]!)
    edges.owners.push(owner)
  }
}

function dot(flat: Float32Array, a: number, b: number): number {
  return flat[a]! * flat[b]! + flat[a + 1]! * flat[b + 1]! + flat[a + 2]! * flat[b + 2]!
}

function boxOf(positions: Float32Array): Box {
  const least: [number, number, number] = [Infinity, Infinity, Infinity]
  const most: [number, number, number] = [-Infinity, -Infinity, -Infinity]
  for (let i = 0; i < positions.length; i++) {
    const axis = i % 3
    const value = positions[i]!
    if (value < least[axis]!) least[axis] = value
    if (value > most[axis]!) most[axis] = value
  }
  return positions.length > 0 ? { least, most } : { least: [0, 0, 0], most: [0, 0, 0] }
}
