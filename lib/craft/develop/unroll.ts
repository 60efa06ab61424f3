import { FindingError } from '../../finding/finding'
import type { Loop, Point, Polyline } from '../../shape/point'
import type { Vector } from '../../shape/pose'
import { distance } from '../space'

/** A straight line of the surface: from point `a` of the first edge to point `b` of the second, both counted from 0. */
export type Ruling = readonly [a: number, b: number]

/**
 * A surface between two edge curves in space, made of triangles between rulings that follow each other: from one
 * ruling to the next either end moves on by one point, or both do where the four points lie in one plane. Walking
 * along the first edge with the second on the left, one sees the outside, which is the printed side.
 */
export interface Ruled {
  readonly a: readonly Vector[]
  readonly b: readonly Vector[]
  readonly rulings: readonly Ruling[]
}

/** A ruled surface with its flat pattern, point for point. */
export interface Development extends Ruled {
  readonly flatA: Polyline
  readonly flatB: Polyline
}

/**
 * Lays the triangles of a ruled surface out flat, one beside the other, each with its true side lengths (triangulation
 * as pattern drafters do it). Every edge keeps its length and every triangle its area. The flat pattern lies with the
 * first edge's ends on the x axis, the second edge above.
 */
export function unroll(surface: Ruled): Development {
  const { a, b, rulings } = surface
  const [i0, j0] = rulings[0]!
  const flatA: Point[] = []
  const flatB: Point[] = []
  flatA[i0] = [0, 0]
  flatB[j0] = [0, distance(a[i0]!, b[j0]!)]
  for (let k = 1; k < rulings.length; k++) {
    const [i, j] = rulings[k - 1]!
    const [nextI, nextJ] = rulings[k]!
    if (k === 1 && distance(a[i]!, b[j]!) < 1e-9) {
      // Both edges begin at one point, as petals do at the tip: the first step may lie in any direction.
      if (nextI !== i) flatA[nextI] = [distance(a[i]!, a[nextI]!), 0]
      if (nextJ !== j) flatB[nextJ] = nextI === i ? [0, distance(b[j]!, b[nextJ]!)] : tipPoint(a, b, [nextI, nextJ])
      continue
    }
    if (nextI !== i) {
      flatA[nextI] = rightOf(flatA[i]!, flatB[j]!, distance(a[i]!, a[nextI]!), distance(b[j]!, a[nextI]!))
    }
    if (nextJ !== j) {
      const base = nextI === i ? i : nextI
      flatB[nextJ] = rightOf(flatA[base]!, flatB[j]!, distance(a[base]!, b[nextJ]!), distance(b[j]!, b[nextJ]!))
    }
  }
  return { ...surface, ...levelled(flatA, flatB) }
}

/** Outline of the flat pattern, counter-clockwise: along the first edge and back along the second. */
export function developmentOutline({ flatA, flatB }: Pick<Development, 'flatA' | 'flatB'>): Loop {
  const loop = [...flatA, ...flatB.toReversed()]
  return loop.filter((point, i) => {
    const before = loop[(i + loop.length - 1) % loop.length]!
    return Math.hypot(point[0] - before[0], point[1] - before[1]) > 1e-9
  })
}

/** One triangle of a development, in space and flat. */
export interface Facet {
  /** The edge that it has a step of: its first two corners lie on `a`, or its last two on `b`. */
  readonly on: 'a' | 'b'
  readonly space: readonly [Vector, Vector, Vector]
  readonly flat: readonly [Point, Point, Point]
  /** The ruling it begins at. */
  readonly ruling: number
}

/** The triangles between the rulings, in order; outward-facing in space, counter-clockwise in the flat. */
export function facets({ a, b, flatA, flatB, rulings }: Development): Facet[] {
  const all: Facet[] = []
  for (let k = 1; k < rulings.length; k++) {
    const [i, j] = rulings[k - 1]!
    const [nextI, nextJ] = rulings[k]!
    if (nextI !== i) {
      const space = [a[i]!, a[nextI]!, b[j]!] as const
      all.push({ on: 'a', space, flat: [flatA[i]!, flatA[nextI]!, flatB[j]!], ruling: k - 1 })
    }
    if (nextJ !== j) {
      const space = [a[nextI]!, b[nextJ]!, b[j]!] as const
      all.push({ on: 'b', space, flat: [flatA[nextI]!, flatB[nextJ]!, flatB[j]!], ruling: k - 1 })
    }
  }
  return all
}

/** The point at given distances from two points, on the right of the way from the first to the second. */
function rightOf(from: Point, to: Point, fromDistance: number, toDistance: number): Point {
  const dx = to[0] - from[0]
  const dy = to[1] - from[1]
  const base = Math.hypot(dx, dy)
  if (base === 0) throw collapsed()
  const s = (fromDistance * fromDistance - toDistance * toDistance + base * base) / (2 * base)
  const h = Math.sqrt(Math.max(0, (fromDistance - s) * (fromDistance + s)))
  return [from[0] + (dx * s + dy * h) / base, from[1] + (dy * s - dx * h) / base]
}

/** Third corner of a triangle from a tip at the origin, its second side along x. */
function tipPoint(a: readonly Vector[], b: readonly Vector[], [i, j]: Ruling): Point {
  const [base, reach, across] = [distance(a[i]!, a[0]!), distance(b[j]!, b[0]!), distance(a[i]!, b[j]!)]
  const x = (reach * reach - across * across + base * base) / (2 * base)
  return [x, Math.sqrt(Math.max(0, reach * reach - x * x))]
}

function collapsed(): FindingError {
  return new FindingError({
    id: 'ruling-length',
    severity: 'error',
    text: 'the two edges of a skin touch between their ends: a ruling of 0 mm, more is needed',
    remedy: 'keep the edges apart, or end the skin where they meet',
    found: 0,
    wanted: 1e-9,
  })
}

/** Turns the pattern so that the ends of its first edge, or where that is a point of its second, lie level. */
function levelled(flatA: Polyline, flatB: Polyline): { flatA: Polyline; flatB: Polyline } {
  const edge = flatA.length > 1 ? flatA : flatB
  const [from, to] = [edge[0]!, edge.at(-1)!]
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  if (length < 1e-9) return { flatA, flatB }
  const c = (to[0] - from[0]) / length
  const s = (to[1] - from[1]) / length
  const turn = ([x, y]: Point): Point => [c * (x - from[0]) + s * (y - from[1]), c * (y - from[1]) - s * (x - from[0])]
  return { flatA: flatA.map(turn), flatB: flatB.map(turn) }
}
