import { describe, expect, test } from 'vitest'
import { estimateOf } from '../../lib/estimate/estimate'
import { partsCsv } from '../../lib/estimate/partsList'
import { quoteOf } from '../../lib/estimate/quote'
import { estimateText, quoteText } from '../../lib/estimate/text'
import { parseScale } from '../../lib/length/scale'
import type { Piece } from '../../lib/model/piece'
import { type Manifest, manifestOf } from '../../lib/revision/manifest'
import { builtInStock } from '../../lib/stock/catalogue'
import { NO_SURVEY } from '../../lib/survey/table'
import { box, testPiece } from '../sheet/pieces'

const stocks = new Map(['folder', 'divider'].map((id) => [id, builtInStock(id)]))

/** Two frames of 40 × 10 mm, one of two plies, and a folded seat of 20 × 30 mm with a round-cornered hole left out. */
const pieces: Piece[] = [
  testPiece('FR-01', box(0, 0, 40, 10), { family: 'FR', stock: 'divider', notes: ['thin, "tight" fit'] }),
  testPiece('FR-02', box(0, 0, 40, 10), { family: 'FR', stock: 'divider', plies: 2 }),
  testPiece('SE-01', box(0, 0, 20, 30), {
    family: 'SE',
    copies: 3,
    openings: [{ kind: 'opening', loop: box(5, 5, 9, 8).toReversed() }],
    scores: [{ fold: 'valley', line: [[0, 15], [20, 15]], angle: 90 }],
    notes: ['=SUM(1)'],
  }),
]

const manifest: Manifest = manifestOf(
  { name: 'tug', title: 'Tug', pieces, assemblies: [], relations: [], survey: NO_SURVEY, findings: [], scale: parseScale('1:60'), stocks },
  ['folder', 'divider'].map((id) => ({
    stock: stocks.get(id)!,
    sheets: 1,
    placements: pieces
      .filter(({ stock }) => stock === id)
      .flatMap(({ mark, copies, plies }) =>
        Array.from({ length: copies * plies }, (_, i) => ({ id: i === 0 ? mark : `${mark}#${i + 1}`, sheet: 0, x: 20 + 50 * i, y: 40, turn: 0 })),
      ),
  })),
)

describe('estimate', () => {
  const estimate = estimateOf(manifest)

  test('counts cards, card, cuts and scores of each stock', () => {
    const [divider, folder] = estimate.stocks
    expect(divider).toMatchObject({ id: 'divider', pieces: 3, sheets: 1, area: 1200, cut: 300, score: 0 })
    // 20 × 30 less a hole of 4 × 3; round both; three of them.
    expect(folder).toMatchObject({ id: 'folder', pieces: 3, sheets: 1, area: 3 * 588, cut: 3 * 114, score: 60 })
    expect(estimate.total).toMatchObject({ pieces: 6, sheets: 2, area: 1200 + 3 * 588, cut: 642, score: 60 })
  })

  test('a cut that parts two pieces counts once', () => {
    // The three frames side by side: two edges of 10 mm fewer; the hours are reckoned by piece all the same.
    const row = manifest.pieces.map((piece) => ({
      ...piece,
      placements: piece.placements.map((place, i) => ({ ...place, x: piece.mark === 'FR-01' ? 20 : 60 + 40 * i })),
    }))
    const { stocks: needs, hours } = estimateOf({ ...manifest, pieces: row.filter(({ family }) => family === 'FR') })
    expect(needs[0]).toMatchObject({ id: 'divider', cut: 300 - 20 })
    expect(hours.cut.likely).toBeCloseTo(300 / 30 / 60, 9)
  })

  test('hours by rule of thumb: the parts add up, and the range lies about them', () => {
    const { cut, formed, glued, total } = estimate.hours
    expect(cut.likely).toBeCloseTo(642 / 30 / 60, 9)
    expect(formed.likely).toBeCloseTo((3 * 2) / 60, 9)
    expect(glued.likely).toBeCloseTo((6 * 6) / 60, 9)
    expect(total.likely).toBeCloseTo(cut.likely + formed.likely + glued.likely, 9)
    expect(total.low).toBeLessThan(total.likely)
    expect(total.high).toBeGreaterThan(total.likely)
  })

  test('says that it is one, and where its rates come from', () => {
    expect(estimateText(estimate)).toMatchInlineSnapshot(`
      "Tug, 1:60: an estimate, not a promise
        card      pieces   sheets                    area used     cut   score
        divider        3        1   12 cm² (2 % of the sheets)   0.3 m   0.0 m
        folder         3        1   18 cm² (3 % of the sheets)   0.3 m   0.1 m
        all            6        2                       30 cm²   0.6 m   0.1 m
      hours: 1.1 h (0.5 to 1.6) in all
        cutting                        0.4 h (0.0 to 0.7)     at 33 min a metre: a rule of thumb, until the logbook has entries
        folding, rolling and curling   0.1 h (0.0 to 0.2)     at 2.0 min a piece: a rule of thumb, until the logbook has entries
        fitting and gluing             0.6 h (0.2 to 1.0)     at 6.0 min a piece: a rule of thumb, until the logbook has entries
      blades: 1, from 1 to 1
      "
    `)
  })
})

describe('quote', () => {
  const quote = quoteOf(estimateOf(manifest), { hour: 30, sheet: new Map([['folder', 0.4]]), spare: 0.25 })

  test('rounds spare sheets up, prices what has a price, and names what has none', () => {
    expect(quote.lines[1]).toMatchObject({ unit: 'sheets', quantity: { likely: 2 }, price: 0.4, sum: { likely: 0.8, low: 0.4, high: 0.8 } })
    const hours = quote.lines.filter(({ unit }) => unit === 'hours').reduce((sum, { quantity }) => sum + quantity.likely, 0)
    expect(quote.total.likely).toBeCloseTo(0.8 + 30 * hours, 9)
    expect(quote.unpriced).toEqual(['manila divider card, 18 pt (divider), 0.45 mm, letter', 'knife blades'])
    expect(quoteText(quote, 'Tug')).toContain('not in the total, no price given: manila divider card')
  })

  test('without prices gives quantities alone', () => {
    const text = quoteText(quoteOf(estimateOf(manifest), { sheet: new Map(), spare: 0 }), 'Tug')
    expect(text).not.toContain('total')
    expect(text).toContain('fitting and gluing')
  })
})

test('the parts list is comma-separated values as RFC 4180 has them, with nothing a spreadsheet would run', () => {
  const lines = partsCsv(manifest).split('\r\n')
  expect(lines[0]).toBe('mark,family,assembly,stock,plies,copies,cards,sheets,width,height,area,cut,score,folds,notes,fingerprint')
  expect(lines[1]).toMatch(/^FR-01,FR,,divider,1,1,1,divider-01,40\.00,10\.00,400\.0,100\.0,0\.0,0,"thin, ""tight"" fit",[0-9a-f]{16}$/)
  expect(lines[3]).toMatch(/^SE-01,SE,,folder,1,3,3,folder-01,20\.00,30\.00,588\.0,114\.0,20\.0,1, =SUM\(1\),[0-9a-f]{16}$/)
  expect(lines.at(-1)).toBe('')
})
