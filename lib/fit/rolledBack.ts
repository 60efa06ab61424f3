import { add, cross, dot, mix, norm, scale, subtract, unit } from '../craft/space'
import type { Curved, Ruling } from '../model/form'
import type { Point } from '../shape/point'
import type { Vector } from '../shape/pose'
import { type Body, type Carried, thickened } from './body'
import { type Cut, divide, triangulate } from './flatMesh'
import type { SolidPiece } from './solid'
import { stripMesh } from './stripMesh'

/** How far beyond its lines a curled piece may reach, as tabs do, mm. */
const BEYOND = 1

/** Most that the faces move apart where the card turns sharply from one line to the next, times half its thickness. */
const MOST_MITRE = 2

/** Curled card: every flat point goes between the two lines it lies between, as it lay there in the flat. */
export function rolledBack({ outline, openings }: SolidPiece, { rulings }: Curved, thickness: number): Body {
  const cuts = rulings.slice(1, -1).map(({ flat }) => lengthened(flat))
  const strips = stripsOf(rulings, thickness)
  const holes = openings.map(({ loop }) => loop)
  const mesh =
    stripMesh([outline, ...holes], cuts, (point) => nearestStrip(point, strips).strip.index) ??
    divide(triangulate(outline, holes), evenly(cuts, FEW))
  return thickened(mesh, (point) => carried(point, strips))
}

/** Lines kept where they cross each other: every one of them would cut up what the others made. */
const FEW = 12

function evenly<T>(list: readonly T[], most: number): T[] {
  const step = Math.max(1, list.length / most)
  return list.filter((_, i) => Math.floor(i / step) !== Math.floor((i - 1) / step))
}

/** The card between two neighbouring lines. */
interface Strip {
  readonly first: Ruling
  readonly last: Ruling
  readonly outFirst: Vector
  readonly outLast: Vector
  readonly index: number
  /** What a point must be in to lie between the lines: least x and y, most x and y on the flat. */
  readonly box: readonly [number, number, number, number]
}

function stripsOf(rulings: readonly Ruling[], thickness: number): Strip[] {
  const normals = rulings.slice(1).map((next, i) => normalOf(rulings[i]!, next))
  const closed = apart(rulings[0]!, rulings.at(-1)!) < 1e-3
  const last = normals.length - 1
  const outs = rulings.map((_, i) => {
    const before = normals[i - 1] ?? (closed ? normals[last] : undefined)
    const after = normals[i] ?? (closed ? normals[0] : undefined)
    return scale(mitre(before ?? after!, after ?? before!), thickness / 2)
  })
  return normals.map((_, i) => ({
    first: rulings[i]!,
    last: rulings[i + 1]!,
    outFirst: outs[i]!,
    outLast: outs[i + 1]!,
    index: i,
    box: boxOf([...rulings[i]!.flat, ...rulings[i + 1]!.flat]),
  }))
}

function boxOf(ends: readonly Point[]): Strip['box'] {
  const [xs, ys] = [ends.map(([x]) => x), ends.map(([, y]) => y)]
  const [left, low, right, high] = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)]
  const slack = 4 * NEAR * (1 + right - left + high - low)
  return [left - slack, low - slack, right + slack, high + slack]
}

/** Towards the printed side, which is where the flat reads the right way round; by the diagonals, as lines may meet. */
export function normalOf({ flat, model: [a, b] }: Ruling, next: Ruling): Vector {
  const [c, d] = next.model
  const normal = unit(cross(subtract(d, a), subtract(c, b)))
  const [p, q] = [minus(next.flat[1], flat[0]), minus(next.flat[0], flat[1])]
  return times(p, q) < 0 ? scale(normal, -1) : normal
}

function apart(one: Ruling, other: Ruling): number {
  const [a, b] = [0, 1].map((end) => norm(subtract(one.model[end]!, other.model[end]!))) as [number, number]
  return Math.max(a, b)
}

