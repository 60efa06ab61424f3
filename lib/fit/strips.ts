import { add, degrees, dot, mix, norm, scale, subtract, unit } from '../craft/space'
import { type Ruling, faceBetween } from '../model/form'
import type { Point } from '../shape/point'
import type { Vector } from '../shape/pose'
import type { Carried } from './body'

/** Most that the faces move apart where the card turns sharply from one line to the next, times half its thickness. */
const MOST_MITRE = 2

/** The card between two neighbouring lines. */
interface Strip {
  readonly first: Ruling
  readonly last: Ruling
  readonly outFirst: Vector
  readonly outLast: Vector
}

/** Curled card between its straight lines, in their order. */
export interface Strips {
  readonly list: readonly Strip[]
  /** Where a point of each strip may be on the flat: least x and y, most x and y. */
  readonly boxes: Float64Array
}

export function stripsOf(rulings: readonly Ruling[], thickness: number): Strips {
  const normals = rulings.slice(1).map((next, i) => faceBetween(rulings[i]!, next))
  const closed = apart(rulings[0]!, rulings.at(-1)!) < 1e-3
  const last = normals.length - 1
  const outs = rulings.map((_, i) => {
    const before = normals[i - 1] ?? (closed ? normals[last] : undefined)
    const after = normals[i] ?? (closed ? normals[0] : undefined)
    return scale(mitre(before ?? after!, after ?? before!), thickness / 2)
  })
  const list = normals.map((_, i) => ({ first: rulings[i]!, last: rulings[i + 1]!, outFirst: outs[i]!, outLast: outs[i + 1]! }))
  return { list, boxes: Float64Array.from(list.flatMap(({ first, last: end }) => boxOf([...first.flat, ...end.flat]))) }
}

function boxOf(ends: readonly Point[]): [number, number, number, number] {
  const [xs, ys] = [ends.map(([x]) => x), ends.map(([, y]) => y)]
  const [left, low, right, high] = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)]
  const slack = 4 * NEAR * (1 + right - left + high - low)
  return [left - slack, low - slack, right + slack, high + slack]
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

/** Where a point of the flat comes to lie; one that ends a line by that line, where it is given. */
export function carriedBy({ list, boxes }: Strips, point: Point, line?: number): Carried {
  if (line !== undefined) {
    const strip = list[Math.min(line, list.length - 1)]!
    const isFirst = line < list.length
    const { flat, model } = isFirst ? strip.first : strip.last
    const end = distanceTo(point, flat[0]) <= distanceTo(point, flat[1]) ? 0 : 1
    return { at: model[end], out: isFirst ? strip.outFirst : strip.outLast }
  }
  const { strip, along, across } = nearestStrip(point, { list, boxes })
  const { first, last, outFirst, outLast } = list[strip]!
  const from = mix(first.model[0], last.model[0], across)
  const to = mix(first.model[1], last.model[1], across)
  return { at: mix(from, to, along), out: mix(outFirst, outLast, across) }
}

/** By how much the card turns from one line to another, degrees. */
export function turnBetween({ list }: Strips, line: number, other: number): number {
  const [a, b] = [line, other].map((k) => unit(k < list.length ? list[k]!.outFirst : list.at(-1)!.outLast)) as [Vector, Vector]
  return degrees(Math.acos(Math.max(-1, Math.min(1, dot(a, b)))))
}

function distanceTo([x, y]: Point, to: Point): number {
  return Math.hypot(to[0] - x, to[1] - y)
}

interface Within {
  readonly along: number
  readonly across: number
  readonly off: number
}

/** The strip that a point of the flat lies in, or is least far outside of; by its place among them. */
export function nearestStrip([x, y]: Point, { list, boxes }: Strips): Within & { readonly strip: number } {
  for (let i = 0; i < list.length; i++) {
    if (boxDistance(boxes, i, x, y) > 0) continue
    const found = within(x, y, list[i]!)
    if (found?.off === 0) return { strip: i, ...found }
  }
  let best: Within = { along: 0, across: 0, off: Infinity }
  let nearest = 0
  for (let i = 0; i < list.length; i++) {
    // Shares count lengths of their own, which are never so much shorter than the way to the strip's box.
    if (boxDistance(boxes, i, x, y) > FAR_OFF * (best.off + 1)) continue
    const found = within(x, y, list[i]!)
    if (!found || found.off >= best.off) continue
    best = found
    nearest = i
  }
  return { strip: nearest, ...best }
}

/** So many times further than the nearest, and 1 mm, no strip need be looked at. */
const FAR_OFF = 4

function boxDistance(boxes: Float64Array, i: number, x: number, y: number): number {
  return Math.max(boxes[4 * i]! - x, x - boxes[4 * i + 2]!, boxes[4 * i + 1]! - y, y - boxes[4 * i + 3]!)
}

/** Slack in a share, so that points on a line belong to it. */
const NEAR = 1e-6

/**
 * Shares along the lines and from the first line to the last at which a flat point lies, and how far outside it is, mm:
 * the inverse of the bilinear map of the four ends.
 */
function within(x: number, y: number, { first, last }: Strip): Within | undefined {
  const [a, b] = first.flat
  const [c, d] = last.flat
  const q: Point = [x - a[0], y - a[1]]
  const e = minus(b, a)
  const da = minus(c, a)
  const de = minus(minus(d, c), e)
  const shares = roots(times(da, de) * -1, times(q, de) - times(da, e), times(q, e))
  let best: Within | undefined
  for (const across of shares) {
    const from: Point = [a[0] + da[0] * across, a[1] + da[1] * across]
    const line: Point = [e[0] + de[0] * across, e[1] + de[1] * across]
    const squared = line[0] * line[0] + line[1] * line[1]
    const off: Point = [x - from[0], y - from[1]]
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
