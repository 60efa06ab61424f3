import type { Point, Polyline } from '../../shape/point'
import type { Vector } from '../../shape/pose'
import { add, dot, mix, scale, subtract } from '../space'
import { type Development, type Facet, facets } from './unroll'

/**
 * Carries points and lines between a skin in space and its flat pattern: frame lines, centre lines and the outlines of
 * windows one way, checks the other. Within a triangle the way is linear, so lengths and places are exact.
 */
export interface Carrier {
  /** The flat place of the surface point nearest to a point in space, and how far off the surface that point was. */
  toFlat(point: Vector): { readonly point: Point; readonly off: number }
  /** The flat place of where a line of sight through a point first meets the surface; undefined where it misses. */
  seenAlong(point: Vector, direction: Vector): Point | undefined
  /** Rolls a point of the flat pattern back up; undefined outside the pattern. */
  toSpace(point: Point): Vector | undefined
}

export function carrier(development: Development): Carrier {
  const all = facets(development)
  return {
    toFlat: (point) => nearestOn(all, point),
    seenAlong: (point, direction) => seen(all, point, direction),
    toSpace: (point) => rolledBack(all, point),
  }
}

/** Longest step in which a line is carried over, mm: shorter than anything a knife can follow. */
const CARRY_STEP = 0.5

/** A line in space laid on the flat, by nearest points or along a line of sight. Parts that miss are left out. */
export function carryLine(on: Carrier, line: readonly Vector[], sight?: Vector): Polyline {
  const flat: Point[] = []
  const put = (point: Vector): void => {
    const landed = sight ? on.seenAlong(point, sight) : on.toFlat(point).point
    if (landed) flat.push(landed)
  }
  for (let k = 0; k + 1 < line.length; k++) {
    const [from, to] = [line[k]!, line[k + 1]!]
    const steps = Math.max(1, Math.ceil(Math.hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]) / CARRY_STEP))
    for (let step = 0; step < steps; step++) put(mix(from, to, step / steps))
  }
  if (line.length > 0) put(line.at(-1)!)
  return flat
}

/** Where a plane cuts the skin, laid on the flat pattern: the line of a frame that stands between the edges. */
export function planeLine(development: Development, through: Vector, normal: Vector): Polyline {
  const { a, b, flatA, flatB, rulings } = development
  const line: Point[] = []
  for (const [i, j] of rulings) {
    const from = dot(subtract(a[i]!, through), normal)
    const to = dot(subtract(b[j]!, through), normal)
    const [p, q] = [flatA[i]!, flatB[j]!]
    // A ruling in the plane is the line itself, as where planks run square across a frame.
    if (Math.abs(from) < 1e-9 && Math.abs(to) < 1e-9) return [p, q]
    if (from * to > 0 || from === to) continue
    const t = from / (from - to)
    line.push([p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t])
  }
  return line
}

function nearestOn(all: readonly Facet[], point: Vector): { point: Point; off: number } {
  let best = Infinity
  let landed: Point = [0, 0]
  for (const facet of all) {
    const [u, v, w, squared] = nearestInTriangle(point, facet.space)
    if (squared >= best) continue
    best = squared
    landed = blend(facet.flat, u, v, w)
  }
  return { point: landed, off: Math.sqrt(best) }
}

function seen(all: readonly Facet[], [x, y, z]: Vector, [sx, sy, sz]: Vector): Point | undefined {
  let best = Infinity
  let landed: Point | undefined
  for (const { space, flat } of all) {
    const [p, q, r] = space
    const ex = q[0] - p[0]
    const ey = q[1] - p[1]
    const ez = q[2] - p[2]
    const fx = r[0] - p[0]
    const fy = r[1] - p[1]
    const fz = r[2] - p[2]
    const acrossX = sy * fz - sz * fy
    const acrossY = sz * fx - sx * fz
    const acrossZ = sx * fy - sy * fx
    const volume = ex * acrossX + ey * acrossY + ez * acrossZ
    // A triangle seen edge on, or from within, is not met.
    if (Math.abs(volume) < 1e-12) continue
    if ((ey * fz - ez * fy) * sx + (ez * fx - ex * fz) * sy + (ex * fy - ey * fx) * sz > 0) continue
    const fromX = x - p[0]
    const fromY = y - p[1]
    const fromZ = z - p[2]
    const v = (fromX * acrossX + fromY * acrossY + fromZ * acrossZ) / volume
    if (v < -1e-9) continue
    const otherX = fromY * ez - fromZ * ey
    const otherY = fromZ * ex - fromX * ez
    const otherZ = fromX * ey - fromY * ex
    const w = (sx * otherX + sy * otherY + sz * otherZ) / volume
    if (w < -1e-9 || v + w > 1 + 1e-9) continue
    const t = (fx * otherX + fy * otherY + fz * otherZ) / volume
    if (t >= best) continue
    best = t
    landed = blend(flat, 1 - v - w, v, w)
  }
  return landed
}

