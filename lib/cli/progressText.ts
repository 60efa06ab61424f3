import type { NamedTally, Progress, Tally } from '../revision/progress'
import type { Rates } from '../revision/rate'
import type { StalePiece } from '../revision/standing'
import { plural, rangesOfMarks } from './print'

/** What `cardwright progress` prints of one model. */
export function progressText(progress: Progress): string {
  const { title, scale, total, assemblies, stocks } = progress
  return [
    `${title}, ${scale}: ${total.cut} of ${plural(total.needed, 'piece')} cut, ${total.glued} glued`,
    ...table([HEAD, ...assemblies.map(row), ...stocks.map(row), ['all', ...counts(total)]]),
    ...hours(progress),
    ...stale(progress),
    '',
  ].join('\n')
}

const HEAD = ['', 'needed', 'cut', 'formed', 'glued']

function row({ name, ...tally }: NamedTally): string[] {
  return [name, ...counts(tally)]
}

function counts({ needed, cut, toForm, formed, glued }: Tally): string[] {
  return [String(needed), String(cut), toForm === 0 ? '-' : `${formed}/${toForm}`, String(glued)]
}

/** Names to the left, figures to the right. */
function table(rows: readonly (readonly string[])[]): string[] {
  const widths = rows[0]!.map((_, i) => Math.max(...rows.map((cells) => cells[i]!.length)))
  const pad = (cell: string, i: number) => (i === 0 ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!))
  return rows.map((cells) => `  ${cells.map(pad).join('  ')}`)
}

function hours({ spent, toGo, rates, total }: Progress): string[] {
  const range = `${hour(toGo.low)} to ${hour(toGo.high)} (${basisText(rates)})`
  const spare = total.spare > 0 ? `, ${total.spare} spare` : ''
  const scrapped = total.scrapped > 0 ? `, ${total.scrapped} scrapped` : ''
  return [
    `  ${hour(spent.hours)} h spent; about ${hour(toGo.likely)} h to go, ${range}`,
    `  ${metre(total.mmCut)} of ${metre(total.mm)} m of cut done${spare}${scrapped}`,
  ]
}

/** What the hours to go rest on. */
export function basisText(rates: Rates): string {
  const entries = Object.values(rates).map((rate) => rate.entries)
  const known = entries.reduce((sum, n) => sum + n, 0)
  if (known === 0) return 'by rule of thumb'
  const partly = entries.includes(0) ? ', in part by rule of thumb' : ''
  return `from ${known} ${known === 1 ? 'entry' : 'entries'}${partly}`
}

function stale({ stale, gone }: Progress): string[] {
  const lines = alike(stale).map((line) => `    ${line}`)
  const left = gone.map(({ mark }) => mark)
  return [
    ...(lines.length > 0 ? ['  made before the model changed:', ...lines] : []),
    ...(left.length > 0 ? [`  no longer in the model: ${rangesOfMarks(left)}`] : []),
  ]
}

/** Those of which the same is to be told are one line: `NR-P01..P15, each: 1 cut, …`. */
function alike(stale: readonly StalePiece[]): string[] {
  const byText = new Map<string, string[]>()
  for (const one of stale) {
    const text = staleText(one).slice(one.mark.length)
    byText.set(text, [...(byText.get(text) ?? []), one.mark])
  }
  return [...byText].map(([text, marks]) => `${rangesOfMarks(marks)}${marks.length > 1 ? ', each' : ''}${text}`)
}

/** `WR-P03: 1 glued, 0.520 mm off, 0.225 mm allowed: cut anew, or keep`. */
export function staleText(piece: StalePiece): string {
  const { mark, count, glued, deviation, tolerance, within, kept, change } = piece
  const partly = glued === count ? `${glued} glued` : `${count} cut, ${glued} of them glued`
  const stage = glued === 0 ? `${count} cut` : partly
  const off = deviation === undefined ? 'shape not known' : `${deviation.toFixed(2)} mm off`
  const changed = change === 'restocked' ? 'other card; ' : change === 'refolded' ? 'other folds; ' : ''
  const verdict = kept ? 'kept as made' : within ? 'can be used' : 'to be cut anew'
  return `${mark}: ${stage}, ${changed}${off}, ${tolerance.toFixed(2)} mm allowed: ${verdict}`
}

function hour(hours: number): string {
  return hours < 10 ? hours.toFixed(1) : String(Math.round(hours))
}

function metre(mm: number): string {
  return (mm / 1000).toFixed(1)
}
