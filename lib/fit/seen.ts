import Flatbush from 'flatbush'
import { cross, dot, unit } from '../craft/space'
import type { Point, Polyline } from '../shape/point'
import type { Pose, Vector } from '../shape/pose'
import type { Solid } from './solid'

/** Visible edges of one solid, in the axes of the view, mm. */
export interface SeenSolid {
  readonly mark: string
  readonly copy: number
  readonly lines: readonly Polyline[]
}

/**
 * What is seen of solids from far away along a direction: their sharp edges and outlines, without what other solids or
 * they themselves hide. Right and up of the pose are those of the picture; it is looked at against right × up.
 *
 * Exact up to a tolerance: each edge is cut where it goes behind a face (A. Appel, "The notion of quantitative
 * invisibility and the machine rendering of solids", 1967, title from memory), and what no face hides is drawn.
 *
 * @param shortest bits of edges that are shorter on their own are left out, mm; 0.05 unless said
 */
export function seenEdges(solids: readonly Solid[], view: Pose, shortest = 0.05): SeenSolid[] {
  const turned = solids.map((solid) => turn(solid, view))
  const faces = facesOf(turned)
  return turned.map((one, i) => ({
    mark: solids[i]!.mark,
    copy: solids[i]!.copy,
    lines: joined(edgesOf(one).flatMap(([a, b]) => visible(one.points, 3 * a, 3 * b, faces))).filter((line) => lengthOf(line) >= shortest),
  }))
}

/** The view along a direction, with z up in the picture, or y to the right where it is looked at from above. */
export function viewAlong(direction: Vector): Pose {
  const back = unit([-direction[0], -direction[1], -direction[2]])
  const up: Vector = Math.abs(back[2]) > 0.999 ? [-1, 0, 0] : [0, 0, 1]
  const right = unit(cross(up, back))
  return { origin: [0, 0, 0], right, up: cross(back, right) }
}

/** Folds less sharp than this, degrees, are taken as one surface. */
const SHARP = 25

interface Turned {
  /** Right, up and towards the eye, of each corner. */
  readonly points: Float64Array
  readonly triangles: Uint32Array
}

/** The faces that look at the eye, and where in the picture each is. */
interface Faces {
  /** x, y of three corners, then the plane: its unit normal x, y, z and its distance from the origin along it. */
  readonly data: Float64Array
  readonly index: Flatbush
}

const PER_FACE = 10

function turn({ vertices, triangles }: Solid, { origin, right, up }: Pose): Turned {
  const eye = cross(right, up)
  const points = new Float64Array(vertices.length)
  for (let i = 0; i < vertices.length; i += 3) {
    const at: Vector = [vertices[i]! - origin[0], vertices[i + 1]! - origin[1], vertices[i + 2]! - origin[2]]
    points[i] = dot(at, right)
    points[i + 1] = dot(at, up)
    points[i + 2] = dot(at, eye)
  }
  return { points, triangles }
}

function facesOf(turned: readonly Turned[]): Faces | undefined {
  const all: number[] = []
  for (const { points, triangles } of turned) {
    for (let t = 0; t < triangles.length; t += 3) {
      const n = normalAt(points, triangles, t)
      // A face seen edge-on hides nothing, and one that looks away is hidden by those that do not.
      if (!(n[2] > FACING)) continue
      const [a, b, c] = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!]
      const away = n[0] * points[a]! + n[1] * points[a + 1]! + n[2] * points[a + 2]!
      all.push(points[a]!, points[a + 1]!, points[b]!, points[b + 1]!, points[c]!, points[c + 1]!, n[0], n[1], n[2], away)
    }
  }
  if (all.length === 0) return undefined
  const data = Float64Array.from(all)
  const index = new Flatbush(data.length / PER_FACE)
  for (let i = 0; i < data.length; i += PER_FACE) {
    const [ax, ay, bx, by, cx, cy] = data.subarray(i, i + 6) as unknown as [number, number, number, number, number, number]
    index.add(Math.min(ax, bx, cx), Math.min(ay, by, cy), Math.max(ax, bx, cx), Math.max(ay, by, cy))
  }
  index.finish()
  return { data, index }
}

/** Edges between a face that is seen and one that is not, and sharp ones between faces that are. */
function edgesOf({ points, triangles }: Turned): [number, number][] {
  const count = points.length / 3
  const beside = new Map<number, number>()
  const sharp = Math.cos((SHARP * Math.PI) / 180)
  const edges: [number, number][] = []
  const normals = new Float64Array(triangles.length)
  for (let t = 0; t < triangles.length; t += 3) normals.set(normalAt(points, triangles, t), t)
  for (let t = 0; t < triangles.length; t += 3) {
    for (let k = 0; k < 3; k++) {
      const [a, b] = [triangles[t + k]!, triangles[t + ((k + 1) % 3)]!]
      const key = a < b ? a * count + b : b * count + a
      const other = beside.get(key)
      if (other === undefined) {
        beside.set(key, t)
        continue
      }
      beside.delete(key)
      const [front, back] = [normals[t + 2]! > FACING, normals[other + 2]! > FACING]
      if (!front && !back) continue
      const turnCosine =
        normals[t]! * normals[other]! + normals[t + 1]! * normals[other + 1]! + normals[t + 2]! * normals[other + 2]!
      if (front !== back || turnCosine < sharp) edges.push([a, b])
    }
  }
  // An open edge of a solid that does not close is drawn as well.
  for (const [key, t] of beside) if (normals[t + 2]! > FACING) edges.push([Math.floor(key / count), key % count])
  return edges
}

