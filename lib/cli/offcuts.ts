import { type Finding, FindingError } from '../finding/finding'
import { suggest } from '../finding/nearest'
import type { Model } from '../model/model'
import { keptOffcuts } from '../revision/kept'
import type { Manifest } from '../revision/manifest'
import { printableArea } from '../sheet/index'
import type { Stock } from '../stock/card'
import { type Offcut, offcutStock, type Rectangle, sizeText } from '../stock/offcut'
import type { OptionValues } from './options'
import { UsageError } from './usage'

/** What was said on the command line, by stock. */
export type GivenOffcuts = ReadonlyMap<string, { readonly pieces: readonly Offcut[]; readonly used: readonly Rectangle[] }>

/**
 * Reads `--offcut folder=150x200` and `--used folder=0,180,215.9,99.4`.
 * @throws UsageError for what is not of that form, and for sizes that are not above 0
 */
export function givenOffcuts({ offcut, used }: Pick<OptionValues, 'offcut' | 'used'>): GivenOffcuts {
  const given = new Map<string, { pieces: Offcut[]; used: Rectangle[] }>()
  const of = (stock: string) => {
    const entry = given.get(stock) ?? { pieces: [], used: [] }
    given.set(stock, entry)
    return entry
  }
  for (const text of offcut) {
    const { stock, numbers } = read('--offcut', text, 'x', 2)
    const [width, height] = numbers as [number, number]
    of(stock).pieces.push({ width, height })
  }
  for (const text of used) {
    const { stock, numbers } = read('--used', text, ',', 4)
    const [x, y, width, height] = numbers as [number, number, number, number]
    of(stock).used.push({ x, y, width, height })
  }
  return given
}

/** @throws UsageError where more than one model is to be built: one piece of card cannot go to each */
export function requireOneModel(given: GivenOffcuts, models: readonly { readonly name: string }[]): void {
  if (given.size === 0 || models.length <= 1) return
  throw new UsageError(
    `--offcut, --used: ${models.length} models are to be built, and a piece of card goes to one of them`,
    `name the model: cardwright build ${models[0]!.name} --offcut …`,
  )
}

/**
 * The offcuts of every stock: those given, else those of the build before, so that it comes out the same again. A sheet
 * used in part comes after the offcuts.
 * @throws FindingError for a stock that the model does not cut from, and for what does not lie on the sheet
 */
export function offcutsOf(model: Model, given: GivenOffcuts, before: Manifest | undefined): Map<string, readonly Offcut[]> {
  const cutFrom = new Set(model.pieces.map(({ stock }) => stock))
  const offcuts = new Map<string, readonly Offcut[]>(before && keptOffcuts(before, model.stocks))
  for (const [id, { pieces, used }] of given) {
    if (!cutFrom.has(id)) throw refused(`offcut of "${id}": no piece of the model is cut from that`, suggest(id, cutFrom))
    const stock = model.stocks.get(id)!
    for (const piece of pieces) checkPiece(piece, stock)
    for (const part of used) checkUsed(part, stock)
    const { width, height } = stock.sheet
    offcuts.set(id, [...pieces, ...(used.length > 0 ? [{ width, height, used }] : [])])
  }
  return offcuts
}

function checkPiece(piece: Offcut, stock: Stock): void {
  const what = `offcut of ${stock.id}, ${sizeText(piece)}`
  const { width, height } = stock.sheet
  if (piece.width > width + HAIR || piece.height > height + HAIR) {
    const remedy = 'give it as it lies in the printer, with its grain as on whole sheets: first across the page, then up'
    throw refused(`${what}: larger than a sheet of ${sizeText(stock.sheet)}`, remedy)
  }
  const { minX, minY, maxX, maxY } = printableArea(offcutStock(stock, piece))
  if (maxX - minX >= LEAST_ROOM && maxY - minY >= LEAST_ROOM) return
  throw refused(
    `${what}: its margins, title and bars leave ${sizeText({ width: maxX - minX, height: maxY - minY })} for pieces`,
    `leave it out; an offcut is worth printing on from ${LEAST_ROOM} mm of room each way`,
  )
}

function checkUsed({ x, y, width, height }: Rectangle, stock: Stock): void {
  const { sheet } = stock
  const what = `used part of ${stock.id}, ${sizeText({ width, height })} at ${x}, ${y}`
  if (x < -HAIR || y < -HAIR || x + width > sheet.width + HAIR || y + height > sheet.height + HAIR) {
    const remedy = 'give it in mm from the lower left corner: X,Y,WIDTH,HEIGHT'
    throw refused(`${what}: it reaches beyond the sheet of ${sizeText(sheet)}`, remedy)
  }
  const { minY } = printableArea(stock)
  if (y >= minY) return
  throw refused(
    `${what}: the lowest ${minY.toFixed(1)} mm are needed for title and measuring bar`,
    'turn the sheet by half, so that what is used is at the top, and measure again',
  )
}

function refused(text: string, remedy: string): FindingError {
  const finding: Finding = { id: 'offcut', severity: 'error', text, remedy }
  return new FindingError(finding)
}

function read(option: '--offcut' | '--used', text: string, between: string, count: number): { stock: string; numbers: number[] } {
  const [, stock, written = ''] = /^\s*([^=]+?)\s*=(.*)$/.exec(text) ?? []
  const parts = written.replace(/\s*mm\s*$/, '').split(between === 'x' ? /[x×]/ : ',')
  const numbers = parts.map((part) => (NUMBER.test(part.trim()) ? Number(part) : NaN))
  if (stock === undefined || numbers.length !== count || numbers.some(Number.isNaN)) {
    throw new UsageError(`${option}: "${text}" is not a stock with ${count === 2 ? 'a size' : 'a rectangle'}`, EXAMPLES[option])
  }
  if (numbers.slice(-2).some((size) => size <= 0)) {
    throw new UsageError(`${option} ${stock}: "${written.trim()}" has a side of 0 mm`, EXAMPLES[option])
  }
  return { stock, numbers }
}

const NUMBER = /^(\d+\.?\d*|\.\d+)$/

const EXAMPLES = {
  '--offcut': 'write it in mm, like --offcut folder=150x200',
  '--used': 'write it in mm from the lower left corner, like --used folder=0,180,215.9,99.4',
} as const

/** A sheet of 8.5 in is 215.9 mm by one rule and 216 by another. */
const HAIR = 0.11

/** Side of the least room on an offcut that is worth a print, mm. */
const LEAST_ROOM = 20
