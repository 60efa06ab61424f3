import type { Finding } from '../finding/finding'
import { inMm } from '../craft/figure'
import { degrees, dot, scale } from '../craft/space'
import type { Model } from '../model/model'
import type { Join } from '../model/relation'
import type { Vector } from '../shape/pose'
import { cellsApart } from './cellsApart'
import { boxesApart } from './nearPairs'
import { type Scene, type Standing, about, handless, handsOf, once } from './scene'

/** Added to what a joint may be open, mm: flattened curves and simplified solids. */
const SLACK = 0.1

/** Longest way that is measured between parts said to be joined, mm. */
export const FARTHEST = 20

/** How far apart two standing parts are, mm; `within` where it is that or more. Any distance of `enough` or less will do. */
export function apart(a: Standing, b: Standing, { tree }: Scene, within: number, enough = 0): number {
  if (boxesApart(a.bounds, b.bounds) >= within) return within
  const [p, q] = [tree(a), tree(b)]
  return p && q ? cellsApart({ tree: p, share: 1 }, { tree: q, share: 1 }, within, enough) : within
}

/** Pieces said to be joined that stand further apart than the fit of their stocks lets a joint be open. */
export function gapFindings({ relations, stocks }: Pick<Model, 'relations' | 'stocks'>, scene: Scene): Finding[] {
  const joins = relations.filter((relation): relation is Join => relation.kind === 'join')
  return once(
    joins.flatMap((join) => {
      const [ours, theirs] = [scene.byMark.get(join.a) ?? [], scene.byMark.get(join.b) ?? []]
      if (ours.length === 0 || theirs.length === 0) return []
      const allowed = allowedBetween(ours[0]!, theirs[0]!, stocks, join.within)
      return ours.flatMap((a) => {
        // Most joints are closed, and a short way is soon looked over.
        if (theirs.some((b) => closed(a, b, allowed, scene))) return []
        const { b, gap } = nearestOf(a, theirs, scene)
        return [gapFinding(a, b, gap, allowed)]
      })
    }),
  )
}

/** How far a joint may be open by the fit of its stocks, mm. */
export function allowedBetween(a: Standing, b: Standing, stocks: Model['stocks'], within = 0): number {
  return Math.max(...[a, b].map(({ piece }) => stocks.get(piece.stock)!.fit.loose.value), within) + SLACK
}

/** Of several, at least one, that which stands nearest, and how far, mm. */
export function nearestOf(a: Standing, theirs: readonly Standing[], scene: Scene): { b: Standing; gap: number } {
  let nearest = { b: theirs[0]!, gap: Infinity }
  for (const b of theirs) {
    const gap = apart(a, b, scene, Math.min(nearest.gap, FARTHEST))
    if (gap < nearest.gap) nearest = { b, gap }
  }
  return nearest
}

/** A distance as it is told; longer ones were not measured. */
export function farText(gap: number): string {
  return gap >= FARTHEST ? `${FARTHEST} mm or more` : inMm(gap)
}

/** Whether two parts that are said to be joined come within a distance of each other; those that do hold each other. */
export function closed(a: Standing, b: Standing, allowed: number, scene: Scene): boolean {
  if (apart(a, b, scene, allowed * (1 + 1e-9), allowed) > allowed) return false
  scene.held.join(a, b)
  return true
}

function gapFinding(a: Standing, b: Standing, gap: number, allowed: number): Finding & { key: string; port: boolean } {
  return {
    id: 'gap',
    severity: 'warning',
    text: `${a.mark} is joined to ${b.mark} but stands ${farText(gap)} from it, ${inMm(allowed)} is allowed`,
    remedy: 'move one of them to the other, or take back that they are joined',
    ...about(a),
    found: gap,
    wanted: allowed,
    ...handsOf(a, b),
  }
}

/** Directions in which slots of one piece open that differ by more than this cannot go on together, degrees. */
const PARALLEL = 2

/** Pieces whose slots do not all open one way, so that they cannot be slid on to what goes into them. */
export function slideFindings({ relations }: Pick<Model, 'relations'>, scene: Scene): Finding[] {
  const ways = new Map<string, { other: string; way: Vector }[]>()
  const put = (mark: string, other: string, way: Vector): void => {
    ways.set(mark, [...(ways.get(mark) ?? []), { other, way }])
  }
  for (const relation of relations) {
    if (relation.kind !== 'join' || !relation.opens) continue
    put(relation.a, relation.b, relation.opens)
    put(relation.b, relation.a, scale(relation.opens, -1))
  }
  const found = [...ways].flatMap(([mark, [first, ...rest]]) => {
    const [piece] = scene.byMark.get(mark) ?? []
    if (!piece || !first) return []
    const angles = rest.map(({ way }) => degrees(Math.acos(Math.max(-1, Math.min(1, dot(way, first.way))))))
    const worst = angles.indexOf(Math.max(...angles))
    if (worst < 0 || angles[worst]! <= PARALLEL) return []
    return [
      {
        id: 'slide',
        severity: 'warning' as const,
        text:
          `the slots of ${mark} for ${first.other} and ${rest[worst]!.other} open ${angles[worst]!.toFixed(1)}° apart, ` +
          `${PARALLEL}° is allowed: it cannot be slid on to both`,
        remedy: 'give upper the same way in both interlocks, or make what goes in parallel',
        ...about(piece),
        found: angles[worst]!,
        wanted: PARALLEL,
        key: `${handless(piece.piece)}`,
        port: piece.piece.side === 'P',
      },
    ]
  })
  return once(found)
}
