import type { PackedSolids, PagePiece } from '../data'
import { type Box, creasesOf, facesOf, type Triple } from './creased'

export type { Box, Triple }

/** All solids as one buffer to draw, in the order of pieces. */
export interface Mesh {
  readonly faces: Drawn & {
    /** Four numbers a corner, in 127ths. */
    readonly normals: Int8Array
    readonly triangles: Uint32Array
  }
  readonly solids: readonly MeshSolid[]
  /** Around everything. */
  readonly box: Box
}

/** Lines along all creases, and where those of each solid begin and end. */
export interface EdgeMesh extends Drawn {
  readonly ranges: readonly Range[]
}

export interface Drawn {
  /** Three numbers a corner, mm. */
  readonly positions: Float32Array
  /** The solid each corner belongs to. */
  readonly owners: Float32Array
}

export type Range = readonly [start: number, end: number]

export interface MeshSolid {
  /** Index of the piece. */
  readonly piece: number
  /** Which of its copies, from 0. */
  readonly copy: number
  readonly of: PackedSolids
  readonly box: Box
  readonly corners: Range
  /** Its stretch of `faces.triangles`, in numbers. */
  readonly triangles: Range
}

/** A mesh, and the stretches of its corners and triangles that are not as before; all of it where nothing is said. */
export interface Patched<Made> {
  readonly mesh: Made
  readonly changed?: readonly number[]
}

/**
 * The solids of all pieces, each worked out once however often it is asked for. Where all are of the sizes they had in the
 * mesh before, that is changed in place, and the indices of the solids that differ are told.
 */
export function meshOf(pieces: readonly Pick<PagePiece, 'solids'>[], before?: Mesh): Patched<Mesh> {
  const solids = solidsOf(pieces)
  const box = around(solids.map((solid) => solid.box))
  if (before && sameSizes(solids, before.solids)) {
    const changed = solids.flatMap(({ of }, i) => (of === before.solids[i]!.of ? [] : [i]))
    for (const i of changed) write(before.faces, solids[i]!, i)
    return { mesh: { faces: before.faces, solids, box }, changed }
  }
  const last = solids.at(-1)
  const corners = last?.corners[1] ?? 0
  const faces = {
    positions: new Float32Array(corners * 3),
    owners: new Float32Array(corners),
    normals: new Int8Array(corners * 4),
    triangles: new Uint32Array(last?.triangles[1] ?? 0),
  }
  for (const [i, solid] of solids.entries()) write(faces, solid, i)
  return { mesh: { faces, solids, box } }
}

/** The lines of all solids of a mesh; in place, as the mesh itself. */
export function edgesOf({ solids }: Mesh, before?: { readonly edges: EdgeMesh; readonly solids: Mesh['solids'] }): Patched<EdgeMesh> {
  let at = 0
  const ranges = solids.map(({ of, copy }): Range => {
    const [from, to] = creaseRange(of, copy)
    return [at, (at += to - from)]
  })
  const writeLines = ({ positions, owners }: Drawn, i: number) => {
    const { of, copy } = solids[i]!
    const [from, to] = creaseRange(of, copy)
    positions.set(creasesOf(of).positions.subarray(from * 3, to * 3), ranges[i]![0] * 3)
    owners.fill(i, ...ranges[i]!)
  }
  const old = before?.edges.ranges
  if (before && old!.length === ranges.length && ranges.every(([, end], i) => end === old![i]![1])) {
    const changed = solids.flatMap(({ of }, i) => (of === before.solids[i]!.of ? [] : [i]))
    for (const i of changed) writeLines(before.edges, i)
    return { mesh: before.edges, changed }
  }
  const edges = { positions: new Float32Array(at * 3), owners: new Float32Array(at), ranges }
  for (let i = 0; i < solids.length; i++) writeLines(edges, i)
  return { mesh: edges }
}

/** The lines of single solids, for a drawing of their own. */
export function linesOf({ solids }: Mesh, chosen: readonly number[]): Drawn {
  const lines = chosen.map((i) => {
    const { of, copy } = solids[i]!
    const [from, to] = creaseRange(of, copy)
    return { i, positions: creasesOf(of).positions.subarray(from * 3, to * 3) }
  })
  return {
    positions: Float32Array.from(lines.flatMap(({ positions }) => [...positions])),
    owners: Float32Array.from(lines.flatMap(({ i, positions }) => Array.from({ length: positions.length / 3 }, () => i))),
  }
}

export function around(boxes: readonly Box[]): Box {
  const [first] = boxes
  if (!first) return { least: [0, 0, 0], most: [0, 0, 0] }
  const [least, most] = [[...first.least], [...first.most]]
  for (const box of boxes) {
    for (let axis = 0; axis < 3; axis++) {
      least[axis] = Math.min(least[axis]!, box.least[axis]!)
      most[axis] = Math.max(most[axis]!, box.most[axis]!)
    }
  }
  return { least: least as unknown as Triple, most: most as unknown as Triple }
}

function solidsOf(pieces: readonly Pick<PagePiece, 'solids'>[]): MeshSolid[] {
  const solids: MeshSolid[] = []
  let [corner, triangle] = [0, 0]
  for (const [piece, { solids: of }] of pieces.entries()) {
    if (!of) continue
    let [corners, triangles] = [0, 0]
    for (const [copy, end] of facesOf(of).copies.entries()) {
      const [nCorners, nTriangles] = [end.corners - corners, end.triangles - triangles]
      solids.push({
        piece,
        copy,
        of,
        box: end.box,
        corners: [corner, corner + nCorners],
        triangles: [triangle, triangle + nTriangles],
      })
      corner += nCorners
      triangle += nTriangles
      corners = end.corners
      triangles = end.triangles
    }
  }
  return solids
}

function sameSizes(solids: readonly MeshSolid[], before: readonly MeshSolid[]): boolean {
  const ends = ({ corners, triangles }: MeshSolid) => `${corners[1]} ${triangles[1]}`
  return solids.length === before.length && solids.every((solid, i) => ends(solid) === ends(before[i]!))
}

function write({ positions, owners, normals, triangles }: Mesh['faces'], { of, copy, corners, triangles: range }: MeshSolid, i: number): void {
  const own = facesOf(of)
  const before = own.copies[copy - 1]
  const [from, to] = [before?.corners ?? 0, own.copies[copy]!.corners]
  positions.set(own.positions.subarray(from * 3, to * 3), corners[0] * 3)
  normals.set(own.normals.subarray(from * 4, to * 4), corners[0] * 4)
  owners.fill(i, ...corners)
  const first = before?.triangles ?? 0
  const shift = corners[0] - from
  for (let t = range[0]; t < range[1]; t++) triangles[t] = own.triangles[first + t - range[0]]! + shift
}

function creaseRange(of: PackedSolids, copy: number): Range {
  const { copies } = creasesOf(of)
  return [copies[copy - 1] ?? 0, copies[copy]!]
}
