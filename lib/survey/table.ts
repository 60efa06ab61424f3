import type { CallSite } from '../finding/site'
import { recording } from '../length/bench'
import { mm, type Unit } from '../length/length'
import type { Comparison, Dimension, Rule, SurveySheet } from './dimension'
import { dimensionsAmong } from './figure'
import { onFullSize } from './fullSize'
import { surveyError } from './onSubject'
import { type Spread, propagate } from './propagate'
import { allBehind, movedWith } from './sheet'
import type { SourceKind } from './source'

/** A survey worked out: plain data, in the author's order. Sizes in mm on the subject. */
export interface SurveyTable {
  readonly dimensions: readonly SurveyedDimension[]
  readonly rules: readonly CheckedRule[]
  /** Names of the dimensions that were read for the model, sorted. */
  readonly read: readonly string[]
}

/** Of a model that keeps no survey. */
export const NO_SURVEY: SurveyTable = Object.freeze({ dimensions: [], rules: [], read: [] })

export interface SurveyedDimension {
  readonly name: string
  /** Of a table the first value. */
  readonly value: number
  /** Of a table: all of them. */
  readonly values?: readonly number[]
  /** The unit the author wrote it in. */
  readonly unit?: Unit
  /** How far off it may be: as given, or as likely as its inputs are (root sum of squares). */
  readonly within?: number
  /** How far off with every input off at once; the same as `within` for one that was read off something. */
  readonly worst?: number
  readonly source?: { readonly kind: SourceKind; readonly title: string }
  readonly note: string
  /** Dimensions it is worked out from, sorted; none for one that was read off something. */
  readonly from: readonly string[]
  /** What contributes most to how far off it may be; for one that is worked out. */
  readonly mostly?: string
  readonly site: CallSite
}

export interface CheckedRule {
  readonly name: string
  readonly left: number
  readonly relation: Comparison[1]
  readonly right: number
  /** How far apart both sides may be for all that is known: root sum of squares, and at worst. Left out where not told. */
  readonly within?: number
  readonly worst?: number
  /** Doubtful: only with several off at once, or nobody knows by how much; broken: with no values within tolerance. */
  readonly verdict: 'holds' | 'doubtful' | 'broken'
  /** Dimensions it compares, sorted. */
  readonly from: readonly string[]
  readonly site: CallSite
}

/**
 * @param moved how far some dimensions stand off what the survey says, mm on the subject
 * @param figures names of the figures that were read for the model
 */
export function surveyTable(
  sheet: SurveySheet,
  moved: ReadonlyMap<string, number> = new Map(),
  figures: readonly string[] = [],
): SurveyTable {
  const work: Work = { sheet, moved, byName: new Map(sheet.dimensions.map((one) => [one.name, one])) }
  const all = movedWith(sheet, moved)
  return {
    dimensions: sheet.dimensions.map((dimension) => surveyed(work, dimension, all.get(dimension.name) ?? 0)),
    rules: sheet.rules.map((rule) => checked(work, rule, all)),
    read: dimensionsAmong(figures),
  }
}

interface Work {
  readonly sheet: SurveySheet
  readonly moved: ReadonlyMap<string, number>
  readonly byName: ReadonlyMap<string, Dimension>
}

function surveyed(work: Work, dimension: Dimension, by: number): SurveyedDimension {
  const { name, value, values, unit, within, source, note, from, formula } = dimension
  const spread = formula && !work.moved.has(name) ? spreadOf(work, [name], (all) => all.get(name) ?? 0) : undefined
  const off = formula ? spread && { within: spread.likely, worst: spread.worst } : within === undefined ? undefined : { within, worst: within }
  const mostly = spread && [...spread.shares].toSorted(([, a], [, b]) => b - a)[0]?.[0]
  return {
    name,
    value: value + by,
    ...(values && { values: values.map((one) => one + by) }),
    ...(unit && { unit }),
    ...off,
    ...(source && { source: { kind: source.kind, title: source.title } }),
    note,
    from,
    ...(mostly !== undefined && { mostly }),
    site: dimension.site,
  }
}

/** Undefined where one of the dimensions behind has no tolerance: then nothing can be said. */
function spreadOf(
  { sheet, moved, byName }: Work,
  names: readonly string[],
  at: (all: ReadonlyMap<string, number>) => number,
): Spread | undefined {
  const behind = allBehind(sheet, names)
  const tolerances = new Map<string, number>()
  for (const name of behind) {
    const input = byName.get(name)
    if (!input || input.formula) continue
    if (input.within === undefined) return undefined
    tolerances.set(name, input.within)
  }
  return propagate(tolerances, (off) => {
    const given = new Map(moved)
    for (const [name, by] of off) given.set(name, (given.get(name) ?? 0) + by)
    return at(movedWith(sheet, given, behind))
  })
}

function checked(work: Work, { name, compare, site }: Rule, all: ReadonlyMap<string, number>): CheckedRule {
  const sides = (moved: ReadonlyMap<string, number>) =>
    onFullSize(moved, () => {
      const sides: unknown = compare()
      if (!Array.isArray(sides) || !RELATIONS.includes(sides[1])) {
        throw surveyError(`rule "${name}" compares nothing`, "give it both sides: [a.times(14), '=', b]", site)
      }
      const [left, relation, right] = sides as unknown as Comparison
      return { left: mm(left), relation, right: mm(right) }
    })
  const { result, read } = recording(() => sides(all))
  const from = dimensionsAmong(read)
  const spread = spreadOf(work, from, (moved) => {
    const { left, right } = sides(moved)
    return left - right
  })
  const verdict = verdictOf(gapOf(result), spread)
  return { name, ...result, ...(spread && { within: spread.likely, worst: spread.worst }), verdict, from, site }
}

const RELATIONS: readonly unknown[] = ['=', '<=', '>='] satisfies Comparison[1][]

/** How far both sides are from what the rule asks, mm on the subject. */
export function gapOf({ left, relation, right }: Pick<CheckedRule, 'left' | 'relation' | 'right'>): number {
  switch (relation) {
    case '=':
      return Math.abs(left - right)
    case '<=':
      return Math.max(0, left - right)
    case '>=':
      return Math.max(0, right - left)
  }
}

/** What sums may be off by rounding, mm on the subject. */
const ROUNDING = 1e-6

function verdictOf(gap: number, spread: Spread | undefined): CheckedRule['verdict'] {
  if (gap <= (spread?.likely ?? 0) + ROUNDING) return 'holds'
  return !spread || gap <= spread.worst + ROUNDING ? 'doubtful' : 'broken'
}
