import { type Hours, type Rates, WORK, type Work } from '../revision/rate'
import type { Estimate } from './estimate'
import type { Quote, QuoteLine } from './quote'

/** The estimate as lines to read. */
export function estimateText(estimate: Estimate): string {
  const { title, scale, stocks, total, hours, rates, blades, spent, toGo } = estimate
  const rows = [
    ['card', 'pieces', 'sheets', 'area used', 'cut', 'score'],
    ...[...stocks, { ...total, id: 'all', sheetArea: 0 }].map(({ id, pieces, sheets, area, sheetArea, cut, score }) => [
      id,
      String(pieces),
      String(sheets),
      sheetArea > 0 && sheets > 0
        ? `${squareCm(area)} (${Math.round((100 * area) / (sheets * sheetArea))} % of the sheets)`
        : squareCm(area),
      metres(cut),
      metres(score),
    ]),
  ]
  return [
    `${title}, ${scale}: an estimate, not a promise`,
    table(rows),
    `hours: ${span(hours.total)} in all`,
    ...WORK.map((work) => `  ${NAMES[work].padEnd(30)} ${span(hours[work]).padEnd(22)} ${rateText(work, rates)}`),
    `blades: ${blades.likely}, from ${blades.low} to ${blades.high}`,
    ...(spent > 0 ? [`entered so far: ${spent.toFixed(1)} h; to go: ${span(toGo)}`] : []),
    '',
  ].join('\n')
}

/** The quote as lines to read. */
export function quoteText({ lines, total, unpriced }: Quote, title: string): string {
  const priced = lines.some(({ price }) => price !== undefined)
  const rows = [
    ['item', 'likely', 'from', 'to', 'unit', ...(priced ? ['each', 'sum', 'from', 'to'] : [])],
    ...lines.map((line) => [line.name, ...quantities(line), line.unit, ...(priced ? money(line) : [])]),
    ...(priced ? [['total', '', '', '', '', '', ...[total.likely, total.low, total.high].map((sum) => sum.toFixed(2))]] : []),
  ]
  return [
    `Material and time for ${title}: an estimate to price from`,
    table(rows),
    ...(priced && unpriced.length > 0 ? [`not in the total, no price given: ${unpriced.join('; ')}`] : []),
    '',
  ].join('\n')
}

const NAMES: Readonly<Record<Work, string>> = {
  cut: 'cutting',
  formed: 'folding, rolling and curling',
  glued: 'fitting and gluing',
}

function rateText(work: Work, rates: Rates): string {
  const { per, minutes, entries } = rates[work]
  const rate = per === 'mm' ? `${(minutes * 1000).toFixed(0)} min a metre` : `${minutes.toFixed(1)} min a piece`
  if (entries === 0) return `at ${rate}: a rule of thumb, until the logbook has entries`
  return `at ${rate}, from ${entries} ${entries === 1 ? 'entry' : 'entries'} of the logbook`
}

function quantities({ quantity, unit }: QuoteLine): string[] {
  const { likely, low, high } = quantity
  return [likely, low, high].map((value) => (unit === 'hours' ? value.toFixed(1) : String(value)))
}

function money({ price, sum }: QuoteLine): string[] {
  if (price === undefined || !sum) return ['', '', '', '']
  return [price, sum.likely, sum.low, sum.high].map((value) => value.toFixed(2))
}

function span({ likely, low, high }: Hours): string {
  return `${likely.toFixed(1)} h (${low.toFixed(1)} to ${high.toFixed(1)})`
}

function squareCm(area: number): string {
  return `${(area / 100).toFixed(0)} cm²`
}

function metres(length: number): string {
  return `${(length / 1000).toFixed(1)} m`
}

/** Columns as wide as their widest cell, the first to the left and figures to the right. */
function table(rows: readonly (readonly string[])[]): string {
  const widths = rows[0]!.map((_, i) => Math.max(...rows.map((row) => (row[i] ?? '').length)))
  const line = (row: readonly string[]) =>
    widths.map((width, i) => (i === 0 ? (row[i] ?? '').padEnd(width) : (row[i] ?? '').padStart(width))).join('   ')
  return rows.map((row) => `  ${line(row).trimEnd()}`).join('\n')
}
