import type { Manifold } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { cellAt } from './cellAt'
import type { CellTree } from './cellTree'

/**
 * How deep two bodies are in each other by what they share, mm, on the mean over where they do: through the one card, through
 * the other, or along the cards, whichever is least. A way through a closed body goes in and comes out, so its mean length is
 * twice the volume by what the whole surface shows along it; of cards the way is their own normal at each place. Bodies that
 * are not of card have no normal: twice the volume by the surface, as a plate of its faces is thick.
 *
 * @param shared what both claim
 * @param trees the bodies, as cells
 * @param length of what is shared, mm
 * @param enough less than this may be told as anything below it
 */
export function meanDepth(shared: Manifold, trees: readonly CellTree[], length: number, enough = 0): number {
  const twice = 2 * shared.volume()
  const plate = twice / shared.surfaceArea()
  const cards = trees.filter(({ card }) => card)
  // What a piece of surface shows along a way and square to it is together no less than its area.
  if (cards.length === 0 || across(2 * plate, length) < enough) return plate
  const depths = cards.flatMap((card) => {
    const [along, beside] = shownBy(shared, card)
    return [twice / along, across(twice / beside, length)]
  })
  return Math.min(...depths)
}

/** The other side of an oblong of which one is known, and its area by half its girth. */
function across(share: number, length: number): number {
  return share < length ? (share * length) / (length - share) : Infinity
}

/** What the surface shows along the normals of a card, and square to them, mm². */
function shownBy(shared: Manifold, card: CellTree): [number, number] {
  const { vertProperties: v, numProp, triVerts } = shared.getMesh()
  let [through, beside] = [0, 0]
  let cell = 0
  for (let i = 0; i < triVerts.length; i += 3) {
    const [p, q, r] = [numProp * triVerts[i]!, numProp * triVerts[i + 1]!, numProp * triVerts[i + 2]!]
    const [ux, uy, uz] = [v[q]! - v[p]!, v[q + 1]! - v[p + 1]!, v[q + 2]! - v[p + 2]!]
    const [wx, wy, wz] = [v[r]! - v[p]!, v[r + 1]! - v[p + 1]!, v[r + 2]! - v[p + 2]!]
    const [x, y, z] = [uy * wz - uz * wy, uz * wx - ux * wz, ux * wy - uy * wx]
    const twice = Math.sqrt(x * x + y * y + z * z)
    if (twice < SPECK) continue
    const inwards = INWARDS / twice
    const at = (k: number, out: number): number => (v[p + k]! + v[q + k]! + v[r + k]!) / 3 - out * inwards
    cell = cellAt(card, at(0, x), at(1, y), at(2, z), cell)
    const along = Math.min(1, Math.abs(slope(card, cell, x, y, z)) / twice)
    through += (twice * along) / 2
    beside += (twice * Math.sqrt(1 - along * along)) / 2
  }
  return [through, beside]
}

/** A triangle of less than half of this shows nothing, mm². */
const SPECK = 1e-12

/** From the surface so far into the body a place is taken, which on the face itself may count to either of two cells, mm. */
const INWARDS = 1e-3

/** How much of a vector is along the normal of the card at a cell. */
function slope({ corners: c }: CellTree, cell: number, x: number, y: number, z: number): number {
  const i = 18 * cell
  const [ux, uy, uz] = [c[i + 3]! - c[i]!, c[i + 4]! - c[i + 1]!, c[i + 5]! - c[i + 2]!]
  const [wx, wy, wz] = [c[i + 6]! - c[i]!, c[i + 7]! - c[i + 1]!, c[i + 8]! - c[i + 2]!]
  const [nx, ny, nz] = [uy * wz - uz * wy, uz * wx - ux * wz, ux * wy - uy * wx]
  const size = Math.sqrt(nx * nx + ny * ny + nz * nz)
  return size === 0 ? 0 : (x * nx + y * ny + z * nz) / size
}
