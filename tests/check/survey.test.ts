import { expect, test } from 'vitest'
import { looseDimension, surveyGap, surveyRule } from '../../lib/check/survey'
import type { Rule } from '../../lib/check/rule'
import type { Finding } from '../../lib/finding/finding'
import { mm } from '../../lib/length/length'
import { bench, full } from '../../lib/length/unit'
import { piece } from '../../lib/model/draft'
import { single } from '../../lib/model/family'
import { rectangle } from '../../lib/shape/primitive'
import { type AnySurvey, dimensions } from '../../lib/survey/dimensions'
import { drawing, guess } from '../../lib/survey/source'
import type { Length } from '../../lib/length/length'
import { modelOf } from '../helpers/model'

const plan = drawing('sheet 2', { within: full.mm(6) })

const plate = (code: string, width: Length, stock = 'folder') =>
  single(code, () => piece({ stock }).outline(rectangle(width, bench.mm(20))))

const findings = (rule: Rule, survey: AnySurvey, widths: readonly [Length, string][]): Finding[] =>
  rule
    .check(modelOf(() => widths.map(([width, stock], i) => plate(`P${i + 1}`, width, stock)), { survey }), {
      area: () => ({ minX: 0, minY: 0, maxX: 1000, maxY: 1000 }),
    })
    .map(({ site, ...finding }) => {
      expect(site?.file.endsWith('survey.test.ts') ?? finding.severity === 'error').toBe(true)
      return finding
    })

test('a tolerance is measured against the thinnest card that is cut to the dimension', () => {
  const survey = dimensions({
    length: { value: full.m(3), within: full.mm(12), source: plan },
    width: { value: full.m(1), source: plan },
  })
  const widths: [Length, string][] = [
    [survey.length, 'divider'],
    [survey.length, 'folder'],
    [survey.width, 'folder'],
  ]
  expect(findings(looseDimension, survey, widths)).toEqual([
    {
      id: 'loose-dimension',
      severity: 'warning',
      dimension: 'length',
      text:
        'dimension "length" is known within 12 mm, 0.20 mm at 1:60; ' +
        'half of folder, the thinnest card cut to it, is 0.14 mm',
      remedy: 'find a better source than this drawing (sheet 2)',
      found: 0.2,
      wanted: 0.14,
    },
  ])
  expect(findings(looseDimension, survey, widths.slice(0, 1))).toEqual([])
})

test('a formula that is loose names what most of it comes from, unless that is loose itself', () => {
  const spread = (within: number) => {
    const survey = dimensions({
      bay: { value: full.mm(800), within: full.mm(within), source: guess('from the seats') },
      length: { from: ({ bay }) => bay.times(4) },
    })
    return findings(looseDimension, survey, [
      [survey.length, 'folder'],
      [survey.bay, 'folder'],
    ]).map(({ dimension, remedy }) => [dimension, remedy])
  }
  expect(spread(3)).toEqual([['length', 'find a better source for "bay", which most of it comes from']])
  expect(spread(30)).toEqual([['bay', 'find a better source than this guess']])
})

test('rules that are broken are told with both numbers and what the tolerances allow', () => {
  const told = (bay: number) => {
    const survey = dimensions(
      { bay: { value: full.mm(bay), within: full.mm(1), source: plan }, length: { value: full.m(11.2), within: full.mm(10), source: plan } },
      { rules: { 'bays add up to the length': ({ bay, length }) => [bay.times(14), '=', length] } },
    )
    return findings(surveyRule, survey, [[survey.length, 'folder']])
  }
  expect(told(800)).toEqual([])
  expect(told(801.5)).toMatchObject([{ severity: 'note', found: 21 }])
  expect(told(810)).toEqual([
    {
      id: 'survey-rule',
      severity: 'warning',
      text: '"bays add up to the length" does not hold: 11340 mm = 11200 mm is out by 140 mm; their tolerances allow 17.2 mm, at worst 24 mm',
      remedy: 'look again at bay, length',
      found: 140,
      wanted: 24,
    },
  ])
})

test('what is left out is one finding a kind, however many there are', () => {
  const survey = dimensions({
    a: full.m(1),
    b: { value: full.m(2), within: full.mm(0), source: plan },
    c: { value: full.m(3), source: drawing('sheet 3') },
    half: { from: ({ b }) => b.times(0.5) },
  })
  expect(findings(surveyGap, survey, [[survey.a, 'folder']]).map(({ severity, text }) => `${severity}: ${text}`)).toEqual([
    'warning: 1 dimension has no source: a',
    'warning: 2 dimensions have no tolerance: a, c',
    'warning: 1 dimension has a tolerance of 0 mm: b',
    'note: 2 dimensions have no reader: c, half',
  ])
})

test('read outside a family counts as read', () => {
  const survey = dimensions({ length: { value: full.m(1), source: plan } })
  const model = modelOf(
    () => {
      const count = Math.round(mm(survey.length) / 5)
      return plate('P', bench.mm(count))
    },
    { survey },
  )
  expect(surveyGap.check(model, { area: () => ({ minX: 0, minY: 0, maxX: 1, maxY: 1 }) })).toEqual([])
})

test('a dimension of a survey that the model was not given is an error', () => {
  const other = dimensions({ span: { value: full.m(1), source: plan } })
  expect(findings(surveyGap, dimensions({}), [[other.span, 'folder']])).toEqual([
    {
      id: 'survey-gap',
      severity: 'error',
      dimension: 'span',
      text: 'dimension "span" was read and is in no survey of the model',
      remedy: "give the model its survey: model('…', { scale: …, survey }, …)",
    },
  ])
})
