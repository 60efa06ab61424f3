import { record } from '../length/bench'
import type { Piece } from '../model/piece'
import { stockOf } from './craftDraft'

/** How a slot takes the card that goes in; each stock says how many mm wider that is. */
export type Fit = 'tight' | 'sliding' | 'loose'

/** What cutting into pieces needs to know of their stocks; where these differ, what does for all of them. */
export interface Cutting {
  /** What a slot is wider than the card that goes in, mm. */
  readonly fit: number
  /** Narrowest strip of card that may be left, mm. */
  readonly web: number
}

export function cuttingOf(pieces: readonly Pick<Piece, 'stock'>[], fit: Fit): Cutting {
  const stocks = [...new Set(pieces.map(({ stock }) => stock))]
  for (const id of stocks) {
    record(`stock:${id}.fit`)
    record(`stock:${id}.knife`)
  }
  return {
    fit: Math.max(0, ...stocks.map((id) => stockOf(id).fit[fit].value)),
    web: Math.max(0, ...stocks.map((id) => stockOf(id).knife.web.value)),
  }
}
