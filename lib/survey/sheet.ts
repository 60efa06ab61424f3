import { FindingError } from '../finding/finding'
import { callSite } from '../finding/site'
import { mm } from '../length/length'
import type { Dimension, SurveySheet } from './dimension'
import { type AnySurvey, sheetOf } from './dimensions'
import { onFullSize } from './fullSize'
import { surveyError } from './onSubject'

/**
 * Several surveys as one.
 *
 * @throws FindingError for what is no survey, and for a name that two of them have
 */
export function joinSurveys(surveys: readonly AnySurvey[]): SurveySheet {
  const sheets = surveys.map((survey) => {
    const sheet = sheetOf(survey)
    if (sheet) return sheet
    throw surveyError('the survey of the model is none', 'make it with dimensions({ … })', callSite())
  })
  const seen = new Map<string, Dimension>()
  for (const dimension of sheets.flatMap((sheet) => sheet.dimensions)) {
    const { name, site } = dimension
    if (seen.has(name)) {
      throw surveyError(`dimension "${name}" is in two surveys of the model`, 'rename one of them', site, name)
    }
    seen.set(name, dimension)
  }
  return { dimensions: [...seen.values()], rules: sheets.flatMap(({ rules }) => rules) }
}

/**
 * How far every dimension stands off what the survey says, mm on the subject, when some are moved: formulas follow.
 * One with a formula that is moved itself no longer follows it.
 *
 * @param only the dimensions that matter; all of them unless given
 */
export function movedWith(
  sheet: SurveySheet,
  given: ReadonlyMap<string, number>,
  only?: ReadonlySet<string>,
): Map<string, number> {
  const moved = new Map(given)
  for (const { name, value, formula } of inOrder(sheet)) {
    if (!formula || given.has(name) || only?.has(name) === false) continue
    const now = onFullSize(moved, () => mm(formula()))
    if (!Number.isFinite(now)) throw notFinite(name)
    if (now !== value) moved.set(name, now - value)
  }
  return moved
}

/** The dimensions that these are worked out from, step by step, and these. */
export function allBehind(sheet: SurveySheet, names: readonly string[]): Set<string> {
  const byName = new Map(sheet.dimensions.map((dimension) => [dimension.name, dimension]))
  const found = new Set<string>()
  const visit = (name: string): void => {
    if (found.has(name)) return
    found.add(name)
    for (const input of byName.get(name)?.from ?? []) visit(input)
  }
  for (const name of names) visit(name)
  return found
}

/** Every dimension after those its formula reads. */
function inOrder({ dimensions }: SurveySheet): readonly Dimension[] {
  const byName = new Map(dimensions.map((dimension) => [dimension.name, dimension]))
  const ordered = new Set<Dimension>()
  const visit = (dimension: Dimension): void => {
    if (ordered.has(dimension)) return
    for (const input of dimension.from) {
      const found = byName.get(input)
      if (found) visit(found)
    }
    ordered.add(dimension)
  }
  for (const dimension of dimensions) visit(dimension)
  return [...ordered]
}

function notFinite(name: string): FindingError {
  const text = `the formula of dimension "${name}" gives no finite length with the values asked for`
  return new FindingError({ id: 'survey', severity: 'error', text, remedy: 'ask for other values', dimension: name })
}
