import type { Manifold } from 'manifold-3d' with { 'resolution-mode': 'import' }
import type { Finding } from '../finding/finding'
import { faceNormal } from '../craft/space'
import type { Relation } from '../model/relation'
import type { Vector } from '../shape/pose'
import { inMm } from '../craft/figure'
import type { CellTree } from './cellTree'
import { cellsApart } from './cellsApart'
import { flatPlace } from './flatPlace'
import { boxesApart } from './nearPairs'
import { type Scene, type Standing, about, besideFace, handsOf, isSlab, once } from './scene'

/**
 * Two pieces clash where they share more than this, mm³, and it goes deeper than this share of the thinner card. What is
 * less is put down to the simplifications of the solids, to flattened curves (0.01 mm) and to the card itself, which
 * gives by as much under the thumb (common practice, no source). Where a joint was allowed to be open further, as a skin
 * over many frames is, that holds instead.
 */
export const CLASH = { volume: 0.1, share: 0.5 } as const

/** Where two pieces are in each other's way. */
export interface Clash {
  readonly a: Standing
  readonly b: Standing
  /** mm³ that both claim. */
  readonly volume: number
  /** The least way to part them, mm, and the longest side of what they share. */
  readonly depth: number
  readonly length: number
  readonly at: Vector
}

export function clashesOf(scene: Scene, relations: readonly Relation[] = []): Clash[] {
  const joints = jointsOf(relations)
  return scene.pairs.flatMap(([a, b]) => {
    const clash = clashOf(a, b, joints.get(pairOf(a.mark, b.mark)), scene)
    return clash ? [clash] : []
  })
}

/** How far what is joined may be open, mm, by both marks; 0 where no more than any joint. */
function jointsOf(relations: readonly Relation[]): ReadonlyMap<string, number> {
  const joints = new Map<string, number>()
  const put = (pair: string, within: number): void => void joints.set(pair, Math.max(within, joints.get(pair) ?? 0))
  for (const relation of relations) {
    if (relation.kind === 'bond') for (const a of relation.a) for (const b of relation.b) put(pairOf(a, b), 0)
    if (relation.kind === 'seam') put(pairOf(relation.a, relation.b), 0)
    if (relation.kind === 'join') put(pairOf(relation.a, relation.b), relation.within ?? 0)
  }
  return joints
}

function pairOf(a: string, b: string): string {
  return a < b ? `${a} ${b}` : `${b} ${a}`
}

export function clashFindings(clashes: readonly Clash[]): Finding[] {
  return once(
    clashes.map(({ a, b, volume, depth, length, at }) => {
      const place = at.map((value) => value.toFixed(1)).join(', ')
      const there = flatPlace(b, at)
      const onB = there ? `, on ${b.mark} at (${there[0].toFixed(2)}, ${there[1].toFixed(2)}) mm` : ''
      const here = flatPlace(a, at)
      const wound = [...new Set([!here && a.mark, !there && b.mark])].filter(Boolean).join(' and ')
      const onNone = wound ? `; where on the strip of ${wound} cannot be told, as it is wound` : ''
      return {
        id: 'clash',
        severity: 'warning' as const,
        text:
          `${a.mark} and ${b.mark} are in each other's way by ${inMm(depth)} over ${inMm(length)} ` +
          `(${volume.toFixed(2)} mm³, ${CLASH.volume.toFixed(2)} is allowed) at (${place}) in the model${onB}${onNone}`,
        remedy: 'move one of them, cut one to clear the other, or slot them together with interlock',
        ...about(a),
        ...(here && { at: here }),
        inModel: at,
        found: depth,
        wanted: 0,
        ...handsOf(a, b, depth.toFixed(1)),
      }
    }),
  )
}

/** Boxes that overlap by less than this hold no clash, mm. */
const NICK = 0.05

