import type { PageData, PageDelta } from './data'

/** The next edition. Pieces that are as they were are the very same objects. */
export function applyDelta(before: PageData, { parts, without, marks, pieces }: PageDelta): PageData {
  const kept = Object.entries(before).filter(([name]) => !without.includes(name))
  const changed = new Map(pieces.map((piece) => [piece.mark, piece]))
  const old = new Map(before.pieces.map((piece) => [piece.mark, piece]))
  const order = marks ?? [...old.keys()]
  return {
    ...(Object.fromEntries(kept) as unknown as PageData),
    ...parts,
    pieces: order.map((mark) => changed.get(mark) ?? old.get(mark)!),
  }
}
