import { type Beside, lineLength, sideBySide } from '../craft/sideBySide'
import { dot } from '../craft/space'
import { CARD_EDGES, type CardEdge, type Curved, edgeLine, faceAtEdge, inwardsAtEdge } from '../model/form'
import type { Piece } from '../model/piece'
import type { Seam } from '../model/relation'
import { session } from '../model/session'
import type { Vector } from '../shape/pose'
import { thicknessOf } from './standing'

/** Edges shorter than this are corners, mm. */
const CORNER = 1

/** Least part of the shorter of two edges that must run beside the other. */
const LEAST_SHARE = 0.15

/**
 * Remembers that two pieces of curled card meet along those of their edges that run side by side, the nearest of all;
 * whether there are any, no further than `farthest` mm apart in the mean. Cards that lie on each other meet by their faces.
 */
export function meetAlong(a: Piece, b: Piece, farthest = Infinity): boolean {
  const [ours, theirs] = [edgesOf(a), edgesOf(b)]
  let best: { edges: Seam['edges']; mean: number } | undefined
  for (const { edge, line, box } of ours) {
    for (const { edge: otherEdge, line: other, box: otherBox } of theirs) {
      // What is further apart than the nearest so far need not be measured.
      if (boxesApart(box, otherBox) > Math.min(farthest, best?.mean ?? Infinity)) continue
      const mean = meanApart(line, other)
      if (mean !== undefined && mean <= farthest && (!best || mean < best.mean - 1e-9)) best = { edges: [edge, otherEdge], mean }
    }
  }
  if (!best || lapped(a, best.edges[0], b, best.edges[1])) return false
  session().relations.push({ kind: 'seam', a: a.mark, b: b.mark, edges: best.edges })
  return true
}

/** Whether two edges lie over each other, with the cards face to face beside them, as those of plies do. */
function lapped(a: Piece, edge: CardEdge, b: Piece, otherEdge: CardEdge): boolean {
  if (!isCurled(a) || !isCurled(b)) return false
  const run = sideBySide(edgeLine(a.form, edge, a.pose), edgeLine(b.form, otherEdge, b.pose))
  const { place, otherPlace } = run[run.length >> 1]!
  const into = dot(inwardsAtEdge(a.form, edge, place, a.pose), inwardsAtEdge(b.form, otherEdge, otherPlace, b.pose))
  const faces = dot(faceAtEdge(a.form, edge, place, a.pose), faceAtEdge(b.form, otherEdge, otherPlace, b.pose))
  return into > ALIKE && faces > ALIKE
}

/** Cosine from which two directions are one. */
const ALIKE = 0.9

/** Remembers that a piece and its mirror image meet along the edges that lie on the centre plane. */
export function meetOnCentre(port: Piece, starboard: Piece): void {
  const on = thicknessOf(starboard) / 2 + NEAR
  for (const { edge, line } of edgesOf(starboard)) {
    if (!line.every(([, y]) => Math.abs(y) <= on)) continue
    session().relations.push({ kind: 'seam', a: port.mark, b: starboard.mark, edges: [edge, edge] })
  }
}

/** How far off the centre plane an edge may be to be meant for it, mm. */
const NEAR = 0.05

export function isCurled(piece: Piece): piece is Piece & { readonly form: Curved } {
  return piece.form?.kind === 'curved'
}

interface EdgeInSpace {
  readonly edge: CardEdge
  readonly line: readonly Vector[]
  readonly box: readonly [least: Vector, most: Vector]
}

/** Edges of curled pieces, which are looked at against every one that they may meet. */
const known = new WeakMap<Piece, readonly EdgeInSpace[]>()

function edgesOf(piece: Piece): readonly EdgeInSpace[] {
  if (!isCurled(piece)) return []
  const before = known.get(piece)
  if (before) return before
  const lines = CARD_EDGES.map((edge) => ({ edge, line: edgeLine(piece.form, edge, piece.pose) }))
  const edges = lines.filter(({ line }) => lineLength(line) > CORNER).map((one) => ({ ...one, box: boxOf(one.line) }))
  known.set(piece, edges)
  return edges
}

function boxOf(line: readonly Vector[]): EdgeInSpace['box'] {
  const extreme = (pick: (a: number, b: number) => number): Vector =>
    line.reduce(([x, y, z], [u, v, w]): Vector => [pick(x, u), pick(y, v), pick(z, w)])
  return [extreme(Math.min), extreme(Math.max)]
}

/** Least that two lines can be apart, by their boxes along the axes of the model. */
function boxesApart([least, most]: EdgeInSpace['box'], [low, high]: EdgeInSpace['box']): number {
  const off = (k: 0 | 1 | 2): number => Math.max(0, least[k] - high[k], low[k] - most[k])
  return Math.hypot(off(0), off(1), off(2))
}

/** Undefined where too little of either is beside the other. */
function meanApart(a: readonly Vector[], b: readonly Vector[]): number | undefined {
  const shorter = Math.min(lineLength(a), lineLength(b))
  const meanOf = (line: readonly Vector[], other: readonly Vector[]): number | undefined => {
    const run = sideBySide(line, other)
    const length = lengthOf(run)
    if (length < LEAST_SHARE * shorter) return undefined
    return run.reduce((sum, one) => sum + one.apart * one.length, 0) / length
  }
  const there = meanOf(a, b)
  const back = there === undefined ? undefined : meanOf(b, a)
  return there === undefined || back === undefined ? undefined : Math.max(there, back)
}

function lengthOf(run: readonly Beside[]): number {
  return run.reduce((sum, { length }) => sum + length, 0)
}
