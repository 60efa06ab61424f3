import type { Vector } from '../shape/pose'
import { type CellTree, OUTSIDE } from './cellTree'

/** What two cells share. */
export interface SharedCell {
  /** mm³; below 0 where card that is mitred two ways is turned inside out, so that what lies there twice counts once. */
  readonly volume: number
  /** Of its faces that are on the outside of one of the bodies, mm². */
  readonly outside: number
  /** Corners, three numbers each; some more than once. */
  readonly corners: Float64Array
}

/**
 * What two bodies share, cell by cell, the second one moved by `shift`: every cell of the one is cut by the planes of
 * those of the other that it may meet (I. Sutherland and G. Hodgman, 1974, face by face).
 *
 * @param visit called with each; the search ends when it returns true
 */
export function sharedCells(a: CellTree, b: CellTree, shift: Vector, visit: (shared: SharedCell) => boolean | void): void {
  const [ours, theirs] = [convexIn(a, [0, 0, 0]), convexIn(b, shift)]
  eachNearPair(a, b, shift, (m, n) => {
    for (const one of ours(m)) {
      for (const other of theirs(n)) {
        const shared = bothOf(one, other)
        if (shared && visit(shared) === true) return true
      }
    }
    return false
  })
}

/** Pairs of cells whose boxes meet, until one is told to be the last. */
function eachNearPair(a: CellTree, b: CellTree, shift: Vector, visit: (m: number, n: number) => boolean): void {
  const meet = (p: Float64Array, i: number, q: Float64Array, j: number): boolean => {
    for (let k = 0; k < 3; k++) {
      if (p[6 * i + k]! >= q[6 * j + 3 + k]! + shift[k]! || q[6 * j + k]! + shift[k]! >= p[6 * i + 3 + k]!) return false
    }
    return true
  }
  const leaves = (i: number, j: number): boolean => {
    for (let m = a.first[i]!; m < a.end[i]!; m++) {
      for (let n = b.first[j]!; n < b.end[j]!; n++) {
        if (meet(a.cellBoxes, m, b.cellBoxes, n) && visit(m, n)) return true
      }
    }
    return false
  }
  const descend = (i: number, j: number): boolean => {
    if (!meet(a.boxes, i, b.boxes, j)) return false
    const intoA = a.second[i]!
    const intoB = b.second[j]!
    if (intoA === 0 && intoB === 0) return leaves(i, j)
    if (intoB === 0 || (intoA !== 0 && a.end[i]! - a.first[i]! >= b.end[j]! - b.first[j]!)) return descend(i + 1, j) || descend(intoA, j)
    return descend(i, j + 1) || descend(i, intoB)
  }
  descend(0, 0)
}

/** A convex body by its faces: their corners, planes x·n ≤ d inside as n and d, and whether they are on the outside. */
interface Convex {
  readonly corners: Float64Array
  readonly faces: readonly (readonly number[])[]
  readonly planes: Float64Array
  readonly outside: readonly boolean[]
  /** -1 for what is turned inside out. */
  readonly sign: 1 | -1
}

/** Each cell as convex bodies, made once: one, or three where its walls are twisted. */
function convexIn(tree: CellTree, [sx, sy, sz]: Vector): (cell: number) => readonly Convex[] {
  const known = new Map<number, readonly Convex[]>()
  return (cell) => {
    const made = known.get(cell)
    if (made) return made
    const corners = tree.corners.slice(18 * cell, 18 * cell + 18)
    for (let i = 0; i < 18; i += 3) {
      corners[i]! += sx
      corners[i + 1]! += sy
      corners[i + 2]! += sz
    }
    const flags = tree.outside()[cell]!
    const wedge = convexOf(corners, FACES, flags, tree.card && sixVolumes(corners, [0, 1, 2, 3]) > 0 ? -1 : 1)
    const bodies = isHeld(wedge) && !(tree.card && wedge.planes.includes(Infinity)) ? [wedge] : tetrahedra(corners).map(({ faces, sign }) => convexOf(corners, faces, flags, sign))
    known.set(cell, bodies)
    return bodies
  }
}

/** Corners round each face of a cell: the triangle, its fellow, and the walls from each corner to the next. */
const FACES: readonly (readonly number[])[] = [
  [0, 1, 2],
  [3, 5, 4],
  [0, 1, 4, 3],
  [1, 2, 5, 4],
  [2, 0, 3, 5],
]

