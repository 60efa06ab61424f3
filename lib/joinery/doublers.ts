import { callSite } from '../finding/site'
import { doubler } from '../craft/strip'
import { recording } from '../length/bench'
import { type Length, ZERO, above0, from0 } from '../length/length'
import { PieceSet } from '../model/assembly'
import type { Piece } from '../model/piece'
import { stockOf } from './craftDraft'
import { flatPiece, readsOf } from './flatPiece'
import { liesOn } from './liesOn'
import { located } from './located'
import { join } from './relate'
import { type Pieces, allPieces, thicknessOf } from './standing'

export interface DoublersOptions {
  readonly stock: string
  /** Of the ring round the opening. */
  readonly width: Length
  /** Kept clear of the piece's own edge; nothing where not given. */
  readonly inset?: Length
  /** The face it is glued to; the back where not given. */
  readonly face?: 'printed' | 'back'
}

/** A ring for each opening of the pieces, to be glued round it: `FL-02-D1` for the first one of `FL-02`. */
export function doublers(given: Pieces, options: DoublersOptions): PieceSet {
  const site = callSite()
  return new PieceSet(
    allPieces(given, 'doublers', site).flatMap((piece) => {
      const holes = piece.openings.filter(({ kind }) => kind === 'opening')
      return holes.map(({ loop }, i): Piece => {
        const { result, read } = recording(() => {
          const size = {
            width: above0(options.width, 'the width of a doubler'),
            inset: from0(options.inset ?? ZERO, 'the inset of a doubler'),
          }
          const flat = located(site, piece.family, () => doubler(piece.outline, loop, size))
          return { flat, out: offFace(piece, options) }
        })
        const made = flatPiece(result.flat, {
          mark: `${piece.mark}-D${i + 1}`,
          family: piece.family,
          side: piece.side,
          station: piece.station,
          stock: options.stock,
          copies: piece.copies,
          notes: [`Doubler on the ${options.face ?? 'back'} of ${piece.mark}.`],
          reads: readsOf([piece], read),
          site,
          ...liesOn(piece, result.flat.outline, result.out),
        })
        join('glue', [made], [piece])
        return made
      })
    }),
  )
}

/** From the middle of the piece to the middle of what is glued to its face; to its back it is below 0. */
function offFace(piece: Piece, { stock, face = 'back' }: DoublersOptions): number {
  const card = stockOf(stock)
  const out = (thicknessOf(piece) + card.measured) / 2 + card.glueLine.value
  return face === 'printed' ? out : -out
}
