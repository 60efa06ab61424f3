import type { Model } from '../model/model'
import type { Piece } from '../model/piece'
import type { Changes } from './changes'

/** What has to be cut again of a model, and how that is said on its sheets. */
export interface Patch {
  readonly pieces: readonly Piece[]
  /** `only what changed since 3f2a1bc: 4 of 61 pieces` */
  readonly says: string
}

/**
 * The pieces of a model that have to be cut again since an earlier build: those that are new, of another shape or stock,
 * and of those there are more of as many as were added.
 *
 * @param changes from that build to this model
 * @param since what that build is called
 */
export function patchOf(model: Model, changes: Changes, since: string): Patch {
  const again = new Map(changes.pieces.flatMap(({ after, again }) => (after && again > 0 ? [[after.mark, again]] : [])))
  const pieces = model.pieces.flatMap((piece) => {
    const cuts = again.get(piece.mark)
    return cuts === undefined ? [] : [{ ...piece, copies: cuts / piece.plies }]
  })
  return { pieces, says: `only what changed since ${since}: ${pieces.length} of ${model.pieces.length} pieces` }
}
