import { expect, test } from 'vitest'
import { bench, full } from '../../lib/length/unit'
import { leastRadius } from '../../lib/stock/behaviour'
import type { Figure } from '../../lib/stock/card'
import { BUILT_IN_STOCKS, builtInStock, catalogue, overrideThickness } from '../../lib/stock/catalogue'
import { grammage } from '../../lib/stock/basisWeight'
import { sheetSize } from '../../lib/stock/sheetSize'
import { stock } from '../../lib/stock/stock'

// US Government Paper Specification Standards, 1 February 1999: JCP P20 tag board (150 and 250 lb), JCP K10 index
// (110 lb), JCP R10 pressboard Type III. Inches and points from the same rows.
test.each([
  ['folder', 0.28, 245, 0.011],
  ['divider', 0.45, 405, 0.018],
  ['index', 0.23, 200, 0.0091],
] as const)('%s is %d mm and %d g/m² as the standard has it', (id, thickness, weight, inches) => {
  const card = catalogue[id]
  expect(card.thickness).toMatchObject({ value: thickness, nominal: false })
  expect(card.grammage).toMatchObject({ value: weight, nominal: false })
  expect(Math.abs(card.thickness.value - inches * 25.4)).toBeLessThan(0.01)
})

test('pressboard is 0.64 mm (25 pt) by JCP R10, its weight nominal', () => {
  expect(catalogue.pressboard.thickness).toMatchObject({ value: 0.64, nominal: false })
  expect(catalogue.pressboard.grammage.nominal).toBe(true)
})

// JCP L20 vellum-finish cover prints 215 g/m² for 80 lb; a Bristol's grammage follows from its basic size.
test('cover and bristol weigh what their pounds say, within the ±5 % of JCP L20', () => {
  expect(catalogue.cover.grammage.value / grammage({ lb: 80, grade: 'cover' })).toBeCloseTo(1, 1)
  expect(catalogue.bristol.grammage.value).toBeCloseTo(67 * 2.19281, 1)
})

// Ashby, Materials and the Environment: paper and cardboard 480 to 860 kg/m³. The standard's own rows for tag board
// reach 900, and pressboard is pressed harder still.
test('no stock is lighter than newsprint or much denser than tag board', () => {
  for (const card of BUILT_IN_STOCKS) {
    const density = card.grammage.value / card.thickness.value
    expect(density, card.id).toBeGreaterThan(480)
    expect(density, card.id).toBeLessThanOrEqual(1000)
  }
})

test('every figure says where it comes from', () => {
  for (const card of BUILT_IN_STOCKS) {
    const figures: Figure[] = [
      card.thickness,
      card.grammage,
      card.glueLine,
      ...Object.values(card.knife),
      ...Object.values(card.fit),
      ...Object.values(card.fold),
      ...Object.values(card.modulus),
    ]
    for (const { value, source } of figures) {
      expect(Number.isFinite(value), card.id).toBe(true)
      expect(source.length, card.id).toBeGreaterThan(10)
    }
  }
})

// ε = t / (2R + t), worked by hand for 0.28 mm: R = 5 gives 2.72 %, 10 gives 1.38 %, 14 gives 0.99 %, 20 gives 0.70 %.
test.each([
  [5, 0.0272],
  [10, 0.0138],
  [14, 0.0099],
  [20, 0.007],
])('0.28 mm card curled to %d mm is strained %d', (radius, strain) => {
  expect(Math.abs(0.28 / (2 * radius + 0.28) - strain)).toBeLessThan(5e-5)
  expect(leastRadius(0.28, 0.28 / (2 * radius + 0.28))).toBeCloseTo(radius, 9)
})

test('card curls tighter about an axis along the grain', () => {
  for (const { fold } of BUILT_IN_STOCKS) expect(fold.leastCurlAlong.value).toBeLessThan(fold.leastCurlAcross.value)
})

test('a measured thickness takes the derived figures along and leaves the weight', () => {
  const thin = overrideThickness(catalogue.folder, bench.mm(0.14))
  expect(thin.thickness).toEqual({ value: 0.14, source: 'measured', nominal: false })
  expect(thin.grammage).toEqual(catalogue.folder.grammage)
  expect(thin.fold.leastCurlAlong.value).toBeCloseTo(catalogue.folder.fold.leastCurlAlong.value / 2, 9)
  expect(catalogue.folder.thickness.value).toBe(0.28)
})

test("a measured thickness leaves the author's own figures", () => {
  const mine = stock('mine', { like: catalogue.folder, fold: { insideRadius: bench.mm(1) } })
  expect(overrideThickness(mine, bench.points(14)).fold.insideRadius.value).toBe(1)
})

test('an author adds a card in a line', () => {
  const wing = stock('wing', { like: catalogue.divider, thickness: bench.mm(0.5), title: 'grey card' })
  expect(wing).toMatchObject({ id: 'wing', title: 'grey card', thickness: { value: 0.5, nominal: false } })
  expect(wing.grammage.value).toBe(450)
  expect(wing.knife.web.value).toBe(1)
})

