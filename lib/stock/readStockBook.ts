import * as v from 'valibot'
import { FindingError } from '../finding/finding'
import { MEASURABLE } from './measured'
import type { StockBook } from './stockBook'

/** @throws FindingError for text that is not a stock book, naming the file and the place in it */
export function readStockBook(text: string, file = 'stocks.json'): StockBook {
  let data: unknown
  try {
    data = JSON.parse(text)
  } catch (error) {
    throw bookError(`${file} is not JSON: ${(error as Error).message}`)
  }
  const result = v.safeParse(BOOK, data, { abortEarly: true })
  if (!result.success) {
    const [issue] = result.issues
    throw bookError(
      `${file}: at ${v.getDotPath(issue) ?? 'the top'} expected ${issue.expected}, found ${issue.received}`,
    )
  }
  return new Map(Object.entries(result.output.stocks)) as StockBook
}

/** One entry a line, so that a diff shows what was measured. */
export function writeStockBook(book: StockBook): string {
  const stocks = [...book]
    .toSorted(([a], [b]) => (a < b ? -1 : 1))
    .map(([id, entries]) => `${JSON.stringify(id)}:[\n${entries.map((entry) => JSON.stringify(entry)).join(',\n')}\n]`)
  return `{"schema":${SCHEMA},"stocks":{\n${stocks.join(',\n')}\n}}\n`
}

const SCHEMA = 1
const FIGURE = v.object({ value: v.pipe(v.number(), v.finite()), u: v.pipe(v.number(), v.finite(), v.minValue(0)) })

const BOOK = v.object({
  schema: v.literal(SCHEMA),
  stocks: v.record(
    v.string(),
    v.array(
      v.object({
        date: v.pipe(v.string(), v.isoDate()),
        by: v.picklist(['calipers', 'rule']),
        readings: v.array(v.string()),
        figures: v.partial(v.object(Object.fromEntries(MEASURABLE.map((name) => [name, FIGURE])))),
      }),
    ),
  ),
})

function bookError(text: string): FindingError {
  return new FindingError({ id: 'stock-book', severity: 'error', text, remedy: 'take the file back from git, or measure again' })
}
