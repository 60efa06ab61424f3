import type { Finding, Severity } from '../finding/finding'
import { resolveSite } from '../finding/site'
import type { Model } from '../model/model'
import type { Piece } from '../model/piece'
import type { Stock } from '../stock/card'
import { dimensionsAmong, inSubjectMm, inUnit } from '../survey/figure'
import { type CheckedRule, type SurveyedDimension, gapOf } from '../survey/table'
import { type Rule, inMm } from './rule'

/** Figures of the survey that cannot all be right. */
export const surveyRule: Rule = {
  id: 'survey-rule',
  title: 'dimensions that contradict one another',
  check: (model) => model.survey.rules.flatMap((rule) => (rule.verdict === 'holds' ? [] : [conflict(model, rule)])),
}

/** A dimension that is not known well enough for the card that is cut to it. */
export const looseDimension: Rule = {
  id: 'loose-dimension',
  title: 'a tolerance that at this scale is larger than half the card',
  check: (model) => {
    const thinnest = thinnestReaders(model)
    const isLoose = ({ name, within = 0 }: SurveyedDimension) => {
      const stock = thinnest.get(name)
      return stock !== undefined && within / model.scale.ratio > stock.thickness.value / 2
    }
    const loose = new Set(model.survey.dimensions.filter(isLoose).map(({ name }) => name))
    // A formula is as good as what it is worked out from: better sources are found for those.
    const told = model.survey.dimensions.filter(({ name, from }) => loose.has(name) && !from.some((input) => loose.has(input)))
    return told.map((dimension) => tooLoose(model, dimension, thinnest.get(dimension.name)!))
  },
}

/** What a survey leaves out. */
export const surveyGap: Rule = {
  id: 'survey-gap',
  title: 'dimensions without a source or a tolerance, not in the survey, or not read',
  check: ({ survey }) => {
    const { dimensions } = survey
    const known = new Set(dimensions.map(({ name }) => name))
    const read = new Set([...survey.read, ...[...dimensions, ...survey.rules].flatMap(({ from }) => from)])
    const given = dimensions.filter(({ from }) => from.length === 0)
    const [first] = survey.read.filter((name) => !known.has(name))
    return [
      ...(first === undefined ? [] : [stranger(first)]),
      ...gap(given.filter(({ source }) => !source), 'warning', 'no source', 'say where each is from, or guess(…)'),
      ...gap(given.filter(({ within }) => within === undefined), 'warning', 'no tolerance', UNTOLD),
      ...gap(given.filter(({ within }) => within === 0), 'warning', 'a tolerance of 0 mm', UNTOLD),
      ...gap(dimensions.filter(({ name }) => !read.has(name)), 'note', 'no reader', 'use each, or take it out'),
    ]
  },
}

const UNTOLD = 'say how far off each may be: within: full.mm(10), or give its source a tolerance'

function conflict({ survey }: Model, rule: CheckedRule): Finding {
  const { name, left, relation, right, within, worst, from, verdict } = rule
  const unit = survey.dimensions.find((dimension) => from.includes(dimension.name))?.unit
  const gap = gapOf(rule)
  const allowed =
    within === undefined || worst === undefined
      ? 'no tolerance is known for some of them'
      : `their tolerances allow ${inSubjectMm(within)}, at worst ${inSubjectMm(worst)}`
  const site = resolveSite(rule.site)
  return {
    id: 'survey-rule',
    severity: verdict === 'broken' ? 'warning' : 'note',
    text: `"${name}" does not hold: ${inUnit(left, unit)} ${relation} ${inUnit(right, unit)} is out by ${inSubjectMm(gap)}; ${allowed}`,
    remedy: `look again at ${from.join(', ')}`,
    found: gap,
    ...(worst !== undefined && { wanted: worst }),
    ...(site && { site }),
  }
}

/** Of the pieces that read each dimension, the thinnest stock. */
function thinnestReaders({ pieces, stocks }: Model): Map<string, Stock> {
  const thinnest = new Map<string, Stock>()
  const look = ({ reads, stock: id }: Piece): void => {
    const stock = stocks.get(id)!
    for (const name of dimensionsAmong(reads)) {
      const known = thinnest.get(name)
      if (!known || stock.thickness.value < known.thickness.value) thinnest.set(name, stock)
    }
  }
  pieces.forEach(look)
  return thinnest
}

function tooLoose({ scale }: Model, dimension: SurveyedDimension, { id, thickness }: Stock): Finding {
  const { name, within = 0, source, mostly } = dimension
  const [atModel, half] = [within / scale.ratio, thickness.value / 2]
  const site = resolveSite(dimension.site)
  return {
    id: 'loose-dimension',
    severity: 'warning',
    dimension: name,
    text:
      `dimension "${name}" is known within ${inSubjectMm(within)}, ${inMm(atModel)} at ${scale.name}; ` +
      `half of ${id}, the thinnest card cut to it, is ${inMm(half)}`,
    remedy: `find a better source ${better(source, mostly)}`,
    found: atModel,
    wanted: half,
    ...(site && { site }),
  }
}

function better(source: SurveyedDimension['source'], mostly: string | undefined): string {
  if (mostly !== undefined) return `for "${mostly}", which most of it comes from`
  return source ? `than this ${source.kind}${source.kind === 'guess' ? '' : ` (${source.title})`}` : 'for it'
}

function stranger(name: string): Finding {
  return {
    id: 'survey-gap',
    severity: 'error',
    dimension: name,
    text: `dimension "${name}" was read and is in no survey of the model`,
    remedy: "give the model its survey: model('…', { scale: …, survey }, …)",
  }
}

const MOST_NAMED = 12

/** One finding for all of them: there may be hundreds. */
function gap(found: readonly SurveyedDimension[], severity: Severity, what: string, remedy: string): Finding[] {
  const [first] = found
  if (!first) return []
  const names = found.slice(0, MOST_NAMED).map(({ name }) => name)
  const more = found.length > names.length ? ` and ${found.length - names.length} more` : ''
  const has = found.length === 1 ? 'dimension has' : 'dimensions have'
  const site = resolveSite(first.site)
  return [
    {
      id: 'survey-gap',
      severity,
      text: `${found.length} ${has} ${what}: ${names.join(', ')}${more}`,
      remedy,
      found: found.length,
      wanted: 0,
      ...(site && { site }),
    },
  ]
}
