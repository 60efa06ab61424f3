import { type Finding, compareText } from '../finding/finding'
import { inMm } from '../craft/figure'
import type { Model } from '../model/model'
import type { Bond } from '../model/relation'
import { allowedBetween, closed, farText, nearestOf } from './contact'
import { type Scene, type Standing, about, handsOf, once } from './scene'

/**
 * Pieces that touch none of those they are glued to. Of each piece every copy must touch one of the others; of what was taken
 * apart into several, any of them.
 */
export function bondFindings({ relations, stocks }: Pick<Model, 'relations' | 'stocks'>, scene: Scene): Finding[] {
  const bonds = relations.filter((relation): relation is Bond => relation.kind === 'bond')
  return once(
    bonds.flatMap((bond): Found[] => {
      const theirs = bond.b.flatMap((mark) => scene.byMark.get(mark) ?? [])
      const ours = bond.a.map((mark) => scene.byMark.get(mark) ?? []).filter((copies) => copies.length > 0)
      if (theirs.length === 0 || ours.length === 0) return []
      const open = ours.map((copies) => copies.flatMap((a) => openBond(a, theirs, bond, stocks, scene)))
      return open.some((found) => found.length === 0) ? [] : open[0]!
    }),
  )
}

function openBond(a: Standing, theirs: readonly Standing[], { b: marks }: Bond, stocks: Model['stocks'], scene: Scene): Found[] {
  if (theirs.some((b) => closed(a, b, allowedBetween(a, b, stocks), scene))) return []
  const { b, gap } = nearestOf(a, theirs, scene)
  const allowed = allowedBetween(a, b, stocks)
  const more = marks.length > 1 ? ` and ${marks.length - 1} more` : ''
  const whom = marks.length > 1 ? `to one of ${marks.toSorted(compareText)[0]}${more}, but` : `to ${b.mark} but`
  const copy = a.piece.copies > 1 ? `copy ${a.copy} of ${a.mark}` : a.mark
  return [
    {
      id: 'gap',
      severity: 'warning',
      text: `${copy} is glued ${whom} stands ${farText(gap)} from ${marks.length > 1 ? `the nearest, ${b.mark}` : 'it'}, ${inMm(allowed)} is allowed`,
      remedy: 'move one of them to the other, or take back that they are glued',
      ...about(a),
      found: gap,
      wanted: allowed,
      ...handsOf(a, b, String(a.copy)),
    },
  ]
}

type Found = Finding & { readonly key: string; readonly port: boolean }
