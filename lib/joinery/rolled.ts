import type { Stock } from '../stock/card'
import type { CraftPart } from './craftDraft'

export interface Rolled extends CraftPart {
  /** The face on which the diameters are taken, outside unless said. */
  readonly measured?: 'inside' | 'outside'
}

/** From the face that is measured to the card's neutral layer, outwards. */
export function neutral({ measured = 'outside' }: Rolled, stock: Stock & { measured: number }): number {
  const k = stock.fold.k.value
  return measured === 'inside' ? k * stock.measured : (k - 1) * stock.measured
}
