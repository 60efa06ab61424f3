import { contains, loopArea } from '../shape/measure'
import type { Point, Region } from '../shape/point'
import { type Cut, type FlatMesh, triangulate } from './flatMesh'

/**
 * A flat area divided along lines that cross it one after the other, as the straight lines of curled card do, in as few
 * triangles as will do: the area between two lines is triangulated for itself, and both sides of a line have the same
 * points on it. `strip` tells between which lines a point lies, counted from 0.
 *
 * Undefined where lines cross each other inside the area, so that there is no such order.
 */
export function stripMesh(region: Region, cuts: readonly Cut[], strip: (point: Point) => number): FlatMesh | undefined {
  const points: Point[] = []
  const edges = new Map<number, [number, number][]>()
  const known = new Set<number>()
  const put = (of: number, from: number, to: number): void => {
    const list = edges.get(of)
    if (list) list.push([from, to])
    else edges.set(of, [[from, to]])
    known.add(from * MANY + to)
  }
  const lines = cuts.map(lineOf)
  const on: Stop[][] = cuts.map(() => [])
  for (const loop of region) {
    const run = loop.flatMap((from, i) => [from, ...crossingsOn(from, loop[(i + 1) % loop.length]!, lines)])
    const first = points.length
    points.push(...run)
    const stops = run.map((point) => stopsAt(point, lines))
    for (const [i, own] of stops.entries()) for (const { line, s } of own) on[line]!.push({ point: first + i, s })
    for (const [i, from] of run.entries()) {
      const next = (i + 1) % run.length
      const along = stops[i]!.some(({ line }) => stops[next]!.some((other) => other.line === line))
      put(stripOf(from, run[next]!, along, strip), first + i, first + next)
    }
  }
  for (const [k, line] of lines.entries()) {
    const [x, y] = at(line, line.length / 2)
    const leftwards = strip([x - line.wayY * BESIDE, y + line.wayX * BESIDE]) > k
    const stops = on[k]!.toSorted((a, b) => a.s - b.s)
    for (let i = 1; i < stops.length; i++) {
      const [{ point: p, s: from }, { point: q, s: to }] = [stops[i - 1]!, stops[i]!]
      if (to - from < ON_CUT || known.has(p * MANY + q) || known.has(q * MANY + p)) continue
      if (!contains(region, at(line, (from + to) / 2))) continue
      put(leftwards ? k : k + 1, q, p)
      put(leftwards ? k + 1 : k, p, q)
    }
  }
  return fromLoops(points, edges)
}

/** A point of the outline on a line, so far along it, mm. */
interface Stop {
  readonly point: number
  readonly s: number
}

/** More points than any piece has, for keys of two. */
const MANY = 2 ** 24

/** Points nearer than this to a line are on it, mm: manifests keep 0.001 mm. */
const ON_CUT = 2e-3

/** Far enough beside a line to be in the strip there, mm. */
const BESIDE = 4 * ON_CUT

interface Line {
  readonly x: number
  readonly y: number
  readonly wayX: number
  readonly wayY: number
  readonly length: number
}

function lineOf({ from: [x, y], to }: Cut): Line {
  const length = Math.hypot(to[0] - x, to[1] - y) || 1
  return { x, y, wayX: (to[0] - x) / length, wayY: (to[1] - y) / length, length }
}

function at({ x, y, wayX, wayY }: Line, s: number): Point {
  return [x + wayX * s, y + wayY * s]
}

function offLine(line: Line, point: Point): number {
  return line.wayX * (point[1] - line.y) - line.wayY * (point[0] - line.x)
}

function placeOn(line: Line, point: Point): number | undefined {
  if (Math.abs(offLine(line, point)) > ON_CUT) return undefined
  const s = line.wayX * (point[0] - line.x) + line.wayY * (point[1] - line.y)
  return s > -ON_CUT && s < line.length + ON_CUT ? s : undefined
}

