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
  return { points, triangles: withoutSlits(points, earcut(points.flat(), holes)) }
}

/**
 * Ear clipping leaves out triangles of no area, so that an edge may run past a corner of its neighbours. Such an edge is
 * divided there: a body made of the mesh would have a slit, which other programs mend as they think fit.
 */
function withoutSlits(points: readonly Point[], triangles: readonly number[]): readonly number[] {
  const { edges } = boundary(triangles, points.length)
  const used = [...new Set(edges.flat())]
  const passed = new Map<string, number[]>()
  for (const [from, to] of edges) {
    const [[x, y], end] = [points[from]!, points[to]!]
    const away = (at: number): number => Math.hypot(points[at]![0] - x, points[at]![1] - y)
    const between = used.filter((at) => isBetween(points[at]!, [x, y], end))
    if (between.length > 0) passed.set(`${from} ${to}`, between.toSorted((p, q) => away(p) - away(q)))
  }
  if (passed.size === 0) return triangles
  const divided: number[] = []
  for (let i = 0; i < triangles.length; i += 3) {
    const corners = [0, 1, 2].map((k) => triangles[i + k]!)
    const k = [0, 1, 2].find((from) => passed.has(`${corners[from]} ${corners[(from + 1) % 3]}`))
    if (k === undefined) {
      divided.push(...corners)
      continue
    }
    const [from, to, apex] = [0, 1, 2].map((n) => corners[(k + n) % 3]!) as [number, number, number]
    const along = [from, ...passed.get(`${from} ${to}`)!, to]
    for (let n = 1; n < along.length; n++) divided.push(along[n - 1]!, along[n]!, apex)
  }
  // A triangle may have run past corners on more than one of its edges.
  return withoutSlits(points, divided)
}

/** Whether a point lies on the straight line from one to another, but on neither, mm. */
function isBetween(at: Point, from: Point, to: Point): boolean {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]]
  const along = (at[0] - from[0]) * dx + (at[1] - from[1]) * dy
  const square = dx * dx + dy * dy
  const slack = ON_LINE * Math.sqrt(square)
  return along > slack && along < square - slack && Math.abs(dx * (at[1] - from[1]) - dy * (at[0] - from[0])) <= slack
}

/** Points nearer than this to a line are on it, mm: finer than the grid of booleans. */
const ON_LINE = 1e-9

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
