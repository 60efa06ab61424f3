import type { Manifold, ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import type { Model } from '../../lib/model/model'
import type { Piece } from '../../lib/model/piece'
import { plateSolid } from '../craft/solid'

export { loadSolids } from '../craft/solid'

/** A piece as the solid that it is when cut, laminated and put in its place. */
export function pieceSolid(wasm: ManifoldToplevel, model: Model, piece: Piece): Manifold {
  const stock = model.stocks.get(piece.stock)!
  const thickness = piece.plies * stock.thickness.value + (piece.plies - 1) * stock.glueLine.value
  const { mark, outline, openings, pose } = piece
  if (!pose) throw new Error(`${mark} stands nowhere`)
  return plateSolid(wasm, { name: mark, outline, openings, pose, thickness })
}
