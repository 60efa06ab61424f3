import { FindingError } from '../finding/finding'
import { type CallSite, resolveSite } from '../finding/site'
import type { TabRun } from '../craft/tab'
import { type Length, mm } from '../length/length'
import type { At } from '../model/draft'
import type { Fold, Piece, Score } from '../model/piece'
import type { Loop, Point, Polyline } from '../shape/point'

/** A stretch of the outline, counter-clockwise, by its ends: corners of the piece as written. */
export interface EdgeEnds {
  readonly from: At
  readonly to: At
}

/** How tabs are folded. */
export interface TabFold {
  readonly depth: Length
  /** As seen from the printed side; `mountain` folds it away behind, and is taken where not given. */
  readonly fold?: Fold
  /** Degrees it is folded through; 90 where not given. */
  readonly angle?: number
}

/** An edge of a piece's outline, mm, in the axes of the piece as it is printed. */
export interface TabEdge {
  readonly edge: Polyline
  /** What follows it in the outline. */
  readonly rest: Loop
  /** Where it begins in the outline. */
  readonly first: number
}

/** @throws FindingError where an end is no corner of the outline */
export function tabEdge(piece: Piece, ends: EdgeEnds, site: CallSite): TabEdge {
  const loop = piece.outline
  const [from, to] = endsOf(piece, ends).map((end) => cornerAt(piece, end, site)) as [number, number]
  const count = ((to - from + loop.length) % loop.length) + 1
  const edge = Array.from({ length: count }, (_, i) => loop[(from + i) % loop.length]!)
  const rest = Array.from({ length: loop.length - count }, (_, i) => loop[(to + 1 + i) % loop.length]!)
  return { edge, rest, first: from }
}

/** The piece with tabs in the edge's place, scored at their feet. */
export function withTabs(piece: Piece, { rest }: TabEdge, run: TabRun, options: TabFold): Piece {
  const { fold = 'mountain', angle = 90 } = options
  const scores = run.folds.map((line): Score => ({ fold, line, angle }))
  const form = piece.form ?? { kind: 'folded' }
  return { ...piece, outline: [...run.edge, ...rest], scores: [...piece.scores, ...scores], form }
}

/** In the axes of the piece as it is printed: of a port piece the mirror image, which also runs the other way. */
function endsOf({ side }: Piece, { from, to }: EdgeEnds): [Point, Point] {
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
