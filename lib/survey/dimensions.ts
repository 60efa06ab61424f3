import { FindingError } from '../finding/finding'
import { type CallSite, callSite, resolveSite } from '../finding/site'
import { recording } from '../length/bench'
import { Length, mm } from '../length/length'
import type { Comparison, Dimension, Rule, SurveySheet } from './dimension'
import { dimensionsAmong } from './figure'
import { onFullSize } from './fullSize'
import { onSubject, surveyError } from './onSubject'
import { type Source, isSource } from './source'

/** A dimension that was read off something. */
export interface Given {
  readonly value: Length
  /** How far off it may be, either way. The source's own where it is left out. */
  readonly within?: Length
  readonly source?: Source
  readonly note?: string
}

/** A dimension worked out from others, in the subject's size: `{ from: ({ span }) => span.times(0.5) }`. */
export interface WorkedOut<N extends string> {
  readonly from: (survey: Readonly<Record<N, Length>>) => Length
  readonly note?: string
}

/** A table of one line of the subject, such as its half-breadths: all values from one source, off by as much. */
export interface GivenTable {
  readonly rows: Rows
  readonly within?: Length
  readonly source?: Source
  readonly note?: string
}

/** Places and the values there, as `table` takes them. */
export type Rows = readonly (readonly [place: Length, value: Length])[]

export interface SurveyOptions<N extends string, T extends string> {
  readonly tables?: { readonly [name in T]: GivenTable }
  /** What must hold, by what it says: `'bays add up to the length': (s) => [s.bay.times(14), '=', s.length]`. */
  readonly rules?: Readonly<Record<string, (survey: Readonly<Record<N, Length>>) => Comparison>>
}

/** A survey to read from: each dimension a length, each table its rows. */
export type Survey<N extends string = string, T extends string = never> = Readonly<Record<N, Length>> &
  Readonly<Record<T, Rows>>

/** Any survey, whatever is in it. */
export type AnySurvey = Readonly<Record<string, Length | Rows>>

/**
 * The subject's dimensions, each written once, with where it comes from and how far off it may be:
 *
 *     export const survey = dimensions({
 *       span: { value: full.m(24.4), within: full.mm(40), source: general, note: 'over the tip floats' },
 *       semiSpan: { from: ({ span }) => span.times(0.5) },
 *     })
 *
 * `survey.span` is a length like any other, and whatever is made from it is known to hang on the span. Give the survey
 * to the model as well: `model('Sandpiper', { scale: '1:60', survey }, …)`. A formula is an ordinary function of
 * lengths in the subject's size; inside it `mm()` gives millimetres of the subject, for what sums cannot say.
 *
 * @throws FindingError for what is no dimension: no length, a negative tolerance, a formula that fails or goes in a circle
 */
export function dimensions<N extends string, T extends string = never>(
  entries: { readonly [name in N]: Length | Given | WorkedOut<N> },
  { tables, rules = {} }: SurveyOptions<N, T> = {},
): Survey<N, T> {
  const site = callSite()
  const lengths = {} as Record<N, Length>
  const known = new Map<string, Dimension>()
  const underWay: string[] = []

  const resolve = (name: N): Length => {
    const done = known.get(name)
    if (done) return named(done)
    if (underWay.includes(name)) {
      const circle = [...underWay.slice(underWay.indexOf(name)), name].join(' from ')
      throw surveyError(`the formulas go in a circle: ${circle}`, 'give one of them a value', site, name)
    }
    underWay.push(name)
    const entry: Length | Given | WorkedOut<N> = entries[name]
    const dimension = isWorkedOut(entry)
      ? workedOut(name, entry, lengths, known, site)
      : given(name, entry instanceof Length ? { value: entry } : entry, site)
    known.set(name, dimension)
    underWay.pop()
    return named(dimension)
  }

  const names = Object.keys(entries) as N[]
  for (const name of names) {
    checkName(name, site)
    Object.defineProperty(lengths, name, { get: () => resolve(name), enumerable: true })
  }
  for (const name of names) resolve(name)
  const tabled = Object.entries<GivenTable>(tables ?? {}).map(([name, table]) => tableOf(name, table, known, site))
  const survey = Object.freeze({
    ...Object.fromEntries(names.map((name) => [name, named(known.get(name)!)])),
    ...Object.fromEntries(tabled.map(({ dimension, rows }) => [dimension.name, rows])),
  }) as Survey<N, T>
  SHEETS.set(survey, {
    dimensions: [...names.map((name) => known.get(name)!), ...tabled.map(({ dimension }) => dimension)],
    rules: Object.entries(rules).map(([name, rule]): Rule => ({ name, site, compare: () => rule(survey) })),
  })
  return survey
}

