import type { Finding } from '../finding/finding'
import { type CallSite, resolveSite } from '../finding/site'
import type { Flat } from '../craft/flat'
import type { Form } from '../model/form'
import type { Piece, Side } from '../model/piece'
import { session } from '../model/session'
import type { Pose } from '../shape/pose'

/** What a flat thing needs besides its shape to be a piece. */
export interface PieceDetails {
  readonly mark: string
  readonly family: string
  readonly side?: Side
  readonly station?: number
  readonly stock: string
  readonly plies?: number
  readonly copies?: number
  readonly pose?: Pose
  readonly also?: readonly Pose[]
  readonly form?: Form
  readonly notes?: readonly string[]
  /** Figures read on the way, sorted; see `recording`. */
  readonly reads: readonly string[]
  readonly site: CallSite
}

/** A craft step's flat thing as a piece of the model. */
export function flatPiece(flat: Flat, details: PieceDetails): Piece {
  const { side = '', station = 1, plies = 1, copies = 1, notes = [], pose, ...rest } = details
  return {
    ...rest,
    side,
    station,
    plies,
    copies,
    notes,
    assembly: '',
    outline: flat.outline,
    openings: flat.openings,
    scores: flat.scores,
    lines: flat.lines,
    texts: [],
    ...(flat.grain !== undefined && { grain: ((flat.grain % 180) + 180) % 180 }),
    ...(pose && { pose }),
  }
}

/** Passes on what a craft step found, with the author's line where the finding has none. */
export function say(findings: readonly Finding[], site: CallSite): void {
  if (findings.length === 0) return
  const where = resolveSite(site)
  session().said.push(...findings.map((finding) => ({ ...(where && { site: where }), ...finding })))
}

/** Figures read by any of the pieces or by the step itself, sorted. */
export function readsOf(pieces: readonly Piece[], own: readonly string[] = []): string[] {
  return [...new Set([...own, ...pieces.flatMap(({ reads }) => reads)])].toSorted()
}
