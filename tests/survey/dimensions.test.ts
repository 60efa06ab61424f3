import { describe, expect, test } from 'vitest'
import { recording } from '../../lib/length/bench'
import { Length, mm } from '../../lib/length/length'
import { bench, full } from '../../lib/length/unit'
import { table } from '../../lib/section/lines'
import { dimensions } from '../../lib/survey/dimensions'
import { joinSurveys } from '../../lib/survey/sheet'
import { drawing, guess, photograph } from '../../lib/survey/source'
import { type SurveyedDimension, surveyTable } from '../../lib/survey/table'
import { atBench, findingOf } from '../helpers/model'

const plan = drawing('general arrangement', { within: full.mm(30) })
const surveyed = (survey: Parameters<typeof joinSurveys>[0][number], moved: Record<string, number> = {}) =>
  surveyTable(joinSurveys([survey]), new Map(Object.entries(moved)))
const named = (survey: Parameters<typeof joinSurveys>[0][number], name: string, moved = {}): SurveyedDimension =>
  surveyed(survey, moved).dimensions.find((one) => one.name === name)!

describe('a survey', () => {
  const survey = dimensions({
    span: { value: full.m(24), within: full.mm(40), source: photograph('from the slipway'), note: 'over the floats' },
    rootChord: { value: full.m(3), source: plan },
    halfSpan: { from: ({ span }) => span.times(0.5) },
    quarter: { from: ({ halfSpan }) => full.mm(mm(halfSpan) / 2) },
  })

  test('gives lengths that say which dimension is read', () => {
    const { result, read } = recording(() => atBench(() => mm(survey.span.plus(survey.rootChord))))
    expect(result).toBe(450)
    expect(read).toEqual(['dimension:rootChord', 'dimension:span', 'scale'])
  })

  test('says of each its value, tolerance, source and note', () => {
    const { site, ...span } = named(survey, 'span')
    expect(span).toEqual({
      name: 'span',
      value: 24000,
      unit: 'm',
      within: 40,
      worst: 40,
      source: { kind: 'photograph', title: 'from the slipway' },
      note: 'over the floats',
      from: [],
    })
    expect(site).toBeDefined()
  })

  test('takes the tolerance of its source where it gives none', () => {
    expect(named(survey, 'rootChord').within).toBe(30)
  })

  test('works out formulas by sums and by numbers alike, and knows what they come from', () => {
    expect(named(survey, 'halfSpan')).toMatchObject({ value: 12000, unit: 'm', within: 20, worst: 20, from: ['span'], mostly: 'span' })
    expect(named(survey, 'quarter')).toMatchObject({ value: 6000, within: 10, from: ['halfSpan'] })
  })

  test('formulas follow a dimension that is moved, and a moved one no longer follows its own', () => {
    const { dimensions: moved } = surveyed(survey, { span: 800 })
    expect(moved.map(({ value }) => value)).toEqual([24800, 3000, 12400, 6200])
    expect(surveyed(survey, { halfSpan: 100 }).dimensions.map(({ value }) => value)).toEqual([24000, 3000, 12100, 6050])
  })
})

describe('a dimension used twice', () => {
  const twice = dimensions({
    x: { value: full.m(2), within: full.mm(50), source: plan },
    y: { value: full.m(1), within: full.mm(30), source: plan },
    nothing: { from: ({ x }) => x.minus(x) },
    alsoNothing: { from: ({ x }) => full.mm(mm(x) - mm(x)) },
    back: { from: ({ sum, y }) => sum.minus(y) },
    sum: { from: ({ x, y }) => x.plus(y) },
    square: { from: ({ x }) => full.mm(Math.sqrt(mm(x) * mm(x))) },
  })

  test('x - x is 0 within 0, written as a sum or in numbers', () => {
    expect(named(twice, 'nothing')).toMatchObject({ value: 0, within: 0, worst: 0 })
    expect(named(twice, 'alsoNothing')).toMatchObject({ value: 0, within: 0, worst: 0 })
  })

  test('x + y - y, through another formula that stands later, is as good as x', () => {
    const back = named(twice, 'back')
    expect(back.within).toBeCloseTo(50, 9)
    expect(back.worst).toBeCloseTo(50, 9)
  })

  test('the root of x times x is as good as x, not better by the root of two', () => {
    expect(named(twice, 'square').within).toBeCloseTo(50, 3)
  })

  test('two apart add up by their squares, at worst by themselves', () => {
    const sum = named(twice, 'sum')
    expect(sum.within).toBeCloseTo(Math.hypot(50, 30), 9)
    expect(sum.worst).toBeCloseTo(80, 9)
    expect(sum.mostly).toBe('x')
  })
})

test('a length less itself hangs on nothing any more', () => {
  const { span } = dimensions({ span: { value: full.m(24), source: plan } })
  expect(span.times(0.5).dimensions).toEqual({ span: 0.5 })
  expect(span.minus(span).dimensions).toEqual({})
})

test('a table is one dimension of many values, and its rows make a curve', () => {
  const survey = dimensions(
    { length: { value: full.m(6), source: plan } },
    { tables: { beam: { rows: [[full.m(0), full.m(1)], [full.m(6), full.m(3)]], source: plan, note: 'half-breadths' } } },
  )
  const { result, read } = recording(() => atBench(() => mm(table(survey.beam)(full.m(3)))))
  expect(result).toBeCloseTo(2000 / 60, 9)
  expect(read).toContain('dimension:beam')
  expect(named(survey, 'beam', { beam: 50 })).toMatchObject({ values: [1050, 3050], within: 30, note: 'half-breadths' })
})

