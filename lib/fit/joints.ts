import { type CardEdge, edgeLine } from '../model/form'
import type { Relation } from '../model/relation'
import type { Vector } from '../shape/pose'
import type { Standing } from './scene'

/** How far what is joined may be in each other, by both marks. */
export interface Joints {
  /** How deep, mm, where a joint was allowed to be open further than any. */
  readonly within: ReadonlyMap<string, number>
  /** Edges that were to meet, those of the first mark and of the second. */
  readonly seams: ReadonlyMap<string, readonly (readonly [CardEdge, CardEdge])[]>
}

export function jointsOf(relations: readonly Relation[]): Joints {
  const within = new Map<string, number>()
  const seams = new Map<string, (readonly [CardEdge, CardEdge])[]>()
  for (const relation of relations) {
    if (relation.kind === 'join') {
      const pair = pairOf(relation.a, relation.b)
      within.set(pair, Math.max(relation.within ?? 0, within.get(pair) ?? 0))
    } else if (relation.kind === 'seam') {
      const { a, b, edges: [one, other] } = relation
      const pair = pairOf(a, b)
      seams.set(pair, [...(seams.get(pair) ?? []), a <= b ? [one, other] : [other, one]])
    }
  }
  return { within, seams }
}

function pairOf(a: string, b: string): string {
  return a < b ? `${a} ${b}` : `${b} ${a}`
}

export function declaredDepth(a: Standing, b: Standing, { within }: Joints): number {
  return within.get(pairOf(a.mark, b.mark)) ?? 0
}

/**
 * Tells of corners of what two pieces share whether all lie along edges of theirs that were to meet: square edges of cards
 * that turn there are in each other, wherever in their thickness they meet. Undefined where no edges were to.
 */
export function alongSeam(a: Standing, b: Standing, { seams }: Joints): ((corners: Float32Array, step: number) => boolean) | undefined {
  const edges = seams.get(pairOf(a.mark, b.mark))
  if (!edges) return undefined
  const reach = SEAM * (a.thickness + b.thickness)
  const lines = edges.map(([one, other]) => {
    // Of two copies of one piece either may come first.
    const [ours, theirs] = a.mark === b.mark ? [[one, other], [one, other]] : a.mark < b.mark ? [[one], [other]] : [[other], [one]]
    return [linesOf(a, ours), linesOf(b, theirs)] as const
  })
  const near = (point: Vector, of: readonly (readonly Vector[])[]): boolean => of.some((line) => toLine(point, line) <= reach)
  return (corners, step) => {
    for (let i = 0; i < corners.length; i += step) {
      const point: Vector = [corners[i]!, corners[i + 1]!, corners[i + 2]!]
      if (!lines.some(([ours, theirs]) => near(point, ours) && near(point, theirs))) return false
    }
    return true
  }
}

/**
 * Farthest from the middle of both edges that what they share may reach, in thicknesses of both cards: cards that turn by
 * 150° from outer face to outer face share no more.
 */
const SEAM = 2

function linesOf({ piece: { form }, pose }: Standing, edges: readonly CardEdge[]): (readonly Vector[])[] {
  return form?.kind === 'curved' ? edges.map((edge) => edgeLine(form, edge, pose)) : []
}

function toLine([x, y, z]: Vector, line: readonly Vector[]): number {
  let least = Infinity
  for (let i = 1; i < line.length; i++) {
    const [p, q] = [line[i - 1]!, line[i]!]
    const [wx, wy, wz] = [q[0] - p[0], q[1] - p[1], q[2] - p[2]]
    const [vx, vy, vz] = [x - p[0], y - p[1], z - p[2]]
    const squared = wx * wx + wy * wy + wz * wz
    const t = squared === 0 ? 0 : Math.min(1, Math.max(0, (vx * wx + vy * wy + vz * wz) / squared))
    least = Math.min(least, Math.hypot(vx - t * wx, vy - t * wy, vz - t * wz))
  }
  return least
}
