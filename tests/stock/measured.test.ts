import { describe, expect, test } from 'vitest'
import { bendAllowance } from '../../lib/craft/fold'
import { FindingError } from '../../lib/finding/finding'
import { catalogue } from '../../lib/stock/catalogue'
import { figuresFrom, withMeasured } from '../../lib/stock/measured'
import { parseReadings } from '../../lib/stock/readings'
import { readStockBook, writeStockBook } from '../../lib/stock/readStockBook'
import { asMeasured } from '../../lib/stock/stockBook'

const { folder } = catalogue
const from = (...words: string[]) => figuresFrom(parseReadings(words), folder)
const said = (work: () => unknown) => {
  try {
    work()
  } catch (error) {
    if (error instanceof FindingError) return `${error.finding.text}. ${error.finding.remedy}`
    throw error
  }
  return undefined
}

describe('figures of a stock from its coupons', () => {
  test('a pile gives the thickness, its uncertainty shared among the layers', () => {
    const { thickness } = from('pile=2.80mm,2.84mm')
    expect(thickness!.value).toBeCloseTo(0.282, 9)
    // JCGM 100, 4.3.7 and 4.2.3: ±0.05 mm even is 0.0289 mm, over ten layers; two readings 0.004 mm apart scatter by 0.002.
    expect(thickness!.u).toBeCloseTo(Math.hypot(0.05 / Math.sqrt(3) / 10, 0.002), 6)
  })

  test('a weighed letter sheet gives the grammage', () => {
    // 245 g/m² on 215.9 × 279.4 mm is 14.78 g.
    const { grammage } = from('weight=10:147.8g')
    expect(grammage!.value).toBeCloseTo(245.02, 1)
    expect(grammage!.u).toBeLessThan(0.1)
  })

  test('slots give the fits, less the thickness that was measured', () => {
    const figures = from('pile=2.90mm', 'holds=0.308mm', 'slides=0.336mm', 'drops=0.392mm')
    expect(figures['fit.tight']!.value).toBeCloseTo(0.018, 9)
    expect(figures['fit.sliding']!.value).toBeCloseTo(0.046, 9)
    expect(figures['fit.loose']!.value).toBeCloseTo(0.102, 9)
  })

  test.each([0.3, 0.45, 0.6])('channels folded with a neutral layer at %d of the thickness give it back', (k) => {
    const bend = { thickness: 0.28, radius: folder.fold.insideRadius.value, k }
    // Bend allowance of sheet metal work (Machinery's Handbook): the web between two right-angled folds.
    const over = (web: number) => web - bendAllowance(90, bend) + 2 * (bend.radius + bend.thickness)
    const words = [10, 20, 30].map((web) => `outside=${web}:${over(web).toFixed(4)}mm`)
    const inner = [20, 40].map((web) => `inside=${web}:${(over(web) - 2 * 0.28).toFixed(4)}mm`)
    expect(from(...words, ...inner)['fold.k']!.value).toBeCloseTo(k, 3)
  })

  test('a stiffer strip along the grain', () => {
    const figures = from('droop-along=160mm:13mm,180mm:20mm', 'droop-across=120mm:13mm')
    expect(figures['modulus.along']!.value).toBeGreaterThan(figures['modulus.across']!.value)
    expect(figures['modulus.along']!.u / figures['modulus.along']!.value).toBeGreaterThan(0.1)
  })

  test('what was measured comes in place of the catalogue, and what follows from it follows', () => {
    const stock = withMeasured(folder, from('pile=3.1mm', 'curl-along=5mm:4mm'), '2026-11-25')
    expect(stock.thickness).toMatchObject({ value: 0.31, nominal: false, source: 'measured 2026-11-25, ±0.00577 (95 %)' })
    expect(stock.fold.insideRadius.value).toBeCloseTo(0.155, 9)
    expect(stock.fold.leastCurlAlong.value).toBe(5)
    expect(stock.grammage).toEqual(folder.grammage)
  })
})