function convexOf(corners: Float64Array, faces: Convex['faces'], flags: number, sign: 1 | -1): Convex {
  const planes = new Float64Array(4 * faces.length)
  const all = faces === FACES ? ALL : [...new Set(faces.flat())]
  for (let f = 0; f < faces.length; f++) putPlane(corners, all, faces[f]!, planes, 4 * f)
  const outside = faces.map((face, f) => isOutside(faces === FACES ? f : FACES.findIndex((whole) => face.every((corner) => whole.includes(corner))), flags))
  return { corners, faces, planes, outside, sign }
}

const ALL = [0, 1, 2, 3, 4, 5]

/** Whether a face of a cell is told by the flags to be on the outside of the body. */
function isOutside(face: number, flags: number): boolean {
  return face >= 0 && (flags & (face < 2 ? OUTSIDE.faces : OUTSIDE.wall << (face - 2))) !== 0
}

/** Corners may lie so far beyond a wall that is not quite plane, mm. */
const TWIST = 2e-3

/** Whether the planes of the faces hold all corners, as they do not where card is mitred two ways at a sharp corner. */
function isHeld({ corners, planes }: Convex): boolean {
  for (let f = 0; f < planes.length; f += 4) {
    for (let i = 0; i < corners.length; i += 3) {
      if (planes[f]! * corners[i]! + planes[f + 1]! * corners[i + 1]! + planes[f + 2]! * corners[i + 2]! > planes[f + 3]! + TWIST) return false
    }
  }
  return true
}

/**
 * The faces of three tetrahedra that fill a cell. Each wall is divided from the one of its two columns of corners that
 * comes first by its coordinates, so that neighbours divide it alike.
 */
function tetrahedra(corners: Float64Array): Pick<Convex, 'faces' | 'sign'>[] {
  const before = (p: number, q: number): number => {
    for (let k = 0; k < 3; k++) if (corners[3 * p + k] !== corners[3 * q + k]) return corners[3 * p + k]! - corners[3 * q + k]!
    return 0
  }
  const columns = [0, 1, 2].toSorted(before)
  const [a, b, c] = columns as [number, number, number]
  const even = (a + 1) % 3 === b
  const all: [number, number, number, number][] = [
    [a, a + 3, b + 3, c + 3],
    [a, b, b + 3, c + 3],
    [a, b, c, c + 3],
  ]
  return all.flatMap((corner, i) => {
    const [p, q, r, s] = corner
    const volume = sixVolumes(corners, corner) * (even ? 1 : -1) * (i === 1 ? -1 : 1)
    if (Math.abs(volume) < FLAT) return []
    return [{ faces: [[p, q, r], [p, q, s], [p, r, s], [q, r, s]], sign: volume < 0 ? 1 : -1 }]
  })
}

/** Six volumes of a tetrahedron that is none, mm³. */
const FLAT = 1e-9

function sixVolumes(corners: Float64Array, [p, q, r, s]: readonly [number, number, number, number]): number {
  const [u, v, w] = [q, r, s].map((corner) => [0, 1, 2].map((k) => corners[3 * corner + k]! - corners[3 * p + k]!)) as [number[], number[], number[]]
  return (
    u[0]! * (v[1]! * w[2]! - v[2]! * w[1]!) + u[1]! * (v[2]! * w[0]! - v[0]! * w[2]!) + u[2]! * (v[0]! * w[1]! - v[1]! * w[0]!)
  )
}

/** A plane through the middle of a face, away from the middle of all corners; d without end for a face of no area. */
function putPlane(corners: Float64Array, all: readonly number[], face: readonly number[], into: Float64Array, at: number): void {
  const p = 3 * face[0]!
  const q = 3 * face[1]!
  const r = 3 * face[2]!
  const s = 3 * (face[3] ?? face[0]!)
  // Of four corners across both diagonals.
  const ux = corners[r]! - corners[p]!
  const uy = corners[r + 1]! - corners[p + 1]!
  const uz = corners[r + 2]! - corners[p + 2]!
  const vx = corners[s]! - corners[q]!
  const vy = corners[s + 1]! - corners[q + 1]!
  const vz = corners[s + 2]! - corners[q + 2]!
  let nx = uy * vz - uz * vy
  let ny = uz * vx - ux * vz
  let nz = ux * vy - uy * vx
  const size = Math.sqrt(nx * nx + ny * ny + nz * nz)
  into[at + 3] = Infinity
  if (size < 1e-12) return
  nx /= size
  ny /= size
  nz /= size
  let d = 0
  for (const corner of face) d += nx * corners[3 * corner]! + ny * corners[3 * corner + 1]! + nz * corners[3 * corner + 2]!
  d /= face.length
  let middle = 0
  for (const corner of all) middle += nx * corners[3 * corner]! + ny * corners[3 * corner + 1]! + nz * corners[3 * corner + 2]!
  middle /= all.length
  const sign = middle > d ? -1 : 1
  into[at] = sign * nx
  into[at + 1] = sign * ny
  into[at + 2] = sign * nz
  into[at + 3] = sign * d
}

