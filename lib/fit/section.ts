import { dot, faceNormal } from '../craft/space'
import { loopArea } from '../shape/area'
import { within } from '../shape/place'
import type { Point } from '../shape/point'
import type { Pose, Vector } from '../shape/pose'
import type { Solid } from './solid'

/** What a cut through one solid shows: loops in the plane's own axes, outer ones and holes alike, mm. */
export interface CutSolid {
  readonly mark: string
  readonly copy: number
  readonly loops: readonly (readonly Point[])[]
}

/**
 * Cuts solids with the plane of a pose, seen against its normal. Corners on the plane count as in front of it, so that
 * every loop of a closed solid closes, whatever the plane meets.
 */
export function cutSolids(solids: readonly Solid[], plane: Pose): CutSolid[] {
  const normal = faceNormal(plane)
  const level = dot(plane.origin, normal)
  return solids.flatMap((solid) => {
    if (!meets(solid, normal, level)) return []
    const loops = loopsOf(solid, plane, normal, level)
    return loops.length > 0 ? [{ mark: solid.mark, copy: solid.copy, loops }] : []
  })
}

/** Area that loops enclose, holes taken out whichever way they run, mm². */
export function cutArea({ loops }: Pick<CutSolid, 'loops'>): number {
  const areas = loops.map((loop) => ({ loop, area: Math.abs(loopArea(loop)) }))
  return areas.reduce((sum, { loop, area }) => {
    const around = areas.filter((other) => other.loop !== loop && other.area > area && within(other.loop, loop[0]!))
    return sum + (around.length % 2 === 0 ? area : -area)
  }, 0)
}

function meets({ bounds: { min, max } }: Solid, normal: Vector, level: number): boolean {
  let [least, most] = [0, 0]
  for (const k of [0, 1, 2] as const) {
    const [a, b] = [min[k] * normal[k], max[k] * normal[k]]
    least += Math.min(a, b)
    most += Math.max(a, b)
  }
  return least <= level && most >= level
}

function loopsOf({ vertices, triangles }: Solid, plane: Pose, normal: Vector, level: number): Point[][] {
  const height = new Float64Array(vertices.length / 3)
  for (let i = 0; i < height.length; i++) {
    height[i] = vertices[3 * i]! * normal[0] + vertices[3 * i + 1]! * normal[1] + vertices[3 * i + 2]! * normal[2] - level
  }
  // Each triangle that straddles the plane leads from the edge where it goes down through it to the one where it comes up.
  const next = new Map<number, number>()
  const count = height.length
  for (let t = 0; t < triangles.length; t += 3) {
    let [down, up] = [-1, -1]
    for (let k = 0; k < 3; k++) {
      const [a, b] = [triangles[t + k]!, triangles[t + ((k + 1) % 3)]!]
      if (height[a]! >= 0 === height[b]! >= 0) continue
      const edge = a < b ? a * count + b : b * count + a
      if (height[a]! >= 0) down = edge
      else up = edge
    }
    if (down >= 0 && up >= 0) next.set(down, up)
  }
  const loops: Point[][] = []
  while (next.size > 0) {
    const loop: Point[] = []
    const [start] = next.keys() as IterableIterator<number>
    for (let edge = start; edge !== undefined; ) {
      const to = next.get(edge)
      next.delete(edge)
      if (to === undefined) break
      push(loop, crossing(Math.floor(edge / count), edge % count, vertices, height, plane))
      edge = to
    }
    if (loop.length > 2) loops.push(loop)
  }
  return loops
}

function crossing(a: number, b: number, vertices: Float64Array, height: Float64Array, { origin, right, up }: Pose): Point {
  const t = height[a]! / (height[a]! - height[b]!)
  const at = (k: number) => vertices[3 * a + k]! + t * (vertices[3 * b + k]! - vertices[3 * a + k]!) - origin[k]!
  const [x, y, z] = [at(0), at(1), at(2)]
  return [x * right[0] + y * right[1] + z * right[2], x * up[0] + y * up[1] + z * up[2]]
}

function push(loop: Point[], point: Point): void {
  const last = loop.at(-1)
  if (last && Math.hypot(last[0] - point[0], last[1] - point[1]) < 1e-9) return
  loop.push(point)
}
