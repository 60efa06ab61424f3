import { type ChangeKind, type Changes, compareManifests, type PieceChange } from './changes'
import type { LogEntry } from './logbook'
import type { Manifest, ManifestPiece } from './manifest'
import { progressOf } from './progress'
import { type Hours, hoursFor, type Rates, type Work } from './rate'
import { type LoggedShapes, shapeOf } from './shapes'
import type { PieceStanding } from './standing'

/** What a change to a model would do to its pieces, and to those that are made already. */
export interface Impact {
  readonly changes: Changes
  /** Pieces that would be other pieces, in the order of marks; those that only stand elsewhere are not among them. */
  readonly pieces: readonly ImpactedPiece[]
  /** Pieces that are cut the same and only stand elsewhere in the model, and by how many mm at most. */
  readonly moved: { readonly count: number; readonly most: number }
  /** Pieces of card on the bench that would be of no use any more, and the hours they took. */
  readonly lost: { readonly cut: number; readonly formed: number; readonly glued: number; readonly hours: Hours }
  /** Pieces of card on the bench that change by no more than the tolerance. */
  readonly kept: number
}

export interface ImpactedPiece {
  readonly mark: string
  readonly family: string
  readonly kind: ChangeKind
  /** Pieces of card it is needed in now: every copy, every ply. */
  readonly needed: number
  /** How far its cut lines and folds move, mm, and where on the piece as it would be. Of one that is reshaped. */
  readonly deviation?: number
  readonly at?: readonly [number, number]
  /** mm. */
  readonly tolerance: number
  /** Whether one that is cut already can be used as it is. */
  readonly keeps: boolean
  /** Pieces of card on the bench that have come at least so far. */
  readonly done: { readonly cut: number; readonly formed: number; readonly glued: number }
}

export interface ImpactOptions {
  /** The logbook's entries, and the shapes kept beside it. */
  readonly entries: readonly LogEntry[]
  readonly shapes: LoggedShapes
  /** How far a piece may be off and still be used, mm; half the thickness of its card where none is given. */
  readonly within?: number
}

/** @param before the model as its source has it @param after the same with the change made */
export function impactOf(before: Manifest, after: Manifest, { entries, shapes, within }: ImpactOptions): Impact {
  const changes = compareManifests(before, after)
  // What is on the bench may have been cut to the model as it is, whether or not its shape was kept with the logbook.
  const known = new Map([...shapes, ...before.pieces.map((piece) => [piece.fingerprint, shapeOf(piece)] as const)])
  const progress = progressOf(before, entries, { shapes: known, ...(within !== undefined && { within }) })
  const standings = new Map(progress.pieces.map((standing) => [standing.piece.mark, standing]))
  const thickness = new Map(before.stocks.map((stock) => [stock.id, stock.thickness.value]))
  const pieces = changes.pieces.flatMap((change) => {
    if (!TOUCHING.has(change.kind)) return []
    const piece = (change.before ?? change.after)!
    const tolerance = within ?? (thickness.get(piece.stock) ?? 0) / 2
    return [impacted(change, piece, tolerance, standings.get(change.before?.mark ?? ''))]
  })
  const moved = changes.pieces.filter(({ kind, stands }) => !TOUCHING.has(kind) && stands !== undefined)
  return {
    changes,
    pieces,
    moved: { count: moved.length, most: Math.max(0, ...moved.map(({ stands }) => stands!)) },
    lost: lostOf(pieces.filter(({ keeps }) => !keeps), standings, progress.rates),
    kept: pieces.reduce((sum, { keeps, done }) => sum + (keeps ? done.cut : 0), 0),
  }
}

/** Changes after which what is on the bench may be wrong, or that ask for new card. */
const TOUCHING: ReadonlySet<ChangeKind> = new Set(['added', 'removed', 'restocked', 'reshaped', 'recounted'])

function impacted(
  { kind, mark, family, deviation }: PieceChange,
  piece: ManifestPiece,
  tolerance: number,
  standing: PieceStanding | undefined,
): ImpactedPiece {
  const far = deviation && Math.max(deviation.distance, deviation.folds?.distance ?? 0)
  const ends = deviation && (deviation.folds && deviation.folds.distance > deviation.distance ? deviation.folds : deviation).ends
  const { cut = 0, formed = 0, glued = 0 } = standing?.done ?? {}
  const reshapedAlone = kind === 'reshaped' && !(deviation!.refolded && !deviation!.folds)
  return {
    mark,
    family,
    kind,
    needed: piece.copies * piece.plies,
    ...(far !== undefined && { deviation: far, at: ends![1] }),
    tolerance,
    keeps: kind === 'recounted' || (reshapedAlone && far! <= tolerance),
    done: { cut, formed: standing?.forms ? formed : 0, glued },
  }
}

function lostOf(
  pieces: readonly ImpactedPiece[],
  standings: ReadonlyMap<string, PieceStanding>,
  rates: Rates,
): Impact['lost'] {
  const sum = (count: (piece: ImpactedPiece) => number) => pieces.reduce((total, piece) => total + count(piece), 0)
  const amounts: Record<Work, number> = {
    cut: sum(({ mark, done }) => done.cut * (standings.get(mark)?.cut ?? 0)),
    formed: sum(({ done }) => done.formed),
    glued: sum(({ done }) => done.glued),
  }
  return { cut: sum(({ done }) => done.cut), formed: amounts.formed, glued: amounts.glued, hours: hoursFor(amounts, rates) }
}