/** Most corners of a face, and most faces, of what is left of a cell. */
const ROUND = 24
const MOST = 12

// Faces of what is left: corners, how many each has, and which are on the outside; and room for the next cut.
let points = new Float64Array(3 * ROUND * MOST)
let lengths = new Int32Array(MOST)
let outer = new Uint8Array(MOST)
let faces = 0
let nextPoints = new Float64Array(3 * ROUND * MOST)
let nextLengths = new Int32Array(MOST)
let nextOuter = new Uint8Array(MOST)
const cap = new Float64Array(3 * ROUND * MOST)

function bothOf(one: Convex, other: Convex): SharedCell | undefined {
  if (isBeyond(one, other) || isBeyond(other, one)) return undefined
  faces = one.faces.length
  for (let f = 0; f < faces; f++) {
    const face = one.faces[f]!
    lengths[f] = face.length
    outer[f] = one.outside[f] ? 1 : 0
    for (let i = 0; i < face.length; i++) {
      for (let k = 0; k < 3; k++) points[3 * (ROUND * f + i) + k] = one.corners[3 * face[i]! + k]!
    }
  }
  for (let f = 0; f < other.faces.length; f++) if (!cutBy(other.planes, 4 * f, other.outside[f]!)) return undefined
  return told((one.sign * other.sign) as 1 | -1)
}

/** Whether all of one body lies beyond a face of another. */
function isBeyond({ corners }: Convex, { planes }: Convex): boolean {
  for (let f = 0; f < planes.length; f += 4) {
    const nx = planes[f]!
    const ny = planes[f + 1]!
    const nz = planes[f + 2]!
    const d = planes[f + 3]! - ON
    let beyond = true
    for (let i = 0; beyond && i < corners.length; i += 3) {
      beyond = nx * corners[i]! + ny * corners[i + 1]! + nz * corners[i + 2]! >= d
    }
    if (beyond) return true
  }
  return false
}

/** Nearer to a plane than this is on it, mm. */
const ON = 1e-9

/** Cuts off what lies beyond a plane; false where nothing is left. */
function cutBy(planes: Float64Array, at: number, outside: boolean): boolean {
  const nx = planes[at]!
  const ny = planes[at + 1]!
  const nz = planes[at + 2]!
  const d = planes[at + 3]!
  if (d === Infinity) return true
  let least = Infinity
  let most = -Infinity
  for (let f = 0; f < faces; f++) {
    for (let i = 3 * ROUND * f; i < 3 * (ROUND * f + lengths[f]!); i += 3) {
      const s = nx * points[i]! + ny * points[i + 1]! + nz * points[i + 2]! - d
      if (s < least) least = s
      if (s > most) most = s
    }
  }
  if (least >= -ON) return false
  if (most <= ON) return true
  let kept = 0
  let capped = 0
  for (let f = 0; f < faces; f++) {
    const from = 3 * ROUND * f
    const to = 3 * ROUND * kept
    const count = lengths[f]!
    let put = 0
    for (let i = 0; i < count; i++) {
      const p = from + 3 * i
      const q = from + 3 * ((i + 1) % count)
      const here = nx * points[p]! + ny * points[p + 1]! + nz * points[p + 2]! - d
      const there = nx * points[q]! + ny * points[q + 1]! + nz * points[q + 2]! - d
      if (here <= 0) {
        for (let k = 0; k < 3; k++) nextPoints[to + 3 * put + k] = points[p + k]!
        put++
      }
      if (here <= 0 !== there <= 0) {
        const t = here / (here - there)
        for (let k = 0; k < 3; k++) {
          const value = points[p + k]! + t * (points[q + k]! - points[p + k]!)
          nextPoints[to + 3 * put + k] = value
          cap[3 * capped + k] = value
        }
        put++
        capped++
      }
    }
    if (put < 3) continue
    nextLengths[kept] = put
    nextOuter[kept] = outer[f]!
    kept++
  }
  swap()
  faces = kept
  if (capped > 2) putCap(capped, nx, ny, nz, outside)
  return true
}

