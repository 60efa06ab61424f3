import type { NamedTally, Progress, Tally } from '../revision/progress'
import type { StalePiece } from '../revision/standing'
import { plural, rangesOfMarks } from './print'

/** What `cardwright progress` prints of one model. */
export function progressText(progress: Progress): string {
  const { title, scale, total, assemblies, stocks } = progress
  return [
    `${title}, ${scale}: ${total.cut} of ${plural(total.needed, 'piece')} cut, ${total.glued} glued`,
    ...table([['', 'needed', 'cut', 'formed', 'glued'], ...[...assemblies, ...stocks].map(row), ['all', ...counts(total)]]),
    ...hours(progress),
    ...stale(progress),
    '',
  ].join('\n')
}

function row({ name, ...tally }: NamedTally): string[] {
  return [name, ...counts(tally)]
}

function counts({ needed, cut, toForm, formed, glued }: Tally): string[] {
  return [String(needed), String(cut), toForm === 0 ? '-' : `${formed}/${toForm}`, String(glued)]
}

/** Names to the left, figures to the right. */
function table(rows: readonly (readonly string[])[]): string[] {
  const widths = rows[0]!.map((_, i) => Math.max(...rows.map((cells) => cells[i]!.length)))
  return rows.map(
    (cells) => `  ${cells.map((cell, i) => (i === 0 ? cell.padEnd(widths[i]!) : cell.padStart(widths[i]!))).join('  ')}`,
  )
}

function hours({ spent, toGo, rates, total }: Progress): string[] {
  const known = Object.values(rates).reduce((sum, rate) => sum + rate.entries, 0)
  const thumb = Object.values(rates).some((rate) => rate.entries === 0)
  const basis = known === 0 ? 'by rule of thumb' : `from ${plural(known, 'entry').replace('entrys', 'entries')}${thumb ? ', in part by rule of thumb' : ''}`
  const spare = total.spare > 0 ? `, ${total.spare} spare` : ''
  const scrapped = total.scrapped > 0 ? `, ${total.scrapped} scrapped` : ''
  return [
    `  ${hour(spent.hours)} h spent; about ${hour(toGo.likely)} h to go, ${hour(toGo.low)} to ${hour(toGo.high)} (${basis})`,
    `  ${metre(total.mmCut)} of ${metre(total.mm)} m of cut done${spare}${scrapped}`,
  ]
}

function stale({ stale, gone }: Progress): string[] {
  const lines = stale.map((one) => `    ${staleText(one)}`)
  const left = gone.map(({ mark }) => mark)
  return [
    ...(lines.length > 0 ? ['  made before the model changed:', ...lines] : []),
    ...(left.length > 0 ? [`  no longer in the model: ${rangesOfMarks(left)}`] : []),
  ]
}

/** `WR-P03: 1 glued, 0.520 mm off, 0.225 mm allowed: cut anew, or keep`. */
export function staleText(piece: StalePiece): string {
  const { mark, count, glued, deviation, tolerance, within, kept, change } = piece
  const stage = glued === 0 ? `${count} cut` : glued === count ? `${glued} glued` : `${count} cut, ${glued} of them glued`
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
