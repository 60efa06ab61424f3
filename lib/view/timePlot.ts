import type { Progress } from '../revision/progress'
import type { SeriesPoint } from '../revision/series'

/**
 * Hours and pieces over time as SVG text, two panels over one axis of dates. Each point holds until the next entry, so
 * that lines go in steps. Empty where nothing was entered.
 *
 * @param name what the picture is called, for those who do not see it
 */
export function timePlot({ series, total }: Progress, name: string): string {
  const [first, last] = [series[0], series.at(-1)]
  if (!first || !last) return ''
  const x = timeScale(first.time, last.time)
  const spent: Curve = { kind: 'hours', value: (point) => point.hours }
  const hours = panel(TOP, niceTop(last.hours), x, 'hours', [spent], series)
  const most = Math.max(total.needed, ...series.map(({ cut }) => cut))
  const pieces = panel(
    TOP + HEIGHT + GAP,
    niceTop(most),
    x,
    'pieces',
    [
      { kind: 'cut', value: ({ cut }) => cut },
      { kind: 'glued', value: ({ glued }) => glued },
    ],
    series,
    total.needed,
  )
  const [from, to] = [first.time.slice(0, 10), last.time.slice(0, 10)]
  const pieceText = `${last.cut} pieces cut and ${last.glued} glued of ${total.needed}`
  const said = `${from} to ${to}: ${last.hours.toFixed(1)} hours, ${pieceText}`
  return [
    `<svg viewBox="0 0 ${WIDTH} ${2 * HEIGHT + GAP + TOP + FOOT}" role="img" aria-label="${name}, ${said}">`,
    ...hours,
    ...pieces,
    ...dates(series, x),
    '</svg>',
  ].join('\n')
}

const WIDTH = 760
const HEIGHT = 150
const [TOP, GAP, FOOT, LEFT, RIGHT] = [26, 44, 34, 46, 96]

interface Curve {
  readonly kind: 'hours' | 'cut' | 'glued'
  readonly value: (point: SeriesPoint) => number
}

function timeScale(from: string, to: string): (time: string) => number {
  const [start, end] = [Date.parse(from), Date.parse(to)]
  const span = Math.max(end - start, DAY)
  return (time) => LEFT + ((Date.parse(time) - start) / span) * (WIDTH - LEFT - RIGHT)
}

const DAY = 24 * 3600 * 1000

/** The end of an axis: the next of 1, 2, 2.5, 5 and 10 times a power of ten that is a whole number of steps. */
function niceTop(value: number): { top: number; step: number } {
  const rough = Math.max(value, 1) / 4
  const power = 10 ** Math.floor(Math.log10(rough))
  const step = Math.max(0.25, [1, 2, 2.5, 5, 10].map((n) => n * power).find((n) => n >= rough)!)
  return { step, top: step * Math.ceil(Math.max(value, 1) / step) }
}

function panel(
  at: number,
  { top, step }: { top: number; step: number },
  x: (time: string) => number,
  title: string,
  curves: readonly Curve[],
  series: readonly SeriesPoint[],
  needed?: number,
): string[] {
  const y = (value: number) => at + HEIGHT - (value / top) * HEIGHT
  const ticks = Array.from({ length: Math.round(top / step) + 1 }, (_, i) => i * step)
  return [
    `<text class="title" x="${LEFT}" y="${at - 10}">${title}</text>`,
    ...ticks.flatMap((tick) => [
      `<line class="grid" x1="${LEFT}" x2="${WIDTH - RIGHT}" y1="${n(y(tick))}" y2="${n(y(tick))}"/>`,
      `<text class="tick" x="${LEFT - 8}" y="${n(y(tick) + 4)}" text-anchor="end">${Number(tick.toFixed(2))}</text>`,
    ]),
    ...(needed === undefined
      ? []
      : [
          `<line class="needed" x1="${LEFT}" x2="${WIDTH - RIGHT}" y1="${n(y(needed))}" y2="${n(y(needed))}"/>`,
          `<text class="name" x="${WIDTH - RIGHT + 8}" y="${n(y(needed) + 4)}">${needed} needed</text>`,
        ]),
    ...curves.map(({ kind, value }) => `<path class="${kind}" d="${steps(series, x, (point) => y(value(point)))}"/>`),
    ...names(series.at(-1)!, curves, y, needed),
  ]
}

function steps(series: readonly SeriesPoint[], x: (time: string) => number, y: (point: SeriesPoint) => number): string {
  const [first, ...rest] = series
  const run = rest.map((point) => `H${n(x(point.time))}V${n(y(point))}`).join('')
  // To where its name is, also where all was entered on one day.
  return `M${n(x(first!.time))} ${n(y(first!))}${run}H${n(WIDTH - RIGHT)}`
}

/** Each curve named at its end, kept apart where ends are close. */
function names(
  last: SeriesPoint,
  curves: readonly Curve[],
  y: (value: number) => number,
  needed: number | undefined,
): string[] {
  let above = needed === undefined ? Number.NEGATIVE_INFINITY : y(needed) + 4
  return curves.map(({ kind, value }) => {
    const place = Math.max(y(value(last)) + 4, above + LINE)
    above = place
    const figure = kind === 'hours' ? value(last).toFixed(1) : value(last)
    return `<text class="name ${kind}-name" x="${WIDTH - RIGHT + 8}" y="${n(place)}">${figure} ${kind}</text>`
  })
}

const LINE = 16

/** The first of months; where fewer than two of them fall into the time, days of entries. */
function dates(series: readonly SeriesPoint[], x: (time: string) => number): string[] {
  const [from, to] = [series[0]!.time.slice(0, 10), series.at(-1)!.time.slice(0, 10)]
  const months = monthsBetween(from, to)
  const days = [...new Set(series.map(({ time }) => time.slice(0, 10)))]
  const all = months.length > 1 ? months : days
  const every = Math.ceil(all.length / MOST_DATES)
  const bottom = TOP + 2 * HEIGHT + GAP
  return all
    .filter((_, i) => i % every === 0)
    .flatMap((day, i) => {
      const at = n(Math.max(LEFT, x(`${day}T00:00:00Z`)))
      return [
        `<line class="date" x1="${at}" x2="${at}" y1="${TOP}" y2="${bottom + 5}"/>`,
        `<text class="tick" x="${at}" y="${bottom + 20}" text-anchor="middle">${dayName(day, i === 0)}</text>`,
      ]
    })
}

const MOST_DATES = 8

function monthsBetween(from: string, to: string): string[] {
  const [start, end] = [monthNumber(from), monthNumber(to)]
  return Array.from({ length: end - start }, (_, i) => {
    const month = start + 1 + i
    return `${Math.floor(month / 12)}-${String((month % 12) + 1).padStart(2, '0')}-01`
  })
}

function monthNumber(day: string): number {
  return Number(day.slice(0, 4)) * 12 + Number(day.slice(5, 7)) - 1
}

/** `Mar`, with its year for the first and for January; `14 Mar` within a month. */
function dayName(day: string, first: boolean): string {
  const [year, month, date] = day.split('-')
  const name = MONTHS[Number(month) - 1]!
  if (date !== '01') return `${Number(date)} ${name}`
  return first || month === '01' ? `${name} ${year}` : name
}

const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec']

function n(value: number): string {
  return String(Math.round(value * 10) / 10)
}
