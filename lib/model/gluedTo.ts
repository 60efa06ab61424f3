import type { Finding } from '../finding/finding'
import { FindingError } from '../finding/finding'
import { nearestName } from '../finding/nearest'
import { type CallSite, resolveSite } from '../finding/site'
import { PieceSet, piecesOf } from './assembly'
import { Family } from './family'
import type { Piece, Side } from './piece'
import type { Bond } from './relation'
import type { Named } from './session'

/** What a piece is glued to: another part of its station by name, or pieces of which it touches one at least. */
export type Partner = string | Family | PieceSet

/** A piece that is glued to one at least of others. */
export interface GluedTo {
  readonly mark: string
  readonly side: Side
  readonly to: Exclude<Partner, string>
  readonly site: CallSite
}

/** Whether pieces of two sides can touch: each side its own, and the centre line both. */
export function sameSide(a: Pick<Piece, 'side'>, b: Pick<Piece, 'side'>): boolean {
  return a.side === '' || b.side === '' || a.side === b.side
}

/** The bond by marks, and what was named for it. */
export function bondOf({ mark, side, to, site }: GluedTo): { bond: Bond; named: Named } {
  if (!(to instanceof Family) && !(to instanceof PieceSet)) throw noPieces(mark, to, site)
  const marks = piecesOf(to).filter((other) => sameSide({ side }, other)).map((other) => other.mark)
  return { bond: { kind: 'bond', a: [mark], b: marks }, named: { what: `gluedTo of ${mark}`, marks, site } }
}

/** What was named and is not in the model, nor anything it was taken apart into. */
export function notInModel(
  all: readonly Named[],
  marks: ReadonlySet<string>,
  parts: (mark: string) => readonly string[],
): Finding[] {
  return all.flatMap(({ what, marks: named, site }): Finding[] => {
    const missing = named.filter((mark) => parts(mark).length === 0)
    if (named.length > 0 && missing.length === 0) return []
    const where = resolveSite(site)
    const more = missing.length > 1 ? ` and ${missing.length - 1} more` : ''
    const are = missing.length > 1 ? 'are' : 'is'
    const near = missing.flatMap((mark) => nearestName(mark, marks) ?? [])[0]
    return [
      {
        id: 'not-in-model',
        severity: 'error',
        text:
          named.length === 0
            ? `${what} was given no pieces, 1 or more are needed`
            : `${what} names ${missing[0]}${more}, which ${are} not in the model (${named.length - missing.length} of ${named.length} are)`,
        remedy:
          `give it the pieces as the model has them, mirrored(…) where they are, and put them into an assembly` +
          (near === undefined ? '' : `; near it there is ${near}`),
        found: named.length - missing.length,
        wanted: Math.max(1, named.length),
        ...(where && { site: where }),
      },
    ]
  })
}

function noPieces(mark: string, given: unknown, site: CallSite): FindingError {
  const where = resolveSite(site)
  return new FindingError({
    id: 'glued-to',
    severity: 'error',
    text: `gluedTo of ${mark} was given ${given === undefined ? 'nothing' : String(given)}, pieces are meant`,
    remedy: "give it a family, pieces another word handed back, or the name of a part beside it: .gluedTo('PAN', floor)",
    mark,
    ...(where && { site: where }),
  })
}
