import { type CallSite, callSite } from '../finding/site'
import type { Point } from '../shape/point'
import type { Aerofoil } from './aerofoil'
import { sectionError } from './fault'
import { fair, straight } from './through'

export interface CoordinateOptions {
  /** In place of the table's heading. */
  readonly name?: string
  /** `fair` puts a spline through the points; `straight` joins them, for slab-sided sections. Fair unless said. */
  readonly join?: 'fair' | 'straight'
}

/**
 * A section from a table of coordinates in the usual two columns x y, in shares or per cent of the chord. Both
 * common orders are read: one run from the trailing edge over the upper surface to the leading edge and back below
 * (or the other way round); and two blocks from the leading edge, upper then lower, after a line with the number of
 * points in each. Lines before the first pair are its heading; blank lines and what follows `#` are passed over.
 *
 * The leading edge is the point 0 0 where there is one, else the point least in x (in two blocks the first), and is
 * put at the origin; the chord is taken from there to the middle of the trailing edge. Nothing is turned.
 *
 * @throws FindingError naming the line where the table cannot be read
 */
export function coordinateSection(text: string, { name, join = 'fair' }: CoordinateOptions = {}): Aerofoil {
  const made = callSite()
  const { heading, rows } = readRows(text, made)
  const { upper, lower } = isTwoBlocks(rows) ? twoBlocks(rows, made) : oneRun(rows, made)
  const [le, chord] = frameOf(upper, lower, made)
  const unit = ({ point: [x, y] }: Row): Point => [(x - le[0]) / chord, (y - le[1]) / chord]
  const run = [...upper.toReversed().map(unit), ...lower.slice(1).map(unit)]
  const through = join === 'straight' ? straight(run) : fair(run)
  const nose = through.knots[upper.length - 1]!
  const end = through.knots[run.length - 1]!
  return {
    name: name ?? (heading === '' ? 'from coordinates' : heading),
    upper: (u) => through.at(nose * (1 - u)),
    lower: (u) => through.at(nose + (end - nose) * u),
  }
}

interface Row {
  readonly line: number
  readonly point: Point
}