function swap(): void {
  const was = { points, lengths, outer }
  points = nextPoints
  lengths = nextLengths
  outer = nextOuter
  nextPoints = was.points
  nextLengths = was.lengths
  nextOuter = was.outer
}

const angles = new Float64Array(ROUND * MOST)
const order = new Int32Array(ROUND * MOST)

/** The face where a cut was made: its corners, which come two a face that was cut, in order round their middle. */
function putCap(count: number, nx: number, ny: number, nz: number, outside: boolean): void {
  let mx = 0
  let my = 0
  let mz = 0
  for (let i = 0; i < 3 * count; i += 3) {
    mx += cap[i]! / count
    my += cap[i + 1]! / count
    mz += cap[i + 2]! / count
  }
  // A direction in the plane, off the axis that is most square to it, and the one across.
  const [x, y, z] = [Math.abs(nx), Math.abs(ny), Math.abs(nz)]
  const ax = x <= y && x <= z ? 0 : y <= z ? nz : -ny
  const ay = x <= y && x <= z ? -nz : y <= z ? 0 : nx
  const az = x <= y && x <= z ? ny : y <= z ? -nx : 0
  const bx = ny * az - nz * ay
  const by = nz * ax - nx * az
  const bz = nx * ay - ny * ax
  for (let i = 0; i < count; i++) {
    const px = cap[3 * i]! - mx
    const py = cap[3 * i + 1]! - my
    const pz = cap[3 * i + 2]! - mz
    const angle = Math.atan2(px * bx + py * by + pz * bz, px * ax + py * ay + pz * az)
    let at = i
    for (; at > 0 && angles[at - 1]! > angle; at--) {
      angles[at] = angles[at - 1]!
      order[at] = order[at - 1]!
    }
    angles[at] = angle
    order[at] = i
  }
  let put = 0
  const to = 3 * ROUND * faces
  for (let i = 0; i < count; i++) {
    const from = 3 * order[i]!
    const last = to + 3 * (put - 1)
    const same =
      put > 0 &&
      Math.abs(points[last]! - cap[from]!) + Math.abs(points[last + 1]! - cap[from + 1]!) + Math.abs(points[last + 2]! - cap[from + 2]!) < ON
    if (same) continue
    for (let k = 0; k < 3; k++) points[to + 3 * put + k] = cap[from + k]!
    put++
  }
  if (put < 3) return
  lengths[faces] = put
  outer[faces] = outside ? 1 : 0
  faces++
}

/** What is left, unless that is nothing to speak of. */
function told(sign: 1 | -1): SharedCell | undefined {
  let total = 0
  let mx = 0
  let my = 0
  let mz = 0
  for (let f = 0; f < faces; f++) {
    for (let i = 3 * ROUND * f; i < 3 * (ROUND * f + lengths[f]!); i += 3) {
      mx += points[i]!
      my += points[i + 1]!
      mz += points[i + 2]!
    }
    total += lengths[f]!
  }
  let volume = 0
  let outside = 0
  for (let f = 0; f < faces; f++) {
    const o = 3 * ROUND * f
    let tx = 0
    let ty = 0
    let tz = 0
    for (let i = o + 3; i + 3 < o + 3 * lengths[f]!; i += 3) {
      const ux = points[i]! - points[o]!
      const uy = points[i + 1]! - points[o + 1]!
      const uz = points[i + 2]! - points[o + 2]!
      const vx = points[i + 3]! - points[o]!
      const vy = points[i + 4]! - points[o + 1]!
      const vz = points[i + 5]! - points[o + 2]!
      tx += uy * vz - uz * vy
      ty += uz * vx - ux * vz
      tz += ux * vy - uy * vx
    }
    // A pyramid from each face to the middle.
    volume += Math.abs(tx * (points[o]! - mx / total) + ty * (points[o + 1]! - my / total) + tz * (points[o + 2]! - mz / total)) / 6
    if (outer[f]) outside += Math.sqrt(tx * tx + ty * ty + tz * tz) / 2
  }
  if (!(volume > LEAST)) return undefined
  const corners = new Float64Array(3 * total)
  let to = 0
  for (let f = 0; f < faces; f++) for (let i = 0; i < 3 * lengths[f]!; i++) corners[to++] = points[3 * ROUND * f + i]!
  return { volume: sign * volume, outside, corners }
}

/** Cells that touch share nothing, mm³. */
const LEAST = 1e-12