function stopsAt(point: Point, lines: readonly Line[]): { line: number; s: number }[] {
  const stops: { line: number; s: number }[] = []
  for (let k = 0; k < lines.length; k++) {
    const s = placeOn(lines[k]!, point)
    if (s !== undefined) stops.push({ line: k, s })
  }
  return stops
}

/** Where an edge crosses the lines, in order along it, without its ends. */
function crossingsOn(from: Point, to: Point, lines: readonly Line[]): Point[] {
  const found: { t: number; point: Point }[] = []
  for (let k = 0; k < lines.length; k++) {
    const line = lines[k]!
    const a = offLine(line, from)
    const b = offLine(line, to)
    if (Math.abs(a) <= ON_CUT || Math.abs(b) <= ON_CUT || a > 0 === b > 0) continue
    const t = a / (a - b)
    const point: Point = [from[0] + (to[0] - from[0]) * t, from[1] + (to[1] - from[1]) * t]
    if (placeOn(line, point) !== undefined) found.push({ t, point })
  }
  return found.toSorted((p, q) => p.t - q.t).map(({ point }) => point)
}

/** An edge along a line belongs to the strip on its left, where its card is. */
function stripOf(from: Point, to: Point, along: boolean, strip: (point: Point) => number): number {
  const middle: Point = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2]
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  if (!along || length === 0) return strip(middle)
  return strip([middle[0] - ((to[1] - from[1]) * BESIDE) / length, middle[1] + ((to[0] - from[0]) * BESIDE) / length])
}

function fromLoops(points: readonly Point[], edges: ReadonlyMap<number, readonly [number, number][]>): FlatMesh | undefined {
  const triangles: number[] = []
  for (const list of edges.values()) {
    const loops = loopsOf(points, list)
    if (!loops) return undefined
    const outer = loops.filter((loop) => areaOf(points, loop) > 0)
    const inner = loops.filter((loop) => areaOf(points, loop) < 0)
    for (const loop of outer) {
      const holes = inner.filter((hole) => outer.length === 1 || contains([loop.map((i) => points[i]!)], points[hole[0]!]!))
      const all = [loop, ...holes]
      const places = all.flat()
      const { triangles: own } = triangulate(loop.map((i) => points[i]!), holes.map((hole) => hole.map((i) => points[i]!)))
      for (const corner of own) triangles.push(places[corner]!)
    }
  }
  return { points, triangles }
}

function areaOf(points: readonly Point[], loop: readonly number[]): number {
  return loopArea(loop.map((i) => points[i]!))
}

/** Edges followed round, at a forked corner by the sharpest turn to the left, so that loops only touch. */
function loopsOf(points: readonly Point[], edges: readonly (readonly [number, number])[]): number[][] | undefined {
  const from = new Map<number, number[]>()
  for (const [p, q] of edges) from.set(p, [...(from.get(p) ?? []), q])
  const loops: number[][] = []
  for (const [start] of edges) {
    let left = from.get(start)
    while (left && left.length > 0) {
      const loop = [start]
      let [before, here] = [start, left.pop()!]
      while (here !== start) {
        const next = from.get(here)
        if (!next || next.length === 0 || loop.length > edges.length) return undefined
        loop.push(here)
        const chosen = next.length === 1 ? 0 : sharpest(points, before, here, next)
        before = here
        here = next.splice(chosen, 1)[0]!
      }
      if (loop.length > 2) loops.push(loop)
      left = from.get(start)
    }
  }
  return loops
}

function sharpest(points: readonly Point[], before: number, here: number, next: readonly number[]): number {
  const [p, q] = [points[before]!, points[here]!]
  const turns = next.map((to) => {
    const r = points[to]!
    const [ax, ay, bx, by] = [q[0] - p[0], q[1] - p[1], r[0] - q[0], r[1] - q[1]]
    return Math.atan2(ax * by - ay * bx, ax * bx + ay * by)
  })
  return turns.indexOf(Math.max(...turns))
}
