import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { suggest } from '../../finding/nearest'
import { couponPieces } from '../../joinery/coupons'
import { parseScale } from '../../length/scale'
import type { Model } from '../../model/model'
import { printableArea } from '../../sheet/index'
import type { Stock } from '../../stock/card'
import { BUILT_IN_STOCKS } from '../../stock/catalogue'
import { figureAt, figuresFrom, type Instrument, MEASURABLE, type Measurable, type MeasuredFigures } from '../../stock/measured'
import { parseReadings, READINGS } from '../../stock/readings'
import { asMeasured, type StockBook } from '../../stock/stockBook'
import { NO_SURVEY } from '../../survey/table'
import { today } from '../clock'
import { compileModel } from '../compile'
import { keepStdoutClean } from '../console'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, printProblems } from '../print'
import { addToStockBook, loadStockBook, STOCK_BOOK } from '../stockBook'
import { asked, UsageError } from '../usage'
import { openWorkshop, type Workshop, within } from '../workshop'
import { writeBuild } from '../write'

/**
 * `cardwright stock`: what is known of each card and how well; `stock coupon ID` makes the sheet of test pieces, `stock
 * measure ID READING…` takes what they measured into the project's stock book.
 */
export async function stock(request: Request, manner: Manner): Promise<number> {
  if (request.options.json) keepStdoutClean()
  const workshop = openWorkshop({ ...request, operands: [] })
  const book = loadStockBook(workshop.root)
  const stocks = stocksOf(workshop)
  const named = stocks.some(({ id }) => id === request.operands[0])
  const [task = 'show', id, ...words] = named ? ['show', ...request.operands] : request.operands
  switch (task) {
    case 'show':
      refuse(words)
      return show(id === undefined ? stocks : [chosen(stocks, id)], book, request)
    case 'coupon':
      refuse(words)
      return coupon(asMeasured(chosen(stocks, needed(id, task)), book), workshop, manner)
    case 'measure':
      return measure(asMeasured(chosen(stocks, needed(id, task)), book), words, workshop, request)
    default:
      throw new UsageError(`there is no stock "${task}", and no task of that name`, suggest(task, [...stocks.map((one) => one.id), 'coupon', 'measure']))
  }
}

/** The built-in stocks and those of the project's models, which come in place of a built-in one of the same id. */
function stocksOf(workshop: Workshop): Stock[] {
  const stocks = new Map(BUILT_IN_STOCKS.map((one) => [one.id, one]))
  for (const { file } of workshop.models()) {
    for (const one of workshop.loader.load(file)?.stocks ?? []) stocks.set(one.id, one)
  }
  return [...stocks.values()]
}

function chosen(stocks: readonly Stock[], id: string): Stock {
  const found = stocks.find((one) => one.id === id)
  if (found) return found
  throw new UsageError(
    `there is no stock "${id}"`,
    suggest(
      id,
      stocks.map((one) => one.id),
    ),
  )
}

function needed(id: string | undefined, task: string): string {
  if (id !== undefined) return id
  throw new UsageError(`stock ${task} needs the id of a stock`, `write it like cardwright stock ${task} folder`)
}

function refuse(words: readonly string[]): void {
  if (words.length > 0) throw new UsageError(`stock has no use for "${words[0]}" here`, 'name one stock')
}

function show(stocks: readonly Stock[], book: StockBook, { options }: Request): number {
  const known = stocks.map((one) => asMeasured(one, book))
  if (options.json) {
    process.stdout.write(`${JSON.stringify({ command: 'stock', ok: true, stocks: known }, null, 2)}\n`)
    return EXIT.good
  }
  process.stdout.write(known.map(described).join('\n'))
  return EXIT.good
}

function described(one: Stock): string {
  const rows = MEASURABLE.map((name) => {
    const { value, source, nominal } = figureAt(one, name)
    return `  ${NAMES[name].padEnd(26)} ${figured(value, name).padStart(12)}   ${source}${nominal ? ' (nominal)' : ''}\n`
  })
  return `${one.id}: ${one.title}, ${one.sheet.name}, grain along its ${one.grain} side\n${rows.join('')}`
}

const NAMES: Readonly<Record<Measurable, string>> = {
  thickness: 'thickness',
  grammage: 'grammage',
  'fit.tight': 'slot, tight',
  'fit.sliding': 'slot, sliding',
  'fit.loose': 'slot, loose',
  'fold.k': 'neutral layer of a fold',
  'fold.leastCurlAlong': 'curl, axis along grain',
  'fold.leastCurlAcross': 'curl, axis across grain',
  'modulus.along': 'stiffness E along grain',
  'modulus.across': 'stiffness E across grain',
}

