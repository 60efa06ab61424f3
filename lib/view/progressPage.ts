import type { NamedTally, Progress, Tally } from '../revision/progress'
import type { Rate } from '../revision/rate'
import type { StalePiece } from '../revision/standing'
import { markupText } from '../sheet/markup'
import { PROGRESS_STYLE } from './progressStyle'
import { timePlot } from './timePlot'

/** How far models have come, as one page that needs neither scripts nor a network. */
export function progressPage(models: readonly Progress[]): string {
  const title = models.length === 1 ? `${models[0]!.title}: progress` : 'Progress'
  return [
    '<!doctype html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8">',
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>${markupText(title)}</title>`,
    `<style>${PROGRESS_STYLE}</style>`,
    '</head>',
    '<body>',
    ...models.flatMap(modelPart),
    '</body>',
    '</html>',
    '',
  ].join('\n')
}

function modelPart(progress: Progress): string[] {
  const { title, scale, total, series, spent, toGo } = progress
  const name = `Hours and pieces of ${markupText(title)} over time`
  return [
    '<main>',
    `<h1>${markupText(title)} <span>${markupText(scale)}</span></h1>`,
    '<dl>',
    fact('cut', `${total.cut}<small> of ${total.needed}</small>`),
    fact('glued', `${total.glued}<small> of ${total.needed}</small>`),
    fact('spent', `${hours(spent.hours)}<small> h</small>`),
    fact('to go', `${hours(toGo.likely)}<small> h, ${hours(toGo.low)} to ${hours(toGo.high)}</small>`),
    '</dl>',
    ...(series.length > 0 ? [`<figure>${timePlot(progress, name)}</figure>`] : ['<p>Nothing was entered yet.</p>']),
    ...stalePart(progress),
    '<h2>By assembly</h2>',
    tallies(progress.assemblies, total),
    '<h2>By stock</h2>',
    tallies(progress.stocks, total),
    ...ratesPart(progress),
    '</main>',
  ]
}

function fact(name: string, value: string): string {
  return `<div><dt>${name}</dt><dd>${value}</dd></div>`
}

function stalePart({ stale, gone }: Progress): string[] {
  if (stale.length === 0 && gone.length === 0) return []
  const rows = [
    ...inOrder(stale).map((one) => [one.mark, bench(one), off(one), one.tolerance.toFixed(2), VERDICTS[verdict(one)]]),
    ...gone.map(({ mark, count, glued }) => [mark, bench({ count, glued }), '', '', 'no longer in the model']),
  ]
  const head = ['mark', 'on the bench', 'off, mm', 'allowed, mm', '']
  return ['<h2>Made before the model changed</h2>', table(head, rows, 2, 4)]
}

/** What is to be done first. */
function inOrder(stale: readonly StalePiece[]): StalePiece[] {
  const order = Object.keys(VERDICTS)
  return stale.toSorted((a, b) => order.indexOf(verdict(a)) - order.indexOf(verdict(b)))
}

function bench({ count, glued }: Pick<StalePiece, 'count' | 'glued'>): string {
  return glued === 0 ? `${count} cut` : `${glued} of ${count} glued`
}

function off({ deviation, change }: StalePiece): string {
  const what = change === 'restocked' ? ', other card' : change === 'refolded' ? ', other folds' : ''
  return deviation === undefined ? 'not known' : `${deviation.toFixed(2)}${what}`
}

function verdict({ kept, within }: StalePiece): keyof typeof VERDICTS {
  return kept ? 'kept' : within ? 'within' : 'anew'
}

const VERDICTS = { anew: '<strong>to be cut anew</strong>', within: 'can be used', kept: 'kept as made' }

function tallies(rows: readonly NamedTally[], total: Tally): string {
  const cells = ({ needed, cut, toForm, formed, glued, spare, scrapped, mmCut, mm }: Tally) => [
    `<meter min="0" max="${needed}" value="${glued}">${glued} of ${needed}</meter>`,
    ...[needed, cut].map(String),
    toForm === 0 ? '–' : `${formed}/${toForm}`,
    ...[glued, spare, scrapped].map(String),
    `${metres(mmCut)}/${metres(mm)}`,
  ]
  const head = ['', 'glued of needed', 'needed', 'cut', 'formed', 'glued', 'spare', 'scrapped', 'cut, m']
  const body = [...rows.map(({ name, ...tally }) => [markupText(name), ...cells(tally)]), ['all', ...cells(total)]]
  return table(head, body, 2, head.length)
}

function ratesPart({ rates }: Progress): string[] {
  const row = (name: string, { minutes, spread, sitting, per, entries }: Rate) => {
    const [rate, unit] = per === 'mm' ? [minutes * 1000, 'metre of cut'] : [minutes, 'piece']
    const stray = sitting * minutes > 0 ? `${Math.round((100 * spread) / (sitting * minutes))} %` : ''
    return [name, `${rate.toFixed(1)} min a ${unit}`, stray, entries === 0 ? 'rule of thumb' : String(entries)]
  }
  return [
    '<h2>What the hours to go rest on</h2>',
    table(
      ['work', 'rate', 'strays by', 'entries'],
      [row('cutting', rates.cut), row('forming', rates.formed), row('gluing', rates.glued)],
      1,
      4,
    ),
    '<p>The range holds about nineteen of twenty such forecasts, if what is to come goes as what was.</p>',
  ]
}

/** @param from the first column of figures, and the one after the last */
function table(head: readonly string[], rows: readonly (readonly string[])[], from: number, to: number): string {
  const kind = (i: number) => (i >= from && i < to ? ' class="figure"' : '')
  const headCell = (text: string, i: number) => `<th scope="col"${kind(i)}>${text}</th>`
  const cell = (text: string, i: number) =>
    i === 0 ? `<th scope="row">${text}</th>` : `<td${kind(i)}>${text}</td>`
  return [
    '<div class="wide" tabindex="0"><table>',
    `<thead><tr>${head.map(headCell).join('')}</tr></thead>`,
    '<tbody>',
    ...rows.map((cells) => `<tr>${cells.map(cell).join('')}</tr>`),
    '</tbody></table></div>',
  ].join('\n')
}

function hours(value: number): string {
  return value < 10 ? value.toFixed(1) : String(Math.round(value))
}

function metres(mm: number): string {
  return (mm / 1000).toFixed(1)
}
