import type { Deviation } from './deviation'
import { deviation as deviationOf } from './deviation'
import { type Lot, type Lots, reached, type Stage, STAGES } from './lots'
import type { Manifest, ManifestPiece } from './manifest'
import { cutLength, type LoggedShape, type LoggedShapes } from './shapes'

/** How far one piece of the model has come. */
export interface PieceStanding {
  readonly piece: ManifestPiece
  /** Pieces of card: every copy, every ply. */
  readonly needed: number
  /** How many of those have come at least so far and can be used. */
  readonly done: Readonly<Record<Stage, number>>
  /** Cut beyond what is needed. */
  readonly spare: number
  readonly scrapped: number
  /** Whether it is folded, rolled or curled before it is glued. */
  readonly forms: boolean
  /** mm of knife cut round one piece of card. */
  readonly cut: number
  readonly stale: readonly StalePiece[]
}

/** Pieces that were cut to a geometry which the model no longer has, and stand where newer ones are needed. */
export interface StalePiece {
  readonly mark: string
  readonly fingerprint: string
  /** How many are cut, and how many of those are glued. */
  readonly count: number
  readonly glued: number
  /** When something was last done to them. */
  readonly last: string
  /** What has changed. */
  readonly change: 'reshaped' | 'refolded' | 'restocked' | 'unknown'
  /** How far what is on the bench is from the model, mm; undefined where its shape cannot be compared. */
  readonly deviation?: number
  /** Where that is, in the piece's axes. */
  readonly at?: readonly [number, number]
  /** mm. */
  readonly tolerance: number
  /** Whether it can be used as it is. */
  readonly within: boolean
  /** Accepted as it is, in the logbook. */
  readonly kept: boolean
}

export interface StandingOptions {
  /** Shapes that pieces were cut to, for those that the model no longer has. */
  readonly shapes: LoggedShapes
  /** How far a piece may be off and still be used, mm; half the thickness of its card where none is given. */
  readonly within?: number
}

/** How far every piece of a build has come, in its order. */
export function standingsOf(manifest: Manifest, lots: Lots, options: StandingOptions): PieceStanding[] {
  const thickness = new Map(manifest.stocks.map((stock) => [stock.id, stock.thickness.value]))
  return manifest.pieces.map((piece) =>
    standingOf(piece, lots.get(piece.mark) ?? [], {
      shapes: options.shapes,
      // Common practice, no source: half a card's thickness is taken up by glue and filler.
      within: options.within ?? thickness.get(piece.stock)! / 2,
    }),
  )
}

function standingOf(piece: ManifestPiece, lots: readonly Lot[], options: Required<StandingOptions>): PieceStanding {
  const needed = piece.copies * piece.plies
  const current = lots.filter(({ fingerprint }) => fingerprint === piece.fingerprint)
  const older = lots.filter((lot) => lot.fingerprint !== piece.fingerprint && reached(lot, 'cut') > 0)
  const stands = (stage: Stage) => total(current, stage) < needed
  const stale = older
    .filter((lot) => stands('cut') || (lot.at.glued > 0 && stands('glued')))
    .map((lot) => ({ lot, stale: staleOf(piece, lot, options) }))
  const usable = [...current, ...stale.filter((one) => one.stale.kept || one.stale.within).map(({ lot }) => lot)]
  return {
    piece,
    needed,
    done: byStage((stage) => Math.min(needed, total(usable, stage))),
    spare: Math.max(0, total(usable, 'cut') - needed),
    scrapped: lots.reduce((sum, lot) => sum + lot.scrapped, 0),
    forms: piece.form !== undefined || piece.scores.length > 0,
    cut: cutLength(piece),
    stale: stale.map((one) => one.stale),
  }
}

function staleOf(piece: ManifestPiece, lot: Lot, { shapes, within }: Required<StandingOptions>): StalePiece {
  const shape = shapes.get(lot.fingerprint)
  const apart = shape && deviationOf(shape, piece)
  const distance = apart && Math.max(apart.distance, apart.folds?.distance ?? 0)
  const change = shape && apart ? changeOf(shape, piece, apart) : 'unknown'
  return {
    mark: piece.mark,
    fingerprint: lot.fingerprint,
    count: reached(lot, 'cut'),
    glued: lot.at.glued,
    last: lot.last,
    change,
    ...(apart && distance !== undefined && { deviation: distance, at: placeOf(apart) }),
    tolerance: within,
    within: (change === 'reshaped' || (change === 'refolded' && apart?.folds !== undefined)) && distance! <= within,
    kept: lot.keptFor.includes(piece.fingerprint),
  }
}

function changeOf(shape: LoggedShape, piece: ManifestPiece, apart: Deviation): StalePiece['change'] {
  if (shape.stock !== piece.stock || shape.plies !== piece.plies || shape.grain !== piece.grain) return 'restocked'
  return apart.refolded ? 'refolded' : 'reshaped'
}

function placeOf({ distance, ends, folds }: Deviation): readonly [number, number] {
  return folds && folds.distance > distance ? folds.ends[1] : ends[1]
}

function total(lots: readonly Lot[], stage: Stage): number {
  return lots.reduce((sum, lot) => sum + reached(lot, stage), 0)
}

function byStage(count: (stage: Stage) => number): Record<Stage, number> {
  return Object.fromEntries(STAGES.map((stage) => [stage, count(stage)])) as Record<Stage, number>
}
