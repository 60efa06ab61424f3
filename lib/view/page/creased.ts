import type { PackedSolids } from '../data'
import { kept } from './kept'
import { unpackCorners, unpackTriangles } from './unpack'

/** All copies of a piece with their corners split where a crease runs through them, each part with its own normal. */
export interface Faces {
  /** Three numbers a corner, mm. */
  readonly positions: Float32Array
  /** Four numbers a corner, in 127ths. */
  readonly normals: Int8Array
  /** Three corners each. */
  readonly triangles: Uint32Array
  readonly copies: readonly Copy[]
}

export interface Copy {
  readonly box: Box
  /** Where its corners, and the numbers of its triangles, end. */
  readonly corners: number
  readonly triangles: number
}

/** Lines along the creases, six numbers each; and where those of each copy end. */
export interface Creases {
  readonly positions: Float32Array
  readonly copies: readonly number[]
}

export type Triple = readonly [number, number, number]

export interface Box {
  readonly least: Triple
  readonly most: Triple
}

/** Faces meeting at less than this are drawn as one curved face, with no line between them. */
const SMOOTH = Math.cos((28 * Math.PI) / 180)
/** Faces that look the same way to within what a normal of bytes can tell. */
const ALIKE = 1 - 1e-5

export const facesOf = kept(makeFaces)

export const creasesOf = kept(makeCreases)

interface Raw {
  /** Three numbers a corner. */
  readonly own: Float32Array
  readonly index: Uint16Array | Uint32Array
}

function copiesOf(packed: PackedSolids): Raw[] {
  const corners = unpackCorners(packed)
  const triangles = unpackTriangles(packed)
  const copies: Raw[] = []
  let [corner, triangle] = [0, 0]
  for (let i = 0; i < packed.list.length; i += 2) {
    const [nCorners, nTriangles] = [packed.list[i]!, packed.list[i + 1]!]
    copies.push({
      own: corners.subarray(corner, corner + nCorners * 3),
      index: triangles.subarray(triangle, triangle + nTriangles * 3),
    })
    corner += nCorners * 3
    triangle += nTriangles * 3
  }
  return copies
}

/**
 * Neighbours are found through the corners' own triangles, without a table of edges: linear, and nothing is allocated a
 * triangle.
 */
function makeFaces(packed: PackedSolids): Faces {
  const raw = copiesOf(packed)
  const uses = raw.reduce((sum, { index }) => sum + index.length, 0)
  // No corner is split into more parts than it has triangles.
  const positions = (roomy.positions = roomFor(roomy.positions, uses * 3))
  const normals = (roomy.normals = roomFor(roomy.normals, uses * 4))
  const triangles = new Uint32Array(uses)
  const copies: Copy[] = []
  const out = { positions, normals, triangles }
  let [corner, start] = [0, 0]
  for (const { own, index } of raw) {
    corner = splitCorners(own, index, out, corner, start)
    start += index.length
    copies.push({ box: boxOf(own), corners: corner, triangles: start })
  }
  return { positions: positions.slice(0, corner * 3), normals: normals.slice(0, corner * 4), triangles, copies }
}

/** Room to work in, kept from one piece to the next: thousands of them would have it cleared away as often. */
const roomy = {
  positions: new Float32Array(0),
  normals: new Int8Array(0),
  flat: new Float32Array(0),
  first: new Uint32Array(0),
  next: new Uint32Array(0),
  uses: new Uint32Array(0),
  ways: new Uint32Array(0),
  parted: new Uint32Array(0),
}

function roomFor<Numbers extends Float32Array | Int8Array | Uint32Array>(room: Numbers, length: number): Numbers {
  return room.length >= length ? room : (new (room.constructor as new (length: number) => Numbers)(2 * length))
}

/** Writes the corners of one copy from `next` on, and its triangles from `start` on; gives where the next copy's begin. */
function splitCorners(
  own: Float32Array,
  index: ArrayLike<number>,
  { positions, normals, triangles }: Pick<Faces, 'positions' | 'normals' | 'triangles'>,
  next: number,
  start: number,
): number {
  const flat = faceNormals(own, index)
  const { first, uses } = usesOfCorners(own.length / 3, index)
  // Faces at one corner that look different ways, and the part of the corner for each.
  const ways = (roomy.ways = roomFor(roomy.ways, index.length))
  const parted = (roomy.parted = roomFor(roomy.parted, index.length))
  for (let v = 0; v < own.length / 3; v++) {
    // Arrays to take apart again, as elsewhere, would cost more here than all the rest.
    const from = first[v]!
    const to = first[v + 1]!
    const parts = next
    let known = 0
    for (let i = from; i < to; i++) {
      const use = uses[i]!
      const face = use - (use % 3)
      let target = -1
      for (let way = 0; way < known && target < 0; way++) {
        if (dot(flat, face, ways[way]!) > ALIKE) target = parted[way]!
      }
      if (target < 0) {
        // Mean normal of the faces at this corner that are smooth to this one.
        let x = flat[face]!
        let y = flat[face + 1]!
        let z = flat[face + 2]!
        for (let j = from; j < to; j++) {
          const other = uses[j]! - (uses[j]! % 3)
          if (other === face || dot(flat, face, other) < SMOOTH) continue
          x += flat[other]!
          y += flat[other + 1]!
          z += flat[other + 2]!
        }
        const length = Math.sqrt(x * x + y * y + z * z) / 127 || 1
        x = Math.round(x / length)
        y = Math.round(y / length)
        z = Math.round(z / length)
        for (let part = parts; part < next && target < 0; part++) {
          if (normals[part * 4] === x && normals[part * 4 + 1] === y && normals[part * 4 + 2] === z) target = part
        }
        if (target < 0) {
          target = next++
          positions[target * 3] = own[v * 3]!
          positions[target * 3 + 1] = own[v * 3 + 1]!
          positions[target * 3 + 2] = own[v * 3 + 2]!
          normals[target * 4] = x
          normals[target * 4 + 1] = y
          normals[target * 4 + 2] = z
        }
        ways[known] = face
        parted[known++] = target
      }
      triangles[start + use] = target
    }
  }
  return next
}

