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
 * Edges are tested point by point against a raster of what lies nearest, so a hidden edge may show for about one cell
 * of the raster beside an outline.
 *
 * @param cell size of the raster's cells, mm; a thousandth of the picture's longer side unless said
 */
export function seenEdges(solids: readonly Solid[], view: Pose, cell?: number): SeenSolid[] {
  const turned = solids.map((solid) => turn(solid, view))
  const frame = frameOf(turned)
  const raster = newRaster(frame, cell ?? Math.max(frame.maxX - frame.minX, frame.maxY - frame.minY, 1) / CELLS)
  for (const one of turned) fill(raster, one)
  return turned.map((one, i) => ({ mark: solids[i]!.mark, copy: solids[i]!.copy, lines: visible(raster, one) }))
}

/** The view along a direction, with z up in the picture, or y to the right where it is looked at from above. */
export function viewAlong(direction: Vector): Pose {
  const back = unit([-direction[0], -direction[1], -direction[2]])
  const up: Vector = Math.abs(back[2]) > 0.999 ? [-1, 0, 0] : [0, 0, 1]
  const right = unit(cross(up, back))
  return { origin: [0, 0, 0], right, up: cross(back, right) }
}

const CELLS = 2000

/** Folds less sharp than this, degrees, are taken as one surface. */
const SHARP = 25

interface Turned {
  /** Right, up and towards the eye, of each corner. */
  readonly points: Float64Array
  readonly triangles: Uint32Array
}

interface Frame {
  readonly minX: number
  readonly minY: number
  readonly maxX: number
  readonly maxY: number
}

interface Raster extends Frame {
  readonly cell: number
  readonly width: number
  readonly height: number
  /** How near the nearest surface is in each cell: larger is nearer. */
  readonly near: Float32Array
}

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

function frameOf(turned: readonly Turned[]): Frame {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity]
  for (const { points } of turned) {
    for (let i = 0; i < points.length; i += 3) {
      if (points[i]! < minX) minX = points[i]!
      if (points[i]! > maxX) maxX = points[i]!
      if (points[i + 1]! < minY) minY = points[i + 1]!
      if (points[i + 1]! > maxY) maxY = points[i + 1]!
    }
  }
  return minX <= maxX ? { minX, minY, maxX, maxY } : { minX: 0, minY: 0, maxX: 0, maxY: 0 }
}

function newRaster(frame: Frame, cell: number): Raster {
  const width = Math.ceil((frame.maxX - frame.minX) / cell) + 3
  const height = Math.ceil((frame.maxY - frame.minY) / cell) + 3
  return { ...frame, cell, width, height, near: new Float32Array(width * height).fill(-Infinity) }
}

/** Column and row of a place, as fractions; cell i is sampled at i. */
function column({ minX, cell }: Raster, x: number): number {
  return (x - minX) / cell + 1
}

function row({ minY, cell }: Raster, y: number): number {
  return (y - minY) / cell + 1
}

function fill(raster: Raster, { points, triangles }: Turned): void {
  const { width, height, near } = raster
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [3 * triangles[t]!, 3 * triangles[t + 1]!, 3 * triangles[t + 2]!]
    const [ax, ay] = [column(raster, points[a]!), row(raster, points[a + 1]!)]
    const [bx, by] = [column(raster, points[b]!), row(raster, points[b + 1]!)]
    const [cx, cy] = [column(raster, points[c]!), row(raster, points[c + 1]!)]
    const twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    // Those that face away are hidden by those that face the eye.
    if (twice <= 1e-12) continue
    const [az, bz, cz] = [points[a + 2]!, points[b + 2]!, points[c + 2]!]
    const low = Math.max(0, Math.ceil(Math.min(ay, by, cy)))
    const high = Math.min(height - 1, Math.floor(Math.max(ay, by, cy)))
    const left = Math.max(0, Math.ceil(Math.min(ax, bx, cx)))
    const right = Math.min(width - 1, Math.floor(Math.max(ax, bx, cx)))
    for (let y = low; y <= high; y++) {
      for (let x = left; x <= right; x++) {
        const u = ((bx - x) * (cy - y) - (by - y) * (cx - x)) / twice
        const v = ((cx - x) * (ay - y) - (cy - y) * (ax - x)) / twice
        if (u < 0 || v < 0 || u + v > 1) continue
        const z = u * az + v * bz + (1 - u - v) * cz
        const i = y * width + x
        if (z > near[i]!) near[i] = z
      }
    }
  }
}

function visible(raster: Raster, { points, triangles }: Turned): Polyline[] {
  const lines: Polyline[] = []
  for (const [a, b] of drawnEdges(points, triangles)) lines.push(...stretches(raster, points, 3 * a, 3 * b))
  return joined(lines)
}

/** Edges between a face that is seen and one that is not, and sharp ones between faces that are. */
function drawnEdges(points: Float64Array, triangles: Uint32Array): [number, number][] {
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

/** The parts of an edge that nothing nearer covers. */
function stretches(raster: Raster, points: Float64Array, a: number, b: number): Polyline[] {
  const [ax, ay, az] = [points[a]!, points[a + 1]!, points[a + 2]!]
  const [dx, dy, dz] = [points[b]! - ax, points[b + 1]! - ay, points[b + 2]! - az]
  const length = Math.hypot(dx, dy)
  if (length < raster.cell / 4) return []
  const steps = Math.max(1, Math.ceil(length / (raster.cell * 0.75)))
  const lines: Polyline[] = []
  let from = -1
  const at = (i: number): Point => [ax + (dx * i) / steps, ay + (dy * i) / steps]
  for (let i = 0; i < steps; i++) {
    const t = (i + 0.5) / steps
    const shown = !covered(raster, ax + dx * t, ay + dy * t, az + dz * t)
    if (shown && from < 0) from = i
    if (!shown && from >= 0) {
      lines.push([at(from), at(i)])
      from = -1
    }
  }
  if (from >= 0) lines.push([at(from), at(steps)])
  return lines
}

/** Covered in every cell around: an edge lies at the border of its own faces, whose cells come and go by rounding. */
function covered(raster: Raster, x: number, y: number, z: number): boolean {
  const { width, near, cell } = raster
  const [column0, row0] = [Math.round(column(raster, x)), Math.round(row(raster, y))]
  for (let v = -1; v <= 1; v++) {
    for (let u = -1; u <= 1; u++) {
      if (near[(row0 + v) * width + column0 + u]! <= z + SLACK * cell) return false
    }
  }
  return true
}

/** How much nearer, in cells, a surface must be to cover an edge. */
const SLACK = 1.5

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