describe('rules', () => {
  const bays = (bay: number, off: number) =>
    surveyed(
      dimensions(
        {
          bay: { value: full.mm(bay), within: full.mm(2), source: plan },
          porch: { value: full.mm(600), within: full.mm(off), source: plan },
          length: { value: full.m(11.2), within: full.mm(10), source: plan },
        },
        {
          rules: {
            'bays and porches add up to the length': ({ bay, porch, length }) => [bay.times(10).plus(porch.times(2)), '=', length],
            'a porch is no longer than a bay': ({ bay, porch }) => [porch, '<=', bay],
          },
        },
      ),
    ).rules

  // Ten bays of one measure are off together: 10 x 2 mm; the porches 2 x 5 mm; the length 10 mm.
  test('hold within the tolerances of both sides, carried through', () => {
    const [first, second] = bays(1000, 5)
    expect(first).toMatchObject({ left: 11_200, relation: '=', right: 11_200, verdict: 'holds', from: ['bay', 'length', 'porch'] })
    expect(first!.within).toBeCloseTo(Math.hypot(20, 10, 10), 9)
    expect(first!.worst).toBeCloseTo(40, 9)
    expect(second).toMatchObject({ left: 600, relation: '<=', right: 1000, verdict: 'holds' })
  })

  test.each([
    [1002, 'holds'],
    [1003, 'doubtful'],
    [1005, 'broken'],
    [995, 'broken'],
  ])('with bays of %d mm: %s', (bay, verdict) => {
    expect(bays(bay, 5)[0]!.verdict).toBe(verdict)
  })

  test('of more or less are broken on one side alone', () => {
    expect(bays(550, 5)[1]!.verdict).toBe('broken')
    expect(bays(596, 5)[1]!.verdict).toBe('holds')
  })
})

describe('what is no survey', () => {
  const said = (work: () => unknown) => {
    const { text, remedy } = findingOf(work)
    return `${text}. ${remedy}`
  }

  test.each<[string, () => unknown, string]>([
    ['a bench length', () => dimensions({ tab: bench.mm(3) }), 'dimension "tab" has a part on the bench, and a survey holds the subject\'s own size. write it with full: full.m(1.2)'],
    ['a bare number', () => dimensions({ span: { value: 24 as unknown as Length } }), 'dimension "span" is 24, which is no length. write its unit: full.m(1.2)'],
    ['a negative tolerance', () => dimensions({ span: { value: full.m(24), within: full.mm(-5) } }), 'the tolerance of dimension "span" is -5 mm. give one above 0'],
    ['a negative tolerance of a source', () => drawing('sheet 2', { within: full.mm(-1) }), 'the tolerance of drawing "sheet 2" is -1 mm. give one above 0'],
    ['a source without a name', () => guess(' '), "a guess without a name. say which one: drawing('general arrangement, sheet 2')"],
    ['a word for a source', () => dimensions({ span: { value: full.m(1), source: 'sheet 2' as never } }), 'the source of dimension "span" is "sheet 2". write one of drawing(\'…\'), photograph(\'…\'), handbook(\'…\'), ownMeasurement(\'…\'), guess(\'…\')'],
    ['a circle', () => dimensions({ a: { from: ({ b }) => b }, b: { from: ({ a }) => a } }), 'the formulas go in a circle: a from b from a. give one of them a value'],
    ['a formula that fails', () => dimensions({ a: { from: () => { throw new Error('no') } } }), 'the formula of dimension "a" failed: no. mend the formula'],
    ['a formula of a number', () => dimensions({ a: full.m(1), b: { from: ({ a }) => mm(a) as unknown as Length } }), 'the formula of dimension "b" is 1000, which is no length. write its unit: full.m(1.2)'],
    ['a formula of card', () => dimensions({ a: { from: () => bench.plies('folder') } }), 'the formula of dimension "a" has a part on the bench, and a survey holds the subject\'s own size. write it with full: full.m(1.2)'],
    ['a name with a dot', () => dimensions({ 'folder.thickness': full.m(1) }), '"folder.thickness" is no name for a dimension. use letters, digits and underscores, and not "scale"'],
    ['the name scale', () => dimensions({ scale: full.m(1) }), '"scale" is no name for a dimension. use letters, digits and underscores, and not "scale"'],
    ['an empty table', () => dimensions({}, { tables: { keel: { rows: [] } } }), 'table "keel" has no rows. give it pairs of a place and the value there'],
    ['one name in two', () => joinSurveys([dimensions({ a: full.m(1) }), dimensions({ a: full.m(2) })]), 'dimension "a" is in two surveys of the model. rename one of them'],
    ['anything else', () => joinSurveys([{ a: full.m(1) }]), 'the survey of the model is none. make it with dimensions({ … })'],
  ])('%s', (_, work, text) => {
    expect(said(work)).toBe(text)
  })

  test('a value made from another dimension, which would not follow it', () => {
    const { span } = dimensions({ span: full.m(24) })
    expect(said(() => dimensions({ half: { value: span.times(0.5) } }))).toBe(
      'dimension "half" is worked out from "span" and stands as a value. ' +
        'write it as a formula, so that it follows: half: { from: ({ span }) => … }',
    )
  })
})
