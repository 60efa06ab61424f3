import type { Manifold } from 'manifold-3d' with { 'resolution-mode': 'import' }
import type { Finding } from '../finding/finding'
import { faceNormal } from '../craft/space'
import type { Relation } from '../model/relation'
import type { Vector } from '../shape/pose'
import { inMm } from '../craft/figure'
import { cellsApart } from './cellsApart'
import { meanDepth } from './depth'
import { flatPlace } from './flatPlace'
import { type Joints, alongSeam, declaredDepth, jointsOf } from './joints'
import { boxesApart } from './nearPairs'
import { type Scene, type Standing, about, besideFace, handsOf, isSlab, once } from './scene'

/**
 * Two pieces clash where they share more than this, mm³, and it goes deeper than this share of the thinner card. What is
 * less is put down to the simplifications of the solids, to flattened curves (0.01 mm) and to the card itself, which
 * gives by as much under the thumb (common practice, no source). It is no more for what is glued, as faces only touch, but
 * along edges that were to meet. Where a joint was allowed to be open further, as a skin over many frames is, that holds instead.
 */
export const CLASH = { volume: 0.1, share: 0.5 } as const

/** Where two pieces are in each other's way. */
export interface Clash {
  readonly a: Standing
  readonly b: Standing
  /** mm³ that both claim. */
  readonly volume: number
  /** How deep they are in each other, mm, and the longest side of what they share. */
  readonly depth: number
  readonly length: number
  readonly at: Vector
}

export function clashesOf(scene: Scene, relations: readonly Relation[] = []): Clash[] {
  const joints = jointsOf(relations)
  return scene.pairs.flatMap(([a, b]) => clashOf(a, b, joints, scene) ?? [])
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
        also: [{ mark: b.mark, ...(there && { at: there }) }],
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

/** However far a joint may be open, card that is in other card by more than this share of its thickness goes through it. */
const THROUGH = 0.9

function clashOf(a: Standing, b: Standing, joints: Joints, scene: Scene): Clash | undefined {
  const card = Math.min(a.thickness, b.thickness)
  const deep = Math.min(Math.max(declaredDepth(a, b, joints), CLASH.share * card), THROUGH * card)
  if (boxesApart(a.bounds, b.bounds) > -NICK) return undefined
  if (besideFace(a, b, deep) || besideFace(b, a, deep)) return undefined
  if (!sharesDeeply(a, b, deep, scene)) return undefined
  const [p, q] = [scene.body(a), scene.body(b)]
  if (!p || !q) return undefined
  const shared = p.intersect(q)
  const parts = shared.decompose()
  try {
    const large = parts.map((part) => ({ part, volume: part.volume() })).filter(({ volume }) => volume >= CLASH.volume)
    const explained = alongSeam(a, b, joints)
    for (const { part, volume } of large.toSorted((one, other) => other.volume - one.volume)) {
      const sized = sizeOf(part, a, b, deep, scene)
      if (sized.depth < deep) continue
      const { vertProperties, numProp } = part.getMesh()
      if (!explained?.(vertProperties, numProp)) return { a, b, volume, ...sized }
    }
    return undefined
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

/**
 * How deep what is shared goes, the longest side of it along the axes of the model and square to the cards, and its middle.
 * Less than `deep` may be told as anything below it.
 */
function sizeOf(part: Manifold, a: Standing, b: Standing, deep: number, { tree }: Scene): { depth: number; length: number; at: Vector } {
  const slabs = [a, b].filter(isSlab)
  const ways: Vector[] = [[1, 0, 0], [0, 1, 0], [0, 0, 1], ...slabs.map(({ pose }) => faceNormal(pose))]
  const { vertProperties, numProp } = part.getMesh()
  const spans = ways.map((way) => spanAlong(vertProperties, numProp, way))
  const extents = spans.map(([least, most]) => most - least)
  const [least, length] = [Math.min(...extents), Math.max(...extents)]
  // Slabs have normals of their own to be measured along; curled and folded card has no one normal.
  const depth = least < deep || slabs.length === 2 ? least : Math.min(least, meanDepth(part, [tree(a)!, tree(b)!], length, deep))
  const at = spans.slice(0, 3).map(([from, to]) => (from + to) / 2) as unknown as Vector
  return { depth, length, at }
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