test('an author may set every figure', () => {
  const card = stock('blue-2', {
    like: 'index',
    grammage: { lb: 140, grade: 'index' },
    grain: 'short',
    sheet: 'A4',
    margin: { left: bench.mm(10) },
    knife: { web: bench.mm(0.8) },
    fit: { tight: bench.mm(0) },
    fold: { k: 0.4 },
    glueLine: bench.mm(0.03),
    modulus: { along: 7 },
    source: 'measured on three sheets',
  })
  expect(card.sheet).toEqual(sheetSize('A4'))
  expect(card.margin).toEqual({ left: 10, right: 6, top: 6, bottom: 6 })
  expect(card.fold.k).toEqual({ value: 0.4, source: 'measured on three sheets', nominal: false })
  expect([card.knife.web.value, card.fit.tight.value, card.glueLine.value, card.modulus.along.value]).toEqual([
    0.8, 0, 0.03, 7,
  ])
})

test('a stock cannot be changed once made', () => {
  expect(() => Object.assign(catalogue.folder.fold.k, { value: 1 })).toThrow(TypeError)
})

test('an unknown built-in stock is answered by the nearest one', () => {
  expect(() => builtInStock('foldr')).toThrow('there is no built-in stock "foldr". did you mean "folder"?')
})

const folder = catalogue.folder
const MEASURE = 'measure ten sheets in a pile and divide: bench.mm(0.28), or bench.points(11) for 0.011 in'

test.each<[string, () => unknown, string]>([
  [
    'thickness 0',
    () => stock('x', { like: folder, thickness: bench.mm(0) }),
    `stock "x": thickness of 0 mm, it must be above 0 mm. ${MEASURE}`,
  ],
  [
    'thickness below 0',
    () => overrideThickness(folder, bench.mm(-0.3)),
    `stock "folder": thickness of -0.3 mm, it must be above 0 mm. ${MEASURE}`,
  ],
  [
    'points given as millimetres',
    () => overrideThickness(folder, bench.mm(11)),
    `stock "folder": thickness of 11 mm, card is at most 5 mm. ${MEASURE}`,
  ],
  [
    'NaN',
    () => stock('x', { like: folder, thickness: bench.mm(Number.NaN) }),
    'bench.mm(NaN) is not a length. give it a finite number',
  ],
  [
    'a full-size thickness',
    () => stock('x', { like: folder, thickness: full.mm(0.3) }),
    'stock "x": thickness is given at full size, card does not scale. write it with bench: bench.mm(0.3)',
  ],
  [
    'a bare number',
    () => stock('x', { like: folder, thickness: 0.3 as never }),
    'stock "x": thickness is 0.3, a length is meant. write it as bench.mm(0.3) or bench.points(12)',
  ],
  [
    'a thickness in plies',
    () => stock('x', { like: folder, thickness: bench.plies('folder', 2) }),
    'stock "x": thickness is counted in plies of a stock. write it in mm or points: bench.mm(0.3)',
  ],
  [
    'margins wider than the sheet',
    () => stock('x', { like: folder, sheet: 'A10', margin: bench.mm(15) }),
    'stock "x": the left and right margins take 30 mm, the sheet "A10" is 26 mm wide. ' +
      'make the margins smaller or the sheet larger',
  ],
  [
    'margins higher than a letter sheet',
    () => stock('x', { like: folder, margin: { top: bench.in(6), bottom: bench.in(6) } }),
    'stock "x": the top and bottom margins take 304.8 mm, the sheet "letter" is 279.4 mm high. ' +
      'make the margins smaller or the sheet larger',
  ],
  [
    'a margin below 0',
    () => stock('x', { like: folder, margin: { top: bench.mm(-1) } }),
    'stock "x": top margin of -1 mm, it must be 0 mm or more. give what the printer leaves blank',
  ],
  [
    'a weight below 0',
    () => stock('x', { like: folder, grammage: -245 }),
    'stock "x": grammage of -245 g/m², it must be above 0 g/m². give a figure above 0',
  ],
  [
    'a neutral layer outside the card',
    () => stock('x', { like: folder, fold: { k: 1.5 } }),
    'stock "x": fold.k of 1.5, it lies from 0 to 1. leave it at 0.5 unless a test strip says otherwise',
  ],
  [
    'a knife that cuts nothing',
    () => stock('x', { like: folder, knife: { web: bench.mm(0) } }),
    'stock "x": knife.web of 0 mm, it must be above 0 mm. give a figure above 0',
  ],
  [
    'a misspelt option',
    () => stock('x', { like: folder, thicknes: bench.mm(0.3) } as never),
    'stock "x" has no "thicknes". did you mean "thickness"?',
  ],
  [
    'a misspelt limit',
    () => stock('x', { like: folder, knife: { wep: bench.mm(1) } } as never),
    'stock "x": knife has no "wep". did you mean "web"?',
  ],
  [
    'like nothing',
    () => stock('x', { like: undefined as never }),
    "stock \"x\" is like undefined, which is no stock. name the card it is most like: like: catalogue.folder, " +
      "or like: 'folder'",
  ],
  [
    'like an unknown one',
    () => stock('x', { like: 'foldr' }),
    'there is no built-in stock "foldr". did you mean "folder"?',
  ],
  [
    'a grain of no edge',
    () => stock('x', { like: folder, grain: 'up' as never }),
    "stock \"x\": the grain runs \"up\". write 'long' or 'short', the edge it runs along",
  ],
  [
    'an id that is no file name',
    () => stock('My card', { like: folder }),
    '"My card" is not the id of a stock. use small letters, digits and hyphens, a letter first: folder-blue',
  ],
])('%s is refused', (_, work, message) => {
  expect(work).toThrow(expect.objectContaining({ message }))
})
