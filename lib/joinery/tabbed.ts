import { type Finding, FindingError } from '../finding/finding'
import { type CallSite, callSite, resolveSite } from '../finding/site'
import { interiorAngle } from '../craft/line'
import { type TabRun, cornerMitre, edgeTab, toothedTab } from '../craft/tab'
import { recording } from '../length/bench'
import { type Length, mm } from '../length/length'
import { bench } from '../length/unit'
import { PieceSet } from '../model/assembly'
import type { At } from '../model/draft'
import type { Fold, Piece, Score } from '../model/piece'
import type { Loop, Point, Polyline } from '../shape/point'
import { readsOf } from './flatPiece'
import { sayFound } from './found'
import { type Pieces, allPieces, remembering } from './standing'

export interface TabbedOptions {
  /** Ends of the stretch of the outline that gets the tab, counter-clockwise: corners of the piece as written. */
  readonly from: At
  readonly to: At
  readonly depth: Length
  /** As seen from the printed side; `mountain` folds it away behind, and is taken where not given. */
  readonly fold?: Fold
  /** Degrees it is folded through; 90 where not given. */
  readonly angle?: number
  /** Widest tooth on a curved stretch; 6 mm where not given. */
  readonly widest?: Length
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
  return new PieceSet(made)
}

const WIDEST = 6

function withTab(piece: Piece, options: TabbedOptions, site: CallSite): { piece: Piece; findings: readonly Finding[] } {
  const { fold = 'mountain', angle = 90 } = options
  const loop = piece.outline
  const [from, to] = endsOf(piece, options).map((end) => cornerAt(piece, end, site)) as [number, number]
  const count = ((to - from + loop.length) % loop.length) + 1
  const edge = Array.from({ length: count }, (_, i) => loop[(from + i) % loop.length]!)
  const depth = mm(options.depth)
  const widest = mm(options.widest ?? bench.mm(WIDEST))
  const run = count === 2 ? straightTab(loop, from, depth) : toothedTab(edge, { depth, widest, angle })
  const rest = Array.from({ length: loop.length - count }, (_, i) => loop[(to + 1 + i) % loop.length]!)
  const scores = run.folds.map((line): Score => ({ fold, line, angle }))
  return {
    piece: { ...piece, outline: [...run.edge, ...rest], scores: [...piece.scores, ...scores] },
    findings: run.findings,
  }
}

/** In the axes of the piece as it is printed: of a port piece the mirror image, which also runs the other way. */
function endsOf({ side }: Piece, { from, to }: TabbedOptions): [Point, Point] {
  const [start, end] = [from, to].map(([x, y]): Point => [mm(x), mm(y)]) as [Point, Point]
  return side === 'P' ? [[-end[0], end[1]], [-start[0], start[1]]] : [start, end]
}

/** How far from a corner an end may be given, mm. */
const NEAR = 0.1

function cornerAt(piece: Piece, [x, y]: Point, site: CallSite): number {
  const off = piece.outline.map((point) => Math.hypot(point[0] - x, point[1] - y))
  const nearest = off.indexOf(Math.min(...off))
  if (off[nearest]! <= NEAR) return nearest
  const where = resolveSite(site)
  const [cx, cy] = piece.outline[nearest]!
  throw new FindingError({
    id: 'tab-edge',
    severity: 'error',
    text: `a tab is to end at ${place([x, y])}, ${off[nearest]!.toFixed(2)} mm from a corner of the outline`,
    remedy: `the nearest corner is at ${place([cx, cy])}`,
    mark: piece.mark,
    family: piece.family,
    at: [x, y],
    found: off[nearest]!,
    wanted: NEAR,
    ...(where && { site: where }),
  })
}

function place([x, y]: Point): string {
  return `(${x.toFixed(2)}, ${y.toFixed(2)}) mm`
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