const FACING = 1e-6

function normalAt(points: Float64Array, triangles: Uint32Array, t: number): Vector {
  const corner = (k: number): Vector => {
    const i = 3 * triangles[t + k]!
    return [points[i]!, points[i + 1]!, points[i + 2]!]
  }
  const [a, b, c] = [corner(0), corner(1), corner(2)]
  return unit(cross([b[0] - a[0], b[1] - a[1], b[2] - a[2]], [c[0] - a[0], c[1] - a[1], c[2] - a[2]]))
}

/** An edge must lie this far behind the plane of a face to be hidden by it, mm: faces that only touch hide nothing. */
const BEHIND = 0.03

/** Edges of faces hide as well, so that what lies behind the seam of two faces does not shine through, mm. */
const SEAM = 1e-5

/** The parts of an edge, from one corner to another, that no face hides. */
function visible(points: Float64Array, a: number, b: number, faces: Faces | undefined): Polyline[] {
  const [ax, ay, az] = [points[a]!, points[a + 1]!, points[a + 2]!]
  const [bx, by, bz] = [points[b]!, points[b + 1]!, points[b + 2]!]
  // Seen end on, an edge is a point.
  if (Math.hypot(bx - ax, by - ay) < SEAM) return []
  const hidden: [number, number][] = []
  if (faces) {
    const { data, index } = faces
    const near = index.search(Math.min(ax, bx), Math.min(ay, by), Math.max(ax, bx), Math.max(ay, by))
    for (const i of near) {
      const stretch = behind(data, i * PER_FACE, ax, ay, az, bx, by, bz)
      if (stretch) hidden.push(stretch)
    }
  }
  hidden.sort((p, q) => p[0] - q[0])
  const at = (t: number): Point => [ax + (bx - ax) * t, ay + (by - ay) * t]
  const lines: Polyline[] = []
  let free = 0
  for (const [from, to] of [...hidden, [1, 1] as const]) {
    if (from > free + NONE) lines.push([at(free), at(from)])
    free = Math.max(free, to)
  }
  return lines
}

/** Shares of an edge shorter than this are rounding. */
const NONE = 1e-9

/** Where along an edge, from 0 to 1, it is both within the face at i and behind its plane. */
function behind(
  data: Float64Array,
  i: number,
  ax: number,
  ay: number,
  az: number,
  bx: number,
  by: number,
  bz: number,
): [number, number] | undefined {
  const [nx, ny, nz, away] = [data[i + 6]!, data[i + 7]!, data[i + 8]!, data[i + 9]!]
  let [from, to] = [0, 1]
  // Each bound is a value that must not be negative and runs straight from one end of the edge to the other.
  const keep = (start: number, end: number): boolean => {
    if (start < 0 && end < 0) return false
    if (start < 0) from = Math.max(from, start / (start - end))
    else if (end < 0) to = Math.min(to, start / (start - end))
    return from < to
  }
  if (!keep(away - nx * ax - ny * ay - nz * az - BEHIND, away - nx * bx - ny * by - nz * bz - BEHIND)) return undefined
  for (let k = 0; k < 3; k++) {
    const [px, py] = [data[i + 2 * k]!, data[i + 2 * k + 1]!]
    const next = (k + 1) % 3
    const [ux, uy] = [data[i + 2 * next]! - px, data[i + 2 * next + 1]! - py]
    const slack = SEAM * Math.hypot(ux, uy)
    if (!keep(ux * (ay - py) - uy * (ax - px) + slack, ux * (by - py) - uy * (bx - px) + slack)) return undefined
  }
  return [from, to]
}

function lengthOf(line: Polyline): number {
  let length = 0
  for (let i = 1; i < line.length; i++) length += Math.hypot(line[i]![0] - line[i - 1]![0], line[i]![1] - line[i - 1]![1])
  return length
}

/** Runs of segments that go on from one another, as one line each. */
function joined(lines: readonly Polyline[]): Polyline[] {
  const key = ([x, y]: Point) => `${Math.round(x * 1e4)} ${Math.round(y * 1e4)}`
  const starts = new Map<string, number[]>()
  for (const [i, line] of lines.entries()) {
    for (const end of [line[0]!, line.at(-1)!]) starts.set(key(end), [...(starts.get(key(end)) ?? []), i])
  }
  const used = new Uint8Array(lines.length)
  const extend = (run: Point[]): void => {
    for (;;) {
      const end = run.at(-1)!
      const i = starts.get(key(end))?.find((candidate) => !used[candidate])
      if (i === undefined) return
      used[i] = 1
      const line = lines[i]!
      run.push(key(line[0]!) === key(end) ? line.at(-1)! : line[0]!)
    }
  }
  return lines.flatMap((line, i): Polyline[] => {
    if (used[i]) return []
    used[i] = 1
    const run = [...line]
    extend(run)
    run.reverse()
    extend(run)
    return [run]
  })
}
