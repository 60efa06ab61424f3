import earcut from 'earcut'
import type { Loop, Point, Region } from '../shape/point'

/** A filled area as triangles, counter-clockwise; neighbours share their corners, so that no slit is between them. */
export interface FlatMesh {
  readonly points: readonly Point[]
  /** Three places in `points` each. */
  readonly triangles: readonly number[]
}

/** A stretch of a straight line, along which triangles are to be divided. */
export interface Cut {
  readonly from: Point
  readonly to: Point
}

/** Points nearer than this to a cut are on it, mm. */
export const ON_CUT = 1e-4

export function triangulate(outline: Loop, openings: Region): FlatMesh {
  const points: Point[] = []
  const holes: number[] = []
  for (const [i, loop] of [outline, ...openings].entries()) {
    if (i > 0) holes.push(points.length)
    for (const point of loop) points.push(point)
  }
  return { points, triangles: earcut(points.flat(), holes) }
}

/**
 * Divides every triangle that a cut runs through, so that the cut runs along edges. A point that falls on an edge is
 * made once, for the triangles on both its sides.
 */
export function divide(mesh: FlatMesh, cuts: readonly Cut[]): FlatMesh {
  const points = [...mesh.points]
  let triangles: readonly number[] = mesh.triangles
  for (const cut of cuts) triangles = divideOnce(points, triangles, cut)
  return { points, triangles }
}

/**
 * Edges that belong to one triangle alone, the card to their left, and whether no two triangles lie left of one edge; of
 * so many points.
 */
export function boundary(triangles: readonly number[], count: number): { edges: [number, number][]; simple: boolean } {
  const all = new Set<number>()
  eachEdge(triangles, (from, to) => all.add(from * count + to))
  const edges: [number, number][] = []
  eachEdge(triangles, (from, to) => {
    if (!all.has(to * count + from)) edges.push([from, to])
  })
  return { edges, simple: all.size === triangles.length }
}

export function eachEdge(triangles: readonly number[], visit: (from: number, to: number, triangle: number) => void): void {
  for (let i = 0; i < triangles.length; i += 3) {
    for (let k = 0; k < 3; k++) visit(triangles[i + k]!, triangles[i + ((k + 1) % 3)]!, i / 3)
  }
}

function divideOnce(points: Point[], triangles: readonly number[], { from, to }: Cut): number[] {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  if (length === 0) return [...triangles]
  const way: Point = [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
  const offs = points.map(([x, y]) => way[0] * (y - from[1]) - way[1] * (x - from[0]))
  const alongs = points.map(([x, y]) => way[0] * (x - from[0]) + way[1] * (y - from[1]))
  const crosses = (p: number, q: number): boolean =>
    Math.abs(offs[p]!) >= ON_CUT && Math.abs(offs[q]!) >= ON_CUT && offs[p]! > 0 !== offs[q]! > 0
  // A triangle in which the cut ends is divided right across, so that all of the cut comes to lie on edges.
  const divided = new Set<string>()
  for (let i = 0; i < triangles.length; i += 3) {
    const reached = reachOf(triangles.slice(i, i + 3), offs, alongs)
    if (!reached || reached[0] > length - ON_CUT || reached[1] < ON_CUT) continue
    for (let k = 0; k < 3; k++) {
      const [p, q] = [triangles[i + k]!, triangles[i + ((k + 1) % 3)]!]
      if (crosses(p, q)) divided.add(keyOf(p, q))
    }
  }
  const made = new Map<string, number>()
  const crossing = (p: number, q: number): number | undefined => {
    const key = keyOf(p, q)
    if (!divided.has(key)) return undefined
    const known = made.get(key)
    if (known !== undefined) return known
    const t = offs[p]! / (offs[p]! - offs[q]!)
    const [[px, py], [qx, qy]] = [points[p]!, points[q]!]
    made.set(key, points.length)
    return points.push([px + (qx - px) * t, py + (qy - py) * t]) - 1
  }
  const result: number[] = []
  for (let i = 0; i < triangles.length; i += 3) {
    const corners = [triangles[i]!, triangles[i + 1]!, triangles[i + 2]!] as const
    const cuts = [0, 1, 2].map((k) => crossing(corners[k]!, corners[(k + 1) % 3]!))
    result.push(...parts(corners, cuts))
  }
  return result
}

function keyOf(p: number, q: number): string {
  return p < q ? `${p} ${q}` : `${q} ${p}`
}

/** The stretch of the cut's line that runs through a triangle, by distances along it. */
function reachOf(corners: readonly number[], offs: readonly number[], alongs: readonly number[]): [number, number] | undefined {
  let [least, most] = [Infinity, -Infinity]
  const put = (s: number): void => {
    least = Math.min(least, s)
    most = Math.max(most, s)
  }
  for (let k = 0; k < 3; k++) {
    const [p, q] = [corners[k]!, corners[(k + 1) % 3]!]
    const [a, b] = [offs[p]!, offs[q]!]
    if (Math.abs(a) < ON_CUT) put(alongs[p]!)
    else if (Math.abs(b) >= ON_CUT && a > 0 !== b > 0) put(alongs[p]! + ((alongs[q]! - alongs[p]!) * a) / (a - b))
  }
  return most > least ? [least, most] : undefined
}

/** A triangle divided at the points made on its edges; edge k runs from corner k to the next. */
function parts(corners: readonly [number, number, number], cuts: readonly (number | undefined)[]): number[] {
  const cutEdges = [0, 1, 2].filter((k) => cuts[k] !== undefined)
  if (cutEdges.length === 0) return [...corners]
  const at = (k: number): number => corners[(k + 3) % 3]!
  if (cutEdges.length === 1) {
    const k = cutEdges[0]!
    const middle = cuts[k]!
    return [at(k), middle, at(k + 2), middle, at(k + 1), at(k + 2)]
  }
  // The corner between the two cut edges is cut off; what is left has four corners.
  const k = [0, 1, 2].find((corner) => cuts[corner] !== undefined && cuts[(corner + 2) % 3] !== undefined)!
  const [after, before] = [cuts[k]!, cuts[(k + 2) % 3]!]
  return [at(k), after, before, after, at(k + 1), at(k + 2), after, at(k + 2), before]
}