function unitOf(name: Measurable): string {
  if (name === 'grammage') return ' g/m²'
  if (name === 'fold.k') return ''
  return name.startsWith('modulus') ? ' GPa' : ' mm'
}

function figured(value: number, name: Measurable): string {
  const sign = name.startsWith('fit') ? '+' : ''
  return `${sign}${Number(value.toFixed(name === 'grammage' ? 0 : name === 'modulus.along' || name === 'modulus.across' ? 2 : 3))}${unitOf(name)}`
}

/** Coupons of one stock go where sheets go, below `coupons`. */
function coupon(card: Stock, workshop: Workshop, manner: Manner): number {
  const area = printableArea(card)
  const [wide, high] = [area.maxX - area.minX, area.maxY - area.minY]
  const grainUp = card.sheet.height >= card.sheet.width === (card.grain === 'long')
  const pieces = couponPieces(card, grainUp ? { along: high, across: wide } : { along: wide, across: high })
  const model: Model = {
    name: 'coupons',
    title: `Coupons of ${card.id}`,
    scale: parseScale(1),
    stocks: new Map([[card.id, card]]),
    pieces,
    assemblies: ['coupons'],
    relations: [],
    survey: NO_SURVEY,
    findings: [],
  }
  const { findings, files } = compileModel(model, { effort: 'quick' })
  const problems = findings.map((finding) => ({ finding }))
  if (problems.length > 0) process.stderr.write(`${printProblems(problems, manner)}\n`)
  if (files.length === 0) return EXIT.findings
  const folder = join(workshop.out, 'coupons', card.id)
  writeBuild(folder, files)
  const sheets = files.filter(({ path }) => path.endsWith('.svg'))
  const notes = pieces.map(({ mark, copies, notes: [note = ''] }) => `${mark}${copies > 1 ? ` ×${copies}` : ''}: ${note}`)
  writeFileSync(join(folder, 'readings.txt'), `${formOf(card, notes)}\n`)
  process.stdout.write(
    `${card.id}: coupons on ${sheets.map(({ path }) => within(workshop.root, join(folder, path))).join(', ')}\n` +
      `what to measure, with room for the figures: ${within(workshop.root, join(folder, 'readings.txt'))}\n` +
      `then: cardwright stock measure ${card.id} pile=…mm holds=…mm …\n`,
  )
  return EXIT.good
}

function formOf(card: Stock, notes: readonly string[]): string {
  const readings = Object.entries(READINGS).map(([, [example, what]]) => `  ${example.split('=')[0]!.padEnd(13)} ______________   ${what}`)
  return [
    `Coupons of ${card.id}: ${card.title}, taken as ${Number(card.thickness.value.toFixed(3))} mm`,
    '',
    'Print at 100 %, cut and fold as you always do. Let the card lie in the room for a day first: it takes up moisture.',
    'Sharp knife: cut on a mat, along a steel rule, away from your hand, and change blunt blades.',
    '',
    ...notes,
    '',
    'Readings:',
    ...readings,
    '',
    `Enter them: cardwright stock measure ${card.id} pile=2.83mm holds=0.294mm …`,
  ].join('\n')
}

function measure(
  card: Stock,
  words: readonly string[],
  { root }: Workshop,
  { options }: Request,
): number {
  if (words.length === 0) {
    throw new UsageError(
      `stock measure ${card.id} needs what was measured`,
      `write it like cardwright stock measure ${card.id} pile=2.83mm holds=0.294mm; the readings are ${Object.keys(READINGS).join(', ')}`,
    )
  }
  const by = instrumentOf(options.by)
  const figures = asked(() => figuresFrom(parseReadings(words), card, by))
  const entry = { date: today(), by, readings: words, figures }
  const now = asked(() => asMeasured(card, new Map([[card.id, [entry]]])))
  addToStockBook(root, card.id, entry)
  if (options.json) process.stdout.write(`${JSON.stringify({ command: 'stock', ok: true, stock: now, entry }, null, 2)}\n`)
  else process.stdout.write(`${report(figures, card)}written to ${STOCK_BOOK}; the next build takes them\n`)
  return EXIT.good
}

function report(figures: MeasuredFigures, before: Stock): string {
  const rows = MEASURABLE.flatMap((name) => {
    const measured = figures[name]
    if (!measured) return []
    const was = figured(figureAt(before, name).value, name)
    return `  ${NAMES[name].padEnd(26)} ${figured(measured.value, name)} ± ${Number((2 * measured.u).toPrecision(2))}${unitOf(name)} (95 %), was ${was}\n`
  })
  return `${before.id}:\n${rows.join('')}`
}

function instrumentOf(text: string): Instrument {
  if (text === 'calipers' || text === 'rule') return text
  throw new UsageError(`--by: "${text}" is no instrument`, suggest(text, ['calipers', 'rule']))
}
