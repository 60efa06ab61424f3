import { existsSync, mkdirSync, readFileSync, rmdirSync } from 'node:fs'
import { join } from 'node:path'
import type { StockBook, StockEntry } from '../stock/stockBook'
import { holdLock } from './lock'
import { replaceFile } from './replaceFile'

/** Kept in git with the models: what was measured of the project's card. */
export const STOCK_BOOK = 'stocks.json'

/** @throws FindingError for a file that is not a stock book */
export function loadStockBook(root: string): StockBook {
  const file = join(root, STOCK_BOOK)
  if (!existsSync(file)) return new Map()
  const { readStockBook } = require('../stock/readStockBook') as typeof import('../stock/readStockBook')
  return readStockBook(readFileSync(file, 'utf8'), STOCK_BOOK)
}

/** Adds what was measured of a stock; what other processes have added meanwhile stays. */
export function addToStockBook(root: string, id: string, entry: StockEntry): void {
  const { writeStockBook } = require('../stock/readStockBook') as typeof import('../stock/readStockBook')
  const file = join(root, STOCK_BOOK)
  const folder = `${file}.lock`
  mkdirSync(folder, { recursive: true })
  const release = holdLock(folder)
  try {
    const book = loadStockBook(root)
    replaceFile(file, writeStockBook(new Map(book).set(id, [...(book.get(id) ?? []), entry])))
  } finally {
    release()
    rmdirSync(folder)
  }
}
