import type { Hours } from '../revision/rate'
import type { Estimate } from './estimate'

/** What a commission is priced with; sums are in whatever money the prices are in. */
export interface QuoteTerms {
  /** For an hour of work. */
  readonly hour?: number
  /** For one sheet, by stock. */
  readonly sheet: ReadonlyMap<string, number>
  /** For one blade. */
  readonly blade?: number
  /** Sheets beyond what the layouts take, as a share: card is spoiled. */
  readonly spare: number
}

export interface Quote {
  readonly lines: readonly QuoteLine[]
  /** Of the lines that have a price. */
  readonly total: Sum
  /** Names of lines without a price: the total is short of them. */
  readonly unpriced: readonly string[]
}

export interface QuoteLine {
  readonly name: string
  readonly unit: 'sheets' | 'blades' | 'hours'
  readonly quantity: Sum
  /** For one; undefined where none was given. */
  readonly price?: number
  readonly sum?: Sum
}

export type Sum = Hours

/**
 * The material and time table: sheets with spare ones rounded up, blades, and hours by kind of work, each with its
 * range. The total's range adds lows and highs: rates that are too low are so for all the work.
 */
export function quoteOf(estimate: Estimate, terms: QuoteTerms): Quote {
  const lines = [
    ...estimate.stocks.map(({ id, title, thickness, sheet, sheets }) => {
      const needed = Math.ceil(sheets * (1 + terms.spare) - 1e-9)
      const name = `${title} (${id}), ${Number(thickness.toFixed(3))} mm, ${sheet}`
      return line(name, 'sheets', { likely: needed, low: sheets, high: needed }, terms.sheet.get(id))
    }),
    line('knife blades', 'blades', estimate.blades, terms.blade),
    line('cutting', 'hours', estimate.hours.cut, terms.hour),
    line('folding, rolling and curling', 'hours', estimate.hours.formed, terms.hour),
    line('fitting and gluing', 'hours', estimate.hours.glued, terms.hour),
  ]
  const priced = lines.flatMap(({ sum }) => sum ?? [])
  const total = (of: keyof Sum) => priced.reduce((all, sum) => all + sum[of], 0)
  return {
    lines,
    total: { likely: total('likely'), low: total('low'), high: total('high') },
    unpriced: lines.filter(({ price, quantity }) => price === undefined && quantity.high > 0).map(({ name }) => name),
  }
}

function line(name: string, unit: QuoteLine['unit'], quantity: Sum, price: number | undefined): QuoteLine {
  const { likely, low, high } = quantity
  if (price === undefined) return { name, unit, quantity }
  return { name, unit, quantity, price, sum: { likely: likely * price, low: low * price, high: high * price } }
}
