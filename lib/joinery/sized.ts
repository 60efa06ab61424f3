import { type Bend, scoredBend } from '../craft/fold'
import { type CraftPart, stockOf } from './craftDraft'

/** What boxes and sleeves say of their sizes. */
export interface Sized extends CraftPart {
  /** Whether the sizes are those of the room inside or of the finished box. */
  readonly measured: 'inside' | 'outside'
  /** Which side the print comes to; outside unless said. */
  readonly printed?: 'inside' | 'outside'
}

/** The fold that the part's stock makes along a score. */
export function bendOf({ stock }: CraftPart): Bend {
  const card = stockOf(stock)
  return { ...scoredBend(card), thickness: card.measured }
}