function makeCreases(packed: PackedSolids): Creases {
  const raw = copiesOf(packed)
  const most = raw.reduce((sum, { index }) => sum + index.length * 6, 0)
  const positions = (roomy.positions = roomFor(roomy.positions, most))
  const copies: number[] = []
  let at = 0
  for (const { own, index } of raw) {
    const flat = faceNormals(own, index)
    const { first, uses } = usesOfCorners(own.length / 3, index)
    for (let use = 0; use < index.length; use++) {
      const a = index[use]!
      const b = index[use - (use % 3) + ((use + 1) % 3)]!
      if (!isDrawn(use, a, b, index, flat, uses, first[a]!, first[a + 1]!)) continue
      for (let axis = 0; axis < 3; axis++) {
        positions[at + axis] = own[a * 3 + axis]!
        positions[at + 3 + axis] = own[b * 3 + axis]!
      }
      at += 6
    }
    copies.push(at / 3)
  }
  return { positions: positions.slice(0, at), copies }
}

/** Whether the edge from a to b is drawn here: not where the face across it goes on smoothly, or draws it itself. */
function isDrawn(
  use: number,
  a: number,
  b: number,
  index: ArrayLike<number>,
  flat: Float32Array,
  uses: Uint32Array,
  from: number,
  to: number,
): boolean {
  for (let i = from; i < to; i++) {
    const other = uses[i]! - (uses[i]! % 3)
    // The neighbour runs along the edge the other way: its corner before this one is our end.
    if (index[other + ((uses[i]! + 2) % 3)] !== b) continue
    return a < b && dot(flat, use - (use % 3), other) < SMOOTH
  }
  return true
}

/** Of each triangle; (0, 0, 0) for one without an area. */
function faceNormals(own: Float32Array, index: ArrayLike<number>): Float32Array {
  const normals = (roomy.flat = roomFor(roomy.flat, index.length))
  for (let t = 0; t < index.length; t += 3) {
    const a = index[t]! * 3
    const b = index[t + 1]! * 3
    const c = index[t + 2]! * 3
    const ux = own[b]! - own[a]!
    const uy = own[b + 1]! - own[a + 1]!
    const uz = own[b + 2]! - own[a + 2]!
    const vx = own[c]! - own[a]!
    const vy = own[c + 1]! - own[a + 1]!
    const vz = own[c + 2]! - own[a + 2]!
    const x = uy * vz - uz * vy
    const y = uz * vx - ux * vz
    const z = ux * vy - uy * vx
    const length = Math.sqrt(x * x + y * y + z * z) || 1
    normals[t] = x / length
    normals[t + 1] = y / length
    normals[t + 2] = z / length
  }
  return normals
}

/** Where in the index each corner is used: `uses[first[v]]` to `uses[first[v + 1] - 1]`. */
function usesOfCorners(corners: number, index: ArrayLike<number>): { first: Uint32Array; uses: Uint32Array } {
  const first = (roomy.first = roomFor(roomy.first, corners + 1))
  first.fill(0, 0, corners + 1)
  for (let i = 0; i < index.length; i++) first[index[i]! + 1]!++
  for (let v = 0; v < corners; v++) first[v + 1]! += first[v]!
  const next = (roomy.next = roomFor(roomy.next, corners))
  next.set(first.subarray(0, corners))
  const uses = (roomy.uses = roomFor(roomy.uses, index.length))
  for (let i = 0; i < index.length; i++) uses[next[index[i]!]!++] = i
  return { first, uses }
}

function dot(flat: Float32Array, a: number, b: number): number {
  return flat[a]! * flat[b]! + flat[a + 1]! * flat[b + 1]! + flat[a + 2]! * flat[b + 2]!
}

function boxOf(positions: Float32Array): Box {
  const least: [number, number, number] = [Infinity, Infinity, Infinity]
  const most: [number, number, number] = [-Infinity, -Infinity, -Infinity]
  for (let i = 0; i < positions.length; i += 3) {
    for (let axis = 0; axis < 3; axis++) {
      const value = positions[i + axis]!
      if (value < least[axis]!) least[axis] = value
      if (value > most[axis]!) most[axis] = value
    }
  }
  return positions.length > 0 ? { least, most } : { least: [0, 0, 0], most: [0, 0, 0] }
}
