import { type Lot, type Lots, reached } from './lots'
import type { Manifest } from './manifest'

/** Pieces under a mark that the model no longer has, and of a geometry that it has no other use for. */
export interface GonePiece {
  readonly mark: string
  readonly fingerprint: string
  /** How many are cut, and how many of those are glued. */
  readonly count: number
  readonly glued: number
}

/**
 * Gives pieces that their mark has no use for any more to marks of the same geometry that still lack some: a family
 * that was renamed keeps its work, and so does one in which a new station moved all numbers on by one. Identical
 * pieces can stand for each other, so that any such heir will do; the first is taken.
 */
export function inherited(lots: Lots, manifest: Manifest): { lots: Lots; gone: GonePiece[] } {
  const pieces = new Map(manifest.pieces.map((piece) => [piece.mark, piece]))
  const settled = new Map<string, Lot[]>()
  const waiting = new Map<string, string[]>()
  for (const { mark, fingerprint, copies, plies } of manifest.pieces) {
    const own = (lots.get(mark) ?? []).filter((lot) => isFor(lot, fingerprint))
    settled.set(mark, own)
    const has = own.reduce((sum, lot) => sum + reached(lot, 'printed'), 0)
    if (has < copies * plies) waiting.set(fingerprint, [...(waiting.get(fingerprint) ?? []), mark])
  }
  const gone: GonePiece[] = []
  for (const [mark, made] of lots) {
    const wanted = pieces.get(mark)?.fingerprint
    for (const lot of made) {
      if (wanted !== undefined && isFor(lot, wanted)) continue
      const heir = reached(lot, 'printed') > 0 ? waiting.get(lot.fingerprint)?.shift() : undefined
      const home = settled.get(heir ?? mark)
      if (home) home.push(lot)
      else if (reached(lot, 'cut') > 0) {
        gone.push({ mark, fingerprint: lot.fingerprint, count: reached(lot, 'cut'), glued: lot.at.glued })
      }
    }
  }
  return { lots: settled, gone }
}

function isFor({ fingerprint, keptFor }: Lot, wanted: string): boolean {
  return fingerprint === wanted || keptFor.includes(wanted)
}
