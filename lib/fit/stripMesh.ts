import { addTo } from '../shape/lists'
import { contains, loopArea } from '../shape/measure'
import type { Point, Region } from '../shape/point'
import { type Cut, type FlatMesh, triangulate } from './flatMesh'

/** A line across a flat area, which it divides from `cut.from` to `cut.to`, or not at all. */
export interface Across {
  readonly ends: readonly [Point, Point]
  readonly cut?: Cut
}

/** A flat area in strips, and the line by which each of its points that are there for one line alone is to be carried. */
export interface StripMesh extends FlatMesh {
  readonly lineOf: ReadonlyMap<number, number>
}

/**
 * A flat area divided along lines that cross it one after the other, as the straight lines of curled card do, in as few
 * triangles as will do: the area between two lines is triangulated for itself, and both sides of a line have the same
 * points on it. Strip k lies between lines k and k + 1; `strip` tells in which a point lies. A corner in which several
 * lines end, between which the card turns by more than can be left aside, is a point for each of them, in one place.
 *
 * Undefined where lines cross each other inside the area, so that there is no such order.
 */
export function stripMesh(
  region: Region,
  across: readonly Across[],
  strip: (point: Point) => number,
  turns: (line: number, other: number) => boolean,
): StripMesh | undefined {
  const points: Point[] = []
  const edges = new Map<number, [number, number][]>()
  const known = new Set<number>()
  const put = (of: number, from: number, to: number): void => {
    addTo(edges, of, [from, to])
    known.add(from * MANY + to)
  }
  const lines = across.map(({ ends: [from, to], cut }) => lineOf(cut ?? { from, to }))
  const cutting = lines.map((line, k) => (across[k]!.cut ? line : undefined))
  const on: Stop[][] = across.map(() => [])
  const ofLine = new Map<number, number>()
  for (const loop of region) {
    const run = loop.flatMap((from, i) => [from, ...crossingsOn(from, loop[(i + 1) % loop.length]!, cutting)])
    const corners = run.map((point) => ({ point, stops: stopsAt(point, cutting), ends: endsAt(point, across, turns) }))
    const places = corners.map(({ point, ends }) => {
      const from = points.length
      for (let i = 0; i < Math.max(1, ends.length); i++) points.push(point)
      return from
    })
    const beyond = points.length
    const ahead = corners.map(({ point, stops }, i) => {
      const next = corners[(i + 1) % corners.length]!
      return stripOf(point, next.point, stops.some(({ line }) => next.stops.some((other) => other.line === line)), strip)
    })
    for (const [i, { stops, ends }] of corners.entries()) {
      const last = (places[i + 1] ?? beyond) - 1
      put(ahead[i]!, last, places[(i + 1) % corners.length]!)
      // Lines in the order in which the outline comes by them: from the strip it comes along to the one it goes on in.
      const order = ahead[i]! < ahead.at(i - 1)! ? ends.toReversed() : ends
      for (const [j, line] of order.entries()) {
        ofLine.set(places[i]! + j, line)
        if (j > 0) put(Math.min(line, order[j - 1]!), places[i]! + j - 1, places[i]! + j)
      }
      for (const { line, s } of stops) {
        const nearest = Math.max(ends[0] ?? 0, Math.min(line, ends.at(-1) ?? 0))
        on[line]!.push({ point: places[i]! + Math.max(0, order.indexOf(nearest)), s })
      }
    }
  }
  for (const [k, line] of lines.entries()) {
    if (!across[k]!.cut) continue
    const [x, y] = at(line, line.length / 2)
    const leftwards = strip([x - line.wayY * BESIDE, y + line.wayX * BESIDE]) >= k
    const stops = on[k]!.toSorted((a, b) => a.s - b.s)
    for (let i = 1; i < stops.length; i++) {
      const [{ point: p, s: from }, { point: q, s: to }] = [stops[i - 1]!, stops[i]!]
      if (to - from < ON_CUT || known.has(p * MANY + q) || known.has(q * MANY + p)) continue
      if (!contains(region, at(line, (from + to) / 2))) continue
      put(leftwards ? k - 1 : k, q, p)
      put(leftwards ? k : k - 1, p, q)
    }
  }
  const mesh = fromLoops(points, edges)
  return mesh && { ...mesh, lineOf: ofLine }
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

/** Points nearer than this to each other are one, mm. */
const SAME = 1e-6

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

function stopsAt(point: Point, lines: readonly (Line | undefined)[]): { line: number; s: number }[] {
  const stops: { line: number; s: number }[] = []
  for (let k = 0; k < lines.length; k++) {
    const line = lines[k]
    const s = line && placeOn(line, point)
    if (s !== undefined) stops.push({ line: k, s })
  }
  return stops
}

/** The lines that end in a point, where they are several that follow each other and the card turns between them. */
function endsAt([x, y]: Point, across: readonly Across[], turns: (line: number, other: number) => boolean): number[] {
  const ending: number[] = []
  for (let k = 0; k < across.length; k++) {
    const [p, q] = across[k]!.ends
    if (isNear(p, x, y) || isNear(q, x, y)) ending.push(k)
  }
  const [first, last] = [ending[0]!, ending.at(-1)!]
  return ending.length > 1 && last - first === ending.length - 1 && turns(first, last) ? ending : []
}

function isNear(p: Point, x: number, y: number): boolean {
  return Math.abs(p[0] - x) < SAME && Math.abs(p[1] - y) < SAME
}

/** Where an edge crosses the lines, in order along it, without its ends. */
function crossingsOn(from: Point, to: Point, lines: readonly (Line | undefined)[]): Point[] {
  const found: { t: number; point: Point }[] = []
  for (let k = 0; k < lines.length; k++) {
    const line = lines[k]
    if (!line) continue
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
      const all = [loop, ...holes].map((one) => withoutTwins(points, one, triangles))
      const places = all.flat()
      const [round, ...rest] = all.map((one) => one.map((i) => points[i]!))
      const { triangles: own } = triangulate(round!, rest)
      for (const corner of own) triangles.push(places[corner]!)
    }
  }
  return { points, triangles }
}

/** A loop with one point of those that follow each other in one place; the others are joined to it by triangles of no area. */
function withoutTwins(points: readonly Point[], loop: readonly number[], triangles: number[]): number[] {
  const kept = [...loop]
  for (let i = 0; i < kept.length && kept.length > 3; ) {
    const [here, next, after] = [kept[i]!, kept[(i + 1) % kept.length]!, kept[(i + 2) % kept.length]!]
    if (points[here] === points[next]) {
      triangles.push(here, next, after)
      kept.splice((i + 1) % kept.length, 1)
    } else i++
  }
  return kept
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
