import { compareText } from '../finding/finding'
import { type ChangeKind, type Changes, KINDS, type PieceChange } from './changes'

/** What became of one family. */
export interface FamilyChange {
  readonly family: string
  /** How many pieces of each kind, in the order of kinds, without those there are none of. */
  readonly counts: readonly { readonly kind: ChangeKind; readonly count: number }[]
  /** The piece that changed its shape most. */
  readonly worst?: PieceChange
  /** How many have to be cut again, counting copies and layers. */
  readonly again: number
}

/** Families in which something changed, by name. */
export function familyChanges({ pieces }: Changes): FamilyChange[] {
  const families = new Map<string, PieceChange[]>()
  for (const piece of pieces) {
    const family = families.get(piece.family)
    if (family) family.push(piece)
    else families.set(piece.family, [piece])
  }
  return [...families]
    .filter(([, changes]) => changes.some(({ kind }) => kind !== 'unchanged'))
    .toSorted(([a], [b]) => compareText(a, b))
    .map(([family, changes]) => {
      const worst = worstOf(changes)
      return { family, counts: countKinds(changes), ...(worst && { worst }), again: againOf(changes) }
    })
}

/** How many pieces of each kind there are, in the order of kinds. */
export function countKinds(pieces: readonly PieceChange[]): FamilyChange['counts'] {
  return KINDS.map((kind) => ({ kind, count: pieces.filter((piece) => piece.kind === kind).length })).filter(
    ({ count }) => count > 0,
  )
}

/** How many have to be cut again, counting copies and layers. */
export function againOf(pieces: readonly PieceChange[]): number {
  return pieces.reduce((sum, { again }) => sum + again, 0)
}

/** By how far a piece changed its shape, mm: of cuts, or of folds where these moved further. */
export function reachOf({ deviation }: PieceChange): number {
  return Math.max(deviation?.distance ?? 0, deviation?.folds?.distance ?? 0)
}

function worstOf(pieces: readonly PieceChange[]): PieceChange | undefined {
  let worst: PieceChange | undefined
  for (const piece of pieces) {
    if (piece.deviation && (worst === undefined || reachOf(piece) > reachOf(worst))) worst = piece
  }
  return worst
}
