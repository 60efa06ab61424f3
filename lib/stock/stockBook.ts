import type { Stock } from './card'
import { type MeasuredFigures, withMeasured } from './measured'

/** What a project has measured of its stocks, by id, each list in the order of time: the file `stocks.json`. */
export type StockBook = ReadonlyMap<string, readonly StockEntry[]>

export interface StockEntry {
  /** `2026-11-25` */
  readonly date: string
  readonly by: 'calipers' | 'rule'
  /** As they were typed. */
  readonly readings: readonly string[]
  readonly figures: MeasuredFigures
}

/** The stock with the newest figure of each kind. */
export function asMeasured(stock: Stock, book: StockBook): Stock {
  return (book.get(stock.id) ?? []).reduce((now, { figures, date }) => withMeasured(now, figures, date), stock)
}
