import { type Finding, FindingError } from '../finding/finding'
import { isRigid } from './place'
import { posesOf, type Solid, type SolidPiece, type SolidStock, solidsOf } from './solid'

/**
 * Solids of all pieces that have a place which a flat thing can have, and what keeps others from being stood up.
 *
 * @param stocks by id
 * @param make in place of {@link solidsOf}, for one who keeps what it gave
 */
export function standAll<Card extends SolidStock>(
  pieces: readonly (SolidPiece & { readonly stock: string })[],
  stocks: ReadonlyMap<string, Card>,
  make: (piece: SolidPiece, stock: Card) => Solid[] = solidsOf,
): { solids: Solid[]; findings: Finding[] } {
  const findings: Finding[] = []
  const solids = pieces.flatMap((piece) => {
    const stock = stocks.get(piece.stock)
    if (!stock || !posesOf(piece).every(isRigid)) return []
    try {
      return make(piece, stock)
    } catch (error) {
      if (!(error instanceof FindingError)) throw error
      findings.push(error.finding)
      return []
    }
  })
  return { solids, findings }
}

/** Solids of each piece, one for each copy. */
export function byMark(solids: readonly Solid[]): Map<string, Solid[]> {
  const groups = new Map<string, Solid[]>()
  for (const solid of solids) {
    const group = groups.get(solid.mark)
    if (group) group.push(solid)
    else groups.set(solid.mark, [solid])
  }
  return groups
}
