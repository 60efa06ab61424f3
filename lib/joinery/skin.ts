import type { Finding } from '../finding/finding'
import { type SkinPanel, developSkin } from '../craft/develop/skin'
import { toModel } from '../craft/space'
import type { FlatScore } from '../craft/flat'
import type { PieceSet } from '../model/assembly'
import type { Point, Polyline } from '../shape/point'
import type { Stock } from '../stock/card'
import { type CoveringOptions, type CoveringPanel, type Ground, cover } from './covering'
import type { Run } from './sections'
import { facetted, stretchOf } from './stretch'

export interface SkinOptions extends CoveringOptions {
  /** Scored into so many flat strips, where the curve is too tight for the card. */
  readonly facets?: number
}

/** Angle from which the line between two facets is scored, degrees. */
const FACET = 2

/**
 * A skin laid over frames or ribs, straight from each to the next:
 * `skin('WU', ribs, { stock: 'folder', from: 'right', to: 'left' })` covers the upper side of a wing. It is cut in
 * panels `WU-S01`, `WU-S02`… as long as the card lies well enough and the sheet allows; a panel over several frames is
 * the developable surface between its first and last, with the lines of the others drawn on it.
 *
 * Flat lengths are taken at the card's neutral layer, K·t outside the frames, so that panels meet round them.
 */
export function skin(code: string, over: Run, options: SkinOptions): PieceSet {
  const { facets } = options
  const develop = ({ sections, stock, out, allowed, inside }: Ground, from: number, to: number): CoveringPanel => {
    const stretches = sections.slice(from, to + 1).map((section) => {
      const points = stretchOf(section, options.from, options.to)
      const kept = facets ? facetted(points, facets) : points
      const knuckles = facets ? kept.slice(1, -1).map((_, i) => i + 1) : []
      return { name: section.name, points: kept.map((point) => toModel(section.pose, point)), knuckles }
    })
    const [panel] = developSkin(stretches, { splits: [], out, allowed, inside, ...(facets && { crease: FACET }) })
    return facets ? scored(panel!, stock) : panel!
  }
  return cover(code, over, options, develop, facets ? FACET : undefined)
}

/** The panel with its facets' scores, and a word where they come too close together. */
function scored(panel: SkinPanel, stock: Stock): SkinPanel {
  const { flatA, flatB } = panel.development
  const least = 2 * stock.thickness.value
  const narrowest = Math.min(...[flatA, flatB].flatMap((edge) => edge.slice(1).map((point, i) => gap(edge[i]!, point))))
  const flat = { ...panel.flat, scores: facetScores(panel) }
  if (narrowest >= least) return { ...panel, flat }
  return { ...panel, flat, findings: [...panel.findings, narrowFacet(narrowest, least)] }
}

function gap(p: Point, q: Point): number {
  return Math.hypot(q[0] - p[0], q[1] - p[1])
}

function narrowFacet(found: number, wanted: number): Finding {
  return {
    id: 'narrow-facet',
    severity: 'warning',
    text: `facets ${found.toFixed(2)} mm wide, the card folds at ${wanted.toFixed(2)} mm (twice its thickness)`,
    remedy: 'take fewer facets, or a thinner stock',
    found,
    wanted,
  }
}

/** The scores between facets, without those across a facet that is a little twisted: card that narrow gives. */
function facetScores({ flat, development: { flatA, flatB } }: SkinPanel): FlatScore[] {
  const same = (p: Point | undefined, q: Point | undefined): boolean => !!p && !!q && p[0] === q[0] && p[1] === q[1]
  const between = ([p, q]: Polyline): boolean => {
    const i = flatA.findIndex((point) => same(point, p))
    return i >= 0 && same(flatB[i], q)
  }
  return flat.scores.filter(({ line }) => between(line))
}
