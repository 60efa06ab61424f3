import { FindingError } from '../finding/finding'
import { callSite, resolveSite } from '../finding/site'
import { recording } from '../length/bench'
import { PieceSet } from '../model/assembly'
import type { OpeningMaker } from '../model/draft'
import type { Opening, Piece } from '../model/piece'
import { area } from '../shape/measure'
import type { Loop, Point } from '../shape/point'
import { Shape } from '../shape/shape'
import { type Pieces, allPieces, remembering } from './standing'

/**
 * Openings put into pieces that have already been slotted or notched, so that they keep clear of what was cut:
 * `lightened(ribs, lightening({ count: 4, web: bench.mm(1) }))`. Port pieces get the mirror image of starboard ones.
 */
export function lightened(given: Pieces, ...makers: OpeningMaker[]): PieceSet {
  const site = callSite()
  for (const maker of makers) {
    if (typeof maker === 'function') continue
    const where = resolveSite(site)
    throw new FindingError({
      id: 'lightened',
      severity: 'error',
      text: `lightened was given ${String(maker)} where a rule for openings is meant`,
      remedy: 'give it lightening({ … }), or a function of the outline that returns shapes',
      ...(where && { site: where }),
    })
  }
  return new PieceSet(allPieces(given, 'lightened', site).map((piece) => withOpenings(piece, makers)))
}

function withOpenings(piece: Piece, makers: readonly OpeningMaker[]): Piece {
  const turn = piece.side === 'P' ? flipped : (loop: Loop): Loop => loop
  const shape = Shape.of([piece.outline, ...piece.openings.map(({ loop }) => loop)].map(turn))
  const { result, read } = recording(() => makers.flatMap((maker) => maker(shape).flatMap(({ region }) => region)))
  const openings = result.map((loop): Opening => {
    const placed = turn(loop)
    return { kind: 'opening', loop: area([placed]) > 0 ? placed.toReversed() : placed }
  })
  const made: Piece = {
    ...piece,
    openings: [...piece.openings, ...openings],
    reads: [...new Set([...piece.reads, ...read])].toSorted(),
  }
  return remembering(made, piece)
}

/** Mirrored left to right, and reversed so that the loop keeps its winding. */
function flipped(loop: Loop): Loop {
  return loop.map(([x, y]): Point => [-x, y]).toReversed()
}
