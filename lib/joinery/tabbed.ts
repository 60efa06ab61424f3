import type { Finding } from '../finding/finding'
import { type CallSite, callSite } from '../finding/site'
import { interiorAngle } from '../craft/line'
import { type TabRun, cornerMitre, edgeTab, toothedTab } from '../craft/tab'
import { recording } from '../length/bench'
import { type Length, mm } from '../length/length'
import { bench } from '../length/unit'
import { PieceSet } from '../model/assembly'
import type { Piece } from '../model/piece'
import type { Loop, Point, Polyline } from '../shape/point'
import { readsOf } from './flatPiece'
import { eachTouches } from './relations'
import { sayFound } from './found'
import { type Pieces, allPieces, remembering } from './standing'
import { type EdgeEnds, type TabFold, tabEdge, withTabs } from './tabEdge'

export interface TabbedOptions extends EdgeEnds, TabFold {
  /** Widest tooth on a curved stretch; 6 mm where not given. */
  readonly widest?: Length
  /** What the tabs are glued to: every piece touches one at least of these. */
  readonly onto?: Pieces
}

/**
 * Glue tabs left along an edge of pieces and scored there. A straight edge gets one, its ends mitred so that it cannot
 * run into those of its neighbours; a curved one gets teeth, narrower where it bends. Port pieces get the mirror image.
 *
 * @throws FindingError where an end is no corner of the outline; a tab deeper than its edge allows is a finding
 */
export function tabbed(given: Pieces, options: TabbedOptions): PieceSet {
  const site = callSite()
  const pieces = allPieces(given, 'tabbed', site)
  const findings: Finding[] = []
  const made = pieces.map((piece) => {
    const { result, read } = recording(() => withTab(piece, options, site))
    findings.push(...result.findings.map((finding) => ({ ...finding, mark: piece.mark })))
    return remembering({ ...result.piece, reads: readsOf([piece], read) }, piece)
  })
  sayFound(findings, pieces, site)
  if (options.onto) eachTouches('tabbed', made, allPieces(options.onto, 'tabbed', site), site)
  return new PieceSet(made)
}

const WIDEST = 6

function withTab(piece: Piece, options: TabbedOptions, site: CallSite): { piece: Piece; findings: readonly Finding[] } {
  const at = tabEdge(piece, options, site)
  const { angle = 90 } = options
  const depth = mm(options.depth)
  const widest = mm(options.widest ?? bench.mm(WIDEST))
  const straight = at.edge.length === 2
  const run = straight ? straightTab(piece.outline, at.first, depth) : toothedTab(at.edge, { depth, widest, angle })
  return { piece: withTabs(piece, at, run, options), findings: run.findings }
}

function straightTab(loop: Loop, i: number, depth: number): TabRun {
  const [from, to] = [loop[i]!, loop[(i + 1) % loop.length]!]
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  const [start, end] = [cornerMitre(interiorAngle(loop, i)), cornerMitre(interiorAngle(loop, (i + 1) % loop.length))]
  const tab = edgeTab({ length, depth, start, end })
  const way: Point = [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
  // The outside of a counter-clockwise outline is on the right of its edges.
  const out = ([x, y]: Point): Point => [from[0] + way[0] * x + way[1] * y, from[1] + way[1] * x - way[0] * y]
  const edge: Polyline = [from, out(tab.outline[3]!), out(tab.outline[2]!), to]
  const findings = tab.findings.map((finding) => ({ ...finding, at: from }))
  return { edge, folds: [[from, to]], tabs: [edge], findings }
}