/** What a survey holds, or undefined for what is no survey. */
export function sheetOf(survey: unknown): SurveySheet | undefined {
  return typeof survey === 'object' && survey !== null ? SHEETS.get(survey) : undefined
}

const SHEETS = new WeakMap<object, SurveySheet>()

function named({ name, value, unit }: Dimension): Length {
  return new Length({ full: value, dimensions: { [name]: 1 }, ...(unit && { unit }) })
}

function isWorkedOut<N extends string>(entry: Length | Given | WorkedOut<N>): entry is WorkedOut<N> {
  return typeof entry === 'object' && entry !== null && 'from' in entry
}

function given(name: string, { value, within, source, note = '' }: Given, site: CallSite): Dimension {
  const what = `dimension "${name}"`
  const size = onSubject(value, what, site)
  const [used] = Object.keys(value.dimensions)
  if (used !== undefined) {
    throw surveyError(
      `${what} is worked out from "${used}" and stands as a value`,
      `write it as a formula, so that it follows: ${name}: { from: ({ ${used} }) => … }`,
      site,
      name,
    )
  }
  return { name, value: size, unit: value.unit, note, from: [], site, ...origin(name, within, source, site) }
}

function workedOut<N extends string>(
  name: N,
  { from, note = '' }: WorkedOut<N>,
  lengths: Readonly<Record<N, Length>>,
  known: ReadonlyMap<string, Dimension>,
  site: CallSite,
): Dimension {
  const formula = () => from(lengths)
  const { result: value, read } = recording(() => onFullSize(new Map(), () => resultOf(name, formula, site)))
  const inputs = dimensionsAmong(read)
  const unit = inputs.map((input) => known.get(input)?.unit).find((one) => one !== undefined)
  return { name, value, unit, note, formula, from: inputs, site, within: undefined, source: undefined }
}

function resultOf(name: string, formula: () => Length, site: CallSite): number {
  try {
    const result = formula()
    onSubject(result, `the formula of dimension "${name}"`, site)
    return mm(result)
  } catch (error) {
    if (error instanceof FindingError) throw error
    const place = error instanceof Error ? resolveSite(error) : undefined
    const text = `the formula of dimension "${name}" failed: ${error instanceof Error ? error.message : String(error)}`
    const { finding } = surveyError(text, 'mend the formula', site, name)
    throw new FindingError({ ...finding, ...(place && { site: place }) }, { cause: error })
  }
}

function tableOf(
  name: string,
  { rows, within, source, note = '' }: GivenTable,
  known: ReadonlyMap<string, Dimension>,
  site: CallSite,
): { dimension: Dimension; rows: Rows } {
  checkName(name, site)
  if (known.has(name)) throw surveyError(`"${name}" is a dimension and a table`, 'rename one of them', site, name)
  if (!Array.isArray(rows) || rows.length === 0) {
    throw surveyError(`table "${name}" has no rows`, 'give it pairs of a place and the value there', site, name)
  }
  const values = rows.map(([, value], i) => onSubject(value, `row ${i + 1} of table "${name}"`, site))
  return {
    dimension: {
      name,
      value: values[0]!,
      values,
      unit: rows[0]![1].unit,
      note,
      from: [],
      site,
      ...origin(name, within, source, site),
    },
    rows: rows.map(([place, { full }]) => [place, new Length({ full, dimensions: { [name]: 1 } })] as const),
  }
}

function origin(
  name: string,
  within: Length | undefined,
  source: Source | undefined,
  site: CallSite,
): Pick<Dimension, 'within' | 'source'> {
  if (source !== undefined && !isSource(source)) {
    const text = `the source of dimension "${name}" is ${JSON.stringify(source)}`
    throw surveyError(text, "write one of drawing('…'), photograph('…'), handbook('…'), ownMeasurement('…'), guess('…')", site, name)
  }
  const tolerance = within === undefined ? source?.within : onSubject(within, `the tolerance of dimension "${name}"`, site)
  if (tolerance !== undefined && tolerance < 0) {
    throw surveyError(`the tolerance of dimension "${name}" is ${tolerance} mm`, 'give one above 0', site, name)
  }
  return { within: tolerance, source }
}

/** Names are typed on the command line beside `scale` and `folder.thickness`. */
function checkName(name: string, site: CallSite): void {
  if (/^[\p{L}_][\p{L}\p{N}_]*$/u.test(name) && name !== 'scale' && !(name in Object.prototype)) return
  throw surveyError(`"${name}" is no name for a dimension`, 'use letters, digits and underscores, and not "scale"', site, name)
}
