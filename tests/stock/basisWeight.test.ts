import fc from 'fast-check'
import { expect, test } from 'vitest'
import { BASIC_SIZES, type Grade, basisWeight, grammage } from '../../lib/stock/basisWeight'

// Factors as printed by PrintWiki, "Grammage" (bond 3.760, cover 2.704, tag 1.627, book 1.480) and by a printer
// maker's media guide (bristol 2.19, index 1.81): equal to the digits printed.
test.each([
  ['bond', 3.76, 0.0005],
  ['cover', 2.704, 0.0005],
  ['bristol', 2.19, 0.005],
  ['index', 1.81, 0.005],
  ['tag', 1.627, 0.0005],
  ['book', 1.48, 0.0005],
] as const)('one pound of %s is %d g/m²', (grade, factor, printed) => {
  expect(Math.abs(grammage({ lb: 1, grade }) - factor)).toBeLessThanOrEqual(printed)
})

// Single values as published: PrintWiki (20 lb bond 75.2), media guide (100 lb cover 270.42, 90 lb offset 133.218),
// a mill's calculator (28 lb bond 105.3), a printer's table (50 lb cover 135, 50 lb text 74).
test.each([
  [20, 'bond', 75.2, 0.05],
  [28, 'bond', 105.3, 0.05],
  [100, 'cover', 270.42, 0.01],
  [90, 'book', 133.218, 0.006],
  [50, 'cover', 135, 0.5],
  [50, 'book', 74, 0.5],
] as const)('%d lb %s is %d g/m²', (lb, grade, wanted, printed) => {
  expect(Math.abs(grammage({ lb, grade }) - wanted)).toBeLessThanOrEqual(printed)
})

// US Government Paper Specification Standards (1 February 1999): grammage beside basis weight, rounded by the
// standard to 5 g/m². JCP P20 tag board and JCP K10 index; both allow ±10 %.
test.each([
  [105, 'tag', 170],
  [150, 'tag', 245],
  [165, 'tag', 270],
  [250, 'tag', 405],
  [90, 'index', 165],
  [110, 'index', 200],
  [140, 'index', 255],
  [170, 'index', 305],
] as const)('the standard prints %d lb %s as %d g/m², to the 2.5 it rounds by', (lb, grade, printed) => {
  expect(Math.abs(grammage({ lb, grade }) - printed)).toBeLessThanOrEqual(2.5)
})

// The pound is 453.59237 g and the inch 25.4 mm, both exact (international yard and pound, 1 July 1959).
test('a ream weighed by hand gives the same grammage', () => {
  const squareMetres = 500 * (24 * 0.0254) * (36 * 0.0254)
  expect(grammage({ lb: 150, grade: 'tag' })).toBeCloseTo((150 * 453.59237) / squareMetres, 9)
})

test('pounds to grammage and back is the same weight', () => {
  const grades = fc.constantFrom(...(Object.keys(BASIC_SIZES) as Grade[]))
  fc.assert(
    fc.property(fc.double({ min: 0.1, max: 1000, noNaN: true }), grades, (lb, grade) => {
      expect(basisWeight(grammage({ lb, grade }), grade)).toBeCloseTo(lb, 9)
    }),
  )
})

test.each([
  [{ lb: 0, grade: 'tag' }, 'a basis weight of 0 lb. give the pounds a ream, above 0'],
  [{ lb: Number.NaN, grade: 'tag' }, 'a basis weight of NaN lb. give the pounds a ream, above 0'],
  [{ lb: 90, grade: 'tagg' }, 'there is no grade "tagg". did you mean "tag"?'],
  [{ lb: 90, grade: 'toString' }, 'there is no grade "toString". use one of: bond, book, bristol, cover, index, tag'],
])('%j is refused', (weight, message) => {
  expect(() => grammage(weight as Parameters<typeof grammage>[0])).toThrow(expect.objectContaining({ message }))
})