function rolledBack(all: readonly Facet[], [x, y]: Point): Vector | undefined {
  for (const { flat, space } of all) {
    const [p, q, r] = flat
    const area = (q[0] - p[0]) * (r[1] - p[1]) - (r[0] - p[0]) * (q[1] - p[1])
    if (area === 0) continue
    const v = ((x - p[0]) * (r[1] - p[1]) - (r[0] - p[0]) * (y - p[1])) / area
    const w = ((q[0] - p[0]) * (y - p[1]) - (x - p[0]) * (q[1] - p[1])) / area
    if (v < -1e-9 || w < -1e-9 || v + w > 1 + 1e-9) continue
    return add(add(scale(space[0], 1 - v - w), scale(space[1], v)), scale(space[2], w))
  }
  return undefined
}

function blend([p, q, r]: readonly [Point, Point, Point], u: number, v: number, w: number): Point {
  return [u * p[0] + v * q[0] + w * r[0], u * p[1] + v * q[1] + w * r[1]]
}

/**
 * Shares of the corners in the triangle's point nearest to p, and the squared distance to it (C. Ericson, *Real-Time
 * Collision Detection*, 2005, §5.1.5: by the region of the triangle that p projects into).
 */
export function nearestInTriangle(
  p: Vector,
  [a, b, c]: readonly [Vector, Vector, Vector],
): [u: number, v: number, w: number, squared: number] {
  const ab = subtract(b, a)
  const ac = subtract(c, a)
  const ap = subtract(p, a)
  const result = (u: number, v: number, w: number): [number, number, number, number] => {
    const d0 = ap[0] - v * ab[0] - w * ac[0]
    const d1 = ap[1] - v * ab[1] - w * ac[1]
    const d2 = ap[2] - v * ab[2] - w * ac[2]
    return [u, v, w, d0 * d0 + d1 * d1 + d2 * d2]
  }
  const d1 = dot(ab, ap)
  const d2 = dot(ac, ap)
  if (d1 <= 0 && d2 <= 0) return result(1, 0, 0)
  const bp = subtract(p, b)
  const d3 = dot(ab, bp)
  const d4 = dot(ac, bp)
  if (d3 >= 0 && d4 <= d3) return result(0, 1, 0)
  const vc = d1 * d4 - d3 * d2
  if (vc <= 0 && d1 >= 0 && d3 <= 0) return result(1 - d1 / (d1 - d3), d1 / (d1 - d3), 0)
  const cp = subtract(p, c)
  const d5 = dot(ab, cp)
  const d6 = dot(ac, cp)
  if (d6 >= 0 && d5 <= d6) return result(0, 0, 1)
  const vb = d5 * d2 - d1 * d6
  if (vb <= 0 && d2 >= 0 && d6 <= 0) return result(1 - d2 / (d2 - d6), 0, d2 / (d2 - d6))
  const va = d3 * d6 - d5 * d4
  if (va <= 0 && d4 - d3 >= 0 && d5 - d6 >= 0) {
    const t = (d4 - d3) / (d4 - d3 + (d5 - d6))
    return result(0, 1 - t, t)
  }
  const sum = va + vb + vc
  if (!(sum > 0)) return result(1, 0, 0)
  return result(va / sum, vb / sum, vc / sum)
}