describe('readings that cannot be', () => {
  test.each([
    [['pil=2.8mm'], '"pil=2.8mm" is no reading. did you mean "pile"?'],
    [['pile'], 'pile has no value. write it like pile=2.83mm'],
    [['pile=0mm'], 'pile: 0mm is not above 0. write it like pile=2.83mm'],
    [['pile=2.83'], 'pile: "2.83" has no unit. write a number and its unit, such as 0.30mm, 0.012in or 12pt (points of 0.001 in)'],
    [['weight=14.8'], 'weight: "14.8" is no weight above 0 g. write it like weight=14.8g'],
    [['holds=0.29mm', 'holds=0.3mm'], 'holds is given 2 times, it is one figure. write it like holds=0.294mm'],
    [['droop-along=160mm'], 'droop-along: "160mm" is not two figures. write it like droop-along=160mm:14mm'],
    [
      ['pile=28.3mm'],
      'pile: 2.83 mm a layer, folder is taken as 0.28 mm. look at the number of layers or sheets, and at the unit; for another card make a stock of its own',
    ],
    [
      ['pile=2.8mm,3.4mm'],
      'pile: the readings give 0.28 and 0.34 mm a layer. they contradict each other by more than a tenth: count and measure again',
    ],
    [
      ['holds=0.322mm', 'slides=0.308mm'],
      'holds=0.322mm and slides=0.308mm contradict each other. a slot that the card slides into is wider than one it holds in',
    ],
    [
      ['drops=3.9mm'],
      'drops=3.9mm is no slot of the ladder for card of 0.28 mm. read the width beside the slot: they go from 0.252 to 0.392 mm',
    ],
    [
      ['outside=20:20.4mm', 'inside=20:20.3mm'],
      'outside and inside readings differ by 0.1 mm, two walls of 0.28 mm by 0.56 mm. measure both again, each on the channel its number says, close to the folds',
    ],
    [
      ['outside=20:22mm'],
      'the channels measure +2.00 mm over the distance of their scores, outside; card of 0.28 mm gives +0.18 to +0.62 mm. ' +
        'measure over the outer faces with outside=…, between the inner ones with inside=…, folded to a right angle',
    ],
    [
      ['curl-along=3mm:4mm'],
      'curl-along: smooth at 3 mm, creased at 4 mm. the radius that creases comes second and is the smaller one',
    ],
    [
      ['droop-along=100mm:0.5mm'],
      'droop-along: a droop of 0.5 mm over 100 mm. let more hang over: a droop below 2 mm cannot be read with a rule',
    ],
  ])('%j', (words, text) => {
    expect(said(() => from(...words))).toBe(text)
  })

  test('a strip along the grain that is limper than one across it', () => {
    expect(said(() => from('droop-along=120mm:30mm', 'droop-across=120mm:8mm'))).toMatch(
      /^droop-along gives [\d.]+ GPa and droop-across [\d.]+ GPa; card is stiffer along its grain\. are the two strips mixed up/,
    )
  })
})

describe('stock book', () => {
  const entry = { date: '2026-11-25', by: 'calipers', readings: ['pile=3.0mm'], figures: from('pile=3.0mm') } as const
  const later = { date: '2027-01-09', by: 'rule', readings: ['holds=0.315mm'], figures: from('pile=3.0mm', 'holds=0.315mm') } as const
  const book = new Map([['folder', [entry, later]]])

  test('is read as it was written', () => {
    expect(readStockBook(writeStockBook(book))).toEqual(book)
  })

  test('gives the newest figure of each kind', () => {
    const stock = asMeasured(folder, book)
    expect(stock.thickness.source).toMatch(/^measured 2027-01-09/)
    expect(stock.fit.tight.value).toBeCloseTo(0.015, 9)
    expect(asMeasured(catalogue.divider, book)).toBe(catalogue.divider)
  })

  test.each([
    ['{"schema":1,', /^stocks\.json is not JSON: /],
    ['{"schema":1,"stocks":{"folder":[{"date":"then"}]}}', /^stocks\.json: at stocks\.folder\.0\.date expected /],
  ])('torn or foreign: %s', (text, wanted) => {
    expect(said(() => readStockBook(text))).toMatch(wanted)
  })
})
