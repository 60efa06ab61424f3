import { type Finding, FindingError } from '../finding/finding'
import { type CallSite, callSite, resolveSite } from '../finding/site'
import { lengthOf } from '../craft/line'
import { type TabRun, alternatingTabs } from '../craft/tab'
import { recording } from '../length/bench'
import { mm } from '../length/length'
import { PieceSet } from '../model/assembly'
import type { Piece } from '../model/piece'
import type { Point, Polyline } from '../shape/point'
import { readsOf, say } from './flatPiece'
import { sayFound } from './found'
import { join } from './relate'
import { type Pieces, allPieces, remembering } from './standing'
import { type EdgeEnds, type TabEdge, type TabFold, tabEdge, withTabs } from './tabEdge'

/** Pieces, and the edge of each that is to be joined. */
export interface JoinedEdge extends EdgeEnds {
  readonly pieces: Pieces
}

export interface AlternatingOptions extends TabFold {
  /** Tabs on both edges together, at least two. */
  readonly count: number
}

/**
 * Two edges that meet, joined by tabs that take turns (common practice): the odd ones on the first piece, the even ones
 * on the second, each `1/count` of the edge less 0.4 mm, so that either piece laps behind the other. The pieces go
 * together in their order, the first of one with the first of the other. On port the tabs are the mirror image.
 *
 * Edges that differ in length are a warning, tabs deeper than their foot allows an error.
 *
 * @throws FindingError for fewer than two tabs, for unequal numbers of pieces, and where an end is no corner
 */
export function alternating(
  first: JoinedEdge,
  second: JoinedEdge,
  options: AlternatingOptions,
): [first: PieceSet, second: PieceSet] {
  const site = callSite()
  const [ours, theirs] = [first, second].map(({ pieces }) => allPieces(pieces, 'alternating', site)) as [Some, Some]
  checkNumbers(ours, theirs, options.count, site)
  const pairs = ours.map((piece, i) => {
    const other = theirs[i]!
    const { result, read } = recording(() => {
      const edges = [tabEdge(piece, first, site), tabEdge(other, second, site)] as const
      checkLengths(piece, other, edges, site)
      const runs = takeTurns(piece, edges, options)
      return [tabsOn(piece, edges[0], runs[0], options), tabsOn(other, edges[1], runs[1], options)] as const
    })
    const reads = readsOf([piece, other], read)
    const made = result.map((one, k) => remembering({ ...one.piece, reads }, k === 0 ? piece : other))
    join('glue', [made[0]!], [made[1]!])
    return { made, findings: result.flatMap(({ findings }) => findings) }
  })
  sayFound(pairs.flatMap(({ findings }) => findings), [...ours, ...theirs], site)
  return [new PieceSet(pairs.map(({ made }) => made[0]!)), new PieceSet(pairs.map(({ made }) => made[1]!))]
}

type Some = readonly Piece[]
type Edges = readonly [TabEdge, TabEdge]

/** Of port pieces laid out as on starboard: their edges run the other way, and would begin at the other end. */
function takeTurns({ side }: Piece, [a, b]: Edges, { depth, count, angle = 90 }: AlternatingOptions): [TabRun, TabRun] {
  const spec = { depth: mm(depth), count, angle }
  const port = side === 'P'
  const [ours, theirs] = port ? [mirroredLine(a.edge), mirroredLine(b.edge)] : [a.edge, b.edge]
  const { first, second } = alternatingTabs(ours, theirs, spec)
  return port ? [mirroredRun(first), mirroredRun(second)] : [first, second]
}

function mirroredLine(line: Polyline): Polyline {
  return line.map(([x, y]): Point => [-x, y]).toReversed()
}

function mirroredRun({ edge, folds, tabs, findings }: TabRun): TabRun {
  return {
    edge: mirroredLine(edge),
    folds: folds.map(mirroredLine),
    tabs: tabs.map(mirroredLine),
    findings: findings.map((finding) => (finding.at ? { ...finding, at: mirroredLine([finding.at])[0]! } : finding)),
  }
}

function tabsOn(piece: Piece, at: TabEdge, run: TabRun, fold: TabFold): { piece: Piece; findings: Finding[] } {
  const findings = run.findings.map((finding) => ({ ...finding, mark: piece.mark }))
  return { piece: withTabs(piece, at, run, fold), findings }
}

function checkNumbers(ours: Some, theirs: Some, count: number, site: CallSite): void {
  const where = resolveSite(site)
  const error = { id: 'alternating', severity: 'error', ...(where && { site: where }) } as const
  if (!Number.isInteger(count) || count < 2) {
    const text = `alternating was given ${count} tabs for two edges`
    throw new FindingError({ ...error, text, remedy: 'give a whole number of 2 or more', found: count, wanted: 2 })
  }
  if (ours.length !== theirs.length) {
    throw new FindingError({
      ...error,
      text: `alternating was given ${ours.length} pieces to join with ${theirs.length}`,
      remedy: 'give as many of one as of the other',
      found: theirs.length,
      wanted: ours.length,
    })
  }
}

/** By how much edges that meet may differ, mm. */
const SAME_LENGTH = 0.1

function checkLengths(piece: Piece, other: Piece, edges: Edges, site: CallSite): void {
  const [a, b] = edges.map(({ edge }) => lengthOf(edge)) as [number, number]
  if (Math.abs(a - b) <= SAME_LENGTH) return
  const text = `an edge of ${a.toFixed(2)} mm is to meet one of ${b.toFixed(2)} mm on ${other.mark}`
  const remedy = 'give the ends of the same joint on both pieces'
  const { mark, family } = piece
  say([{ id: 'joint-length', severity: 'warning', text, remedy, mark, family, found: b, wanted: a }], site)
}