function readRows(text: string, made: CallSite): { heading: string; rows: Row[] } {
  const rows: Row[] = []
  const headings: string[] = []
  text.split(/\r\n|\n|\r/).forEach((raw, i) => {
    const written = raw.replace(/#.*$/, '').trim()
    if (written === '') return
    const figures = written.split(/\s*,\s*|\s+/).map(Number)
    const [x, y] = figures as [number, number]
    if (figures.length === 2 && figures.every(Number.isFinite)) rows.push({ line: i + 1, point: [x, y] })
    else if (rows.length === 0) headings.push(written)
    else throw badTable(i + 1, `"${written}" is not a pair of numbers`, 'write x and y, two numbers a line', made)
  })
  if (rows.length < LEAST_ROWS) {
    throw sectionError(
      `coordinates: ${rows.length} points, a section needs ${LEAST_ROWS} or more`,
      'write x and y, two numbers a line',
      { found: rows.length, wanted: LEAST_ROWS, made },
    )
  }
  return { heading: headings.join(' '), rows }
}

/** A triangle. */
const LEAST_ROWS = 3

/** The first line of a two-block table holds two counts, where a section has the trailing edge's small height. */
function isTwoBlocks([first]: readonly Row[]): boolean {
  const [a, b] = first!.point
  return a >= 2 && b >= 2 && Number.isInteger(a) && Number.isInteger(b)
}

function twoBlocks([counts, ...rows]: readonly Row[], made: CallSite): Surfaces {
  const [above, below] = counts!.point
  if (above + below !== rows.length) {
    throw badTable(
      counts!.line,
      `it announces ${above} + ${below} points, ${rows.length} follow`,
      'correct the counts, or complete the table',
      made,
    )
  }
  const [upper, lower] = [rows.slice(0, above), rows.slice(above)]
  checkOrder(upper, 1, made)
  checkOrder(lower, 1, made)
  const samePlace = upper[0]!.point[0] === lower[0]!.point[0] && upper[0]!.point[1] === lower[0]!.point[1]
  return upright(upper, samePlace ? lower : [upper[0]!, ...lower])
}

function oneRun(rows: readonly Row[], made: CallSite): Surfaces {
  const origin = rows.findIndex(({ point: [x, y] }) => x === 0 && y === 0)
  const nose = origin > 0 && origin < rows.length - 1 ? origin : foremost(rows)
  if (nose === 0 || nose === rows.length - 1) {
    throw badTable(
      rows[nose]!.line,
      `the leading edge, the least x of ${rows[nose]!.point[0]}, is at the end of the table`,
      'begin at the trailing edge and go round; or write two blocks from the leading edge after a line of their counts',
      made,
    )
  }
  checkOrder(rows.slice(0, nose + 1), -1, made)
  checkOrder(rows.slice(nose), 1, made)
  return upright(rows.slice(0, nose + 1).toReversed(), rows.slice(nose))
}

function foremost(rows: readonly Row[]): number {
  let least = 0
  rows.forEach(({ point }, i) => {
    if (point[0] < rows[least]!.point[0]) least = i
  })
  return least
}

interface Surfaces {
  /** Both from the leading edge. */
  readonly upper: readonly Row[]
  readonly lower: readonly Row[]
}

/** The surface listed first is the lower one in some tables. */
function upright(first: readonly Row[], second: readonly Row[]): Surfaces {
  return meanHeight(first) >= meanHeight(second) ? { upper: first, lower: second } : { upper: second, lower: first }
}

/** Area below the surface over its length: the points may be crowded at one end. */
function meanHeight(rows: readonly Row[]): number {
  let area = 0
  for (let i = 1; i < rows.length; i++) {
    const [[ax, ay], [bx, by]] = [rows[i - 1]!.point, rows[i]!.point]
    area += ((bx - ax) * (ay + by)) / 2
  }
  return area / (rows[rows.length - 1]!.point[0] - rows[0]!.point[0])
}

/**
 * x must go one way along a surface: a row out of place would fold the outline over itself. Only round the nose it may
 * turn back, since that of a cambered section stands a little before the end of its chord.
 */
function checkOrder(rows: readonly Row[], way: 1 | -1, made: CallSite): void {
  const ends = [rows[0]!.point[0], rows.at(-1)!.point[0]]
  const nose = Math.min(...ends) + NOSE * Math.abs(ends[1]! - ends[0]!)
  for (let i = 1; i < rows.length; i++) {
    const [before, { line, point }] = [rows[i - 1]!, rows[i]!]
    const step = (point[0] - before.point[0]) * way
    const turnsBack = step < 0 && Math.max(before.point[0], point[0]) <= nose
    if (step > 0 || turnsBack || (step === 0 && point[1] !== before.point[1])) continue
    const towards = way === 1 ? 'trailing' : 'leading'
    const fault =
      step === 0
        ? `the point ${point[0]} ${point[1]} is given twice`
        : `x goes back from ${before.point[0]} to ${point[0]} on the way to the ${towards} edge`
    throw badTable(line, fault, 'put the points in order round the section', made)
  }
}

/** Share of the chord that counts as nose. */
const NOSE = 0.02

function frameOf(upper: readonly Row[], lower: readonly Row[], made: CallSite): [le: Point, chord: number] {
  const le = upper[0]!.point
  const te = (upper.at(-1)!.point[0] + lower.at(-1)!.point[0]) / 2
  if (upper.length < 2 || lower.length < 2) {
    throw sectionError(
      `coordinates: ${upper.length} points above and ${lower.length} below`,
      'give each surface its leading and trailing edge at least',
      { made },
    )
  }
  return [le, te - le[0]]
}

function badTable(line: number, fault: string, remedy: string, made: CallSite) {
  return sectionError(`coordinates, line ${line}: ${fault}`, remedy, { made })
}