/** Between two faces that meet: as far out as their own outsides meet. */
function mitre(n: Vector, m: Vector): Vector {
  const middle = unit(add(n, m))
  const lean = dot(middle, n)
  return lean < 1 / MOST_MITRE ? n : scale(middle, 1 / lean)
}

function carried(point: Point, strips: readonly Strip[]): Carried {
  const { strip, along, across } = nearestStrip(point, strips)
  const from = mix(strip.first.model[0], strip.last.model[0], across)
  const to = mix(strip.first.model[1], strip.last.model[1], across)
  return { at: mix(from, to, along), out: mix(strip.outFirst, strip.outLast, across) }
}

interface Within {
  readonly along: number
  readonly across: number
  readonly off: number
}

function nearestStrip(point: Point, strips: readonly Strip[]): Within & { readonly strip: Strip } {
  const [x, y] = point
  for (const strip of strips) {
    const [left, low, right, high] = strip.box
    if (x < left || x > right || y < low || y > high) continue
    const found = within(point, strip)
    if (found?.off === 0) return { strip, ...found }
  }
  let best: Within = { along: 0, across: 0, off: Infinity }
  let nearest = strips[0]!
  for (const strip of strips) {
    const found = within(point, strip)
    if (!found || found.off >= best.off) continue
    best = found
    nearest = strip
  }
  return { strip: nearest, ...best }
}

/** Slack in a share, so that points on a line belong to it. */
const NEAR = 1e-6

/**
 * Shares along the lines and from the first line to the last at which a flat point lies, and how far outside it is, mm:
 * the inverse of the bilinear map of the four ends.
 */
function within(point: Point, { first, last }: Strip): Within | undefined {
  const [a, b] = first.flat
  const [c, d] = last.flat
  const q = minus(point, a)
  const [e, da] = [minus(b, a), minus(c, a)]
  const de = minus(minus(d, c), e)
  const shares = roots(times(da, de) * -1, times(q, de) - times(da, e), times(q, e))
  let best: Within | undefined
  for (const across of shares) {
    const from: Point = [a[0] + da[0] * across, a[1] + da[1] * across]
    const line: Point = [e[0] + de[0] * across, e[1] + de[1] * across]
    const squared = line[0] * line[0] + line[1] * line[1]
    const off = minus(point, from)
    const along = squared < 1e-12 ? 0 : (off[0] * line[0] + off[1] * line[1]) / squared
    const wide = Math.max(Math.hypot(...da), Math.hypot(d[0] - b[0], d[1] - b[1]))
    const outside = beyond(across) * wide + beyond(along) * Math.sqrt(squared)
    if (!best || outside < best.off) best = { along, across, off: outside }
  }
  return best
}

function beyond(share: number): number {
  return share < -NEAR ? -share : share > 1 + NEAR ? share - 1 : 0
}

function minus(p: Point, q: Point): Point {
  return [p[0] - q[0], p[1] - q[1]]
}

function times(p: Point, q: Point): number {
  return p[0] * q[1] - p[1] * q[0]
}

/** Of a·t² + b·t + c = 0, without losing digits where a is next to nothing. */
function roots(a: number, b: number, c: number): number[] {
  const under = b * b - 4 * a * c
  if (under < 0) return []
  const q = -(b + (b < 0 ? -1 : 1) * Math.sqrt(under)) / 2
  return [...(q === 0 ? (a === 0 ? [] : [0]) : [c / q]), ...(Math.abs(a) < 1e-12 ? [] : [q / a])]
}

function lengthened([from, to]: Ruling['flat']): Cut {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  if (length === 0) return { from, to }
  const [x, y] = [((to[0] - from[0]) * BEYOND) / length, ((to[1] - from[1]) * BEYOND) / length]
  return { from: [from[0] - x, from[1] - y], to: [to[0] + x, to[1] + y] }
}
