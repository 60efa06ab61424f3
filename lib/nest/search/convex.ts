import { Clipper } from 'clipper2-ts'
import type { Loop, Point, Region } from '../../shape/point'
import { boundsOf, signedArea } from '../turn'

/**
 * Convex loops, counter-clockwise, that together cover exactly the region: its triangles, grown together over their
 * common edges while they stay convex (Hertel and Mehlhorn 1983: at most four times the least number).
 * Where the region cannot be cut into triangles, the convex hull of its outlines stands for it.
 */
export function convexParts(region: Region): Loop[] {
  const corners: Point[] = []
  const triangles = cutIntoTriangles(region, corners)
  if (!triangles) return [convexHull(region.flat())]
  return mergeConvex(triangles, corners).map((part) => part.map((corner) => corners[corner]!))
}

/** Convex hull by Andrew's monotone chain. */
export function convexHull(points: readonly Point[]): Loop {
  const sorted = points.toSorted((a, b) => a[0] - b[0] || a[1] - b[1])
  return [...halfHull(sorted), ...halfHull(sorted.toReversed())]
}

function halfHull(sorted: readonly Point[]): Point[] {
  const chain: Point[] = []
  for (const p of sorted) {
    while (chain.length > 1 && turn(chain.at(-2)!, chain.at(-1)!, p) <= 0) chain.pop()
    chain.push(p)
  }
  return chain.slice(0, -1)
}

/** Whole numbers that the triangulation works in: large enough that no two corners fall together. */
const SPAN = 2 ** 24

/** Triangles as corner numbers, counter-clockwise; `corners` is filled. */
function cutIntoTriangles(region: Region, corners: Point[]): number[][] | undefined {
  const { minX, minY, maxX, maxY } = boundsOf(region.flat())
  const scale = SPAN / Math.max(maxX - minX, maxY - minY)
  const numbers = new Map<string, number>()
  const paths = region.map((loop) =>
    loop.map((point) => {
      const at = { x: Math.round((point[0] - minX) * scale), y: Math.round((point[1] - minY) * scale) }
      const key = `${at.x},${at.y}`
      if (!numbers.has(key)) numbers.set(key, corners.push(point) - 1)
      return at
    }),
  )
  const triangles: number[][] = []
  let covered = 0
  for (const path of Clipper.triangulate(paths, true).solution) {
    const triangle = path.map(({ x, y }) => numbers.get(`${x},${y}`))
    if (triangle.length !== 3 || triangle.includes(undefined)) return undefined
    const [a, b, c] = triangle as [number, number, number]
    const area = turn(corners[a]!, corners[b]!, corners[c]!) / 2
    covered += Math.abs(area)
    triangles.push(area >= 0 ? [a, b, c] : [a, c, b])
  }
  const wanted = Math.abs(region.reduce((sum, loop) => sum + signedArea(loop), 0))
  return Math.abs(covered - wanted) <= 1e-6 * wanted ? triangles : undefined
}

function mergeConvex(triangles: readonly number[][], corners: readonly Point[]): number[][] {
  const parts: (number[] | undefined)[] = [...triangles]
  const owners = new Map<string, number>()
  parts.forEach((part, index) => claimEdges(part!, index, owners))
  // Longest common edge first: it leaves the roundest parts.
  const shared = [...owners.keys()]
    .filter((key) => owners.has(reverse(key)))
    .map((key) => key.split('>').map(Number) as [number, number])
    .filter(([a, b]) => a < b)
    .map(([a, b]) => ({ a, b, length: distance(corners[a]!, corners[b]!) }))
    .toSorted((p, q) => q.length - p.length || p.a - q.a || p.b - q.b)
  for (const { a, b } of shared) {
    const left = owners.get(`${a}>${b}`)!
    const right = owners.get(`${b}>${a}`)!
    if (left === right) continue
    const joined = join(parts[left]!, parts[right]!, a, b)
    if (!isConvex(joined, corners)) continue
    parts[left] = joined
    parts[right] = undefined
    claimEdges(joined, left, owners)
  }
  return parts.filter((part) => part !== undefined)
}

function claimEdges(part: readonly number[], owner: number, owners: Map<string, number>): void {
  part.forEach((from, i) => owners.set(`${from}>${part[(i + 1) % part.length]}`, owner))
}

function reverse(key: string): string {
  return key.split('>').toReversed().join('>')
}

/** `left` runs from a to b, `right` from b to a: the loop around both. */
function join(left: readonly number[], right: readonly number[], a: number, b: number): number[] {
  const startLeft = left.findIndex((corner, i) => corner === a && left[(i + 1) % left.length] === b)
  const startRight = right.findIndex((corner, i) => corner === b && right[(i + 1) % right.length] === a)
  // b ... a of the left part, then what lies between a and b on the right part.
  return [...rotate(left, startLeft + 1), ...rotate(right, startRight + 1).slice(1, -1)]
}

function rotate(list: readonly number[], by: number): number[] {
  return [...list.slice(by), ...list.slice(0, by)]
}

function isConvex(part: readonly number[], corners: readonly Point[]): boolean {
  return part.every((_, i) => {
    const a = corners[part[i]!]!
    const b = corners[part[(i + 1) % part.length]!]!
    const c = corners[part[(i + 2) % part.length]!]!
    return turn(a, b, c) >= -1e-9 * distance(a, b) * distance(b, c)
  })
}

function turn(a: Point, b: Point, c: Point): number {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

function distance(a: Point, b: Point): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1])
}
