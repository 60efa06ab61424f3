import { callSite } from '../finding/site'
import { scoredBend } from '../craft/fold'
import { edgeStrip } from '../craft/strip'
import { recording } from '../length/bench'
import { PieceSet } from '../model/assembly'
import { stockOf } from './craftDraft'
import { flatPiece, readsOf } from './flatPiece'
import { longestAcross } from './sheetRoom'
import { type Pieces, allPieces, platesOf } from './standing'

export interface EdgeStripsOptions {
  readonly stock: string
}

/**
 * Strips that hide the cut edges of laminations: for each piece one that runs once round it, as wide as it is thick,
 * `ST-S01-E1`, in several lengths where the sheet is too short. The grain runs across, so that it curls round corners.
 */
export function edgeStrips(given: Pieces, { stock }: EdgeStripsOptions): PieceSet {
  const site = callSite()
  const plates = platesOf(allPieces(given, 'edgeStrips', site))
  return new PieceSet(
    plates.flatMap(({ name, thickness, outline, pieces }) => {
      const [piece] = pieces
      const { result, read } = recording(() => {
        const card = stockOf(stock)
        return edgeStrip(outline, { width: thickness, bend: scoredBend(card), longest: longestAcross(card) })
      })
      return result.strips.map((strip, i) =>
        flatPiece({ ...strip, grain: 90 }, {
          mark: `${name}-E${i + 1}`,
          family: piece.family,
          side: piece.side,
          station: piece.station,
          stock,
          copies: piece.copies,
          notes: [`Round the edge of ${name}, printed side out, ${result.length.toFixed(1)} mm in all.`],
          reads: readsOf(pieces, read),
          site,
        }),
      )
    }),
  )
}