function clashOf(a: Standing, b: Standing, joint: number | undefined, scene: Scene): Clash | undefined {
  const deep = Math.max(joint ?? 0, CLASH.share * Math.min(a.thickness, b.thickness))
  if (boxesApart(a.bounds, b.bounds) > -NICK) return undefined
  if (besideFace(a, b, deep) || besideFace(b, a, deep)) return undefined
  if (!sharesDeeply(a, b, deep, scene)) return undefined
  const [p, q] = [scene.body(a), scene.body(b)]
  // Slabs have normals of their own to be measured along, and what is joined is fitted to each other.
  const through = joint === undefined && !(isSlab(a) && isSlab(b)) && goThrough(a, b, scene)
  return p && q && largestShared(p, q, a, b, deep, through)
}

/**
 * Whether card goes right through other card: the middle of each, a little inside its outline, comes through both faces of
 * the other.
 */
function goThrough(a: Standing, b: Standing, { tree }: Scene): boolean {
  const [p, q] = [tree(a)!, tree(b)!]
  if (!p.card || !q.card) return false
  const inside = CLASH.share * Math.min(a.thickness, b.thickness)
  const comes = (one: CellTree, other: CellTree): boolean =>
    ([1, -1] as const).every((face) => cellsApart({ tree: one, share: 0, margin: inside }, { tree: other, share: 1, face }, TOUCH) < TOUCH)
  return comes(p, q) && comes(q, p)
}

function largestShared(p: Manifold, q: Manifold, a: Standing, b: Standing, deep: number, through: boolean): Clash | undefined {
  const shared = p.intersect(q)
  const parts = shared.decompose()
  try {
    const sized = parts.map((part) => ({ volume: part.volume(), ...sizeOf(part, [a, b], through) })).toSorted((one, other) => other.volume - one.volume)
    const deepest = sized.find(({ volume, depth }) => volume >= CLASH.volume && depth >= deep)
    return deepest && { a, b, ...deepest }
  } finally {
    for (const part of [shared, ...parts]) part.delete()
  }
}

/**
 * Whether a ball as wide as the depth may fit into what two bodies share: its middle lies half its width or more from
 * every face of either, so in what is left of card that is shaved by so much from both faces.
 */
function sharesDeeply(a: Standing, b: Standing, deep: number, { tree }: Scene): boolean {
  const [p, q] = [tree(a), tree(b)]
  if (!p || !q) return false
  const [shareA, shareB] = [1 - deep / a.thickness, 1 - deep / b.thickness]
  if ((p.card && shareA < 0) || (q.card && shareB < 0)) return false
  return cellsApart({ tree: p, share: shareA, margin: deep / 2 }, { tree: q, share: shareB, margin: deep / 2 }, TOUCH) < TOUCH
}

/** Bodies nearer than this share a point, mm. */
const TOUCH = 1e-6

/** The least and the greatest extent of what is shared, along the axes of the model and square to the cards, and its middle. */
function sizeOf(body: Manifold, cards: readonly Standing[], through: boolean): { depth: number; length: number; at: Vector } {
  const normals = cards.filter(isSlab).map(({ pose }) => faceNormal(pose))
  const ways: Vector[] = [[1, 0, 0], [0, 1, 0], [0, 0, 1], ...normals]
  const { vertProperties, numProp } = body.getMesh()
  const spans = ways.map((way) => spanAlong(vertProperties, numProp, way))
  const extents = spans.map(([least, most]) => most - least)
  // Curled and folded card has no one normal: how thick what is shared is on the whole, as a plate of its faces. Where one
  // goes right through the other, that would be half of what it is: as thick as the thinner one.
  const plate = through ? Math.min(...cards.map(({ thickness }) => thickness)) : (2 * body.volume()) / body.surfaceArea()
  const asPlate = normals.length === cards.length ? Infinity : plate
  const at = spans.slice(0, 3).map(([least, most]) => (least + most) / 2) as unknown as Vector
  return { depth: Math.min(...extents, asPlate), length: Math.max(...extents), at }
}

function spanAlong(corners: Float32Array, step: number, [x, y, z]: Vector): [number, number] {
  let least = Infinity
  let most = -Infinity
  for (let i = 0; i < corners.length; i += step) {
    const s = x * corners[i]! + y * corners[i + 1]! + z * corners[i + 2]!
    if (s < least) least = s
    if (s > most) most = s
  }
  return [least, most]
}
