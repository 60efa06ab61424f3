import { expect, test } from 'vitest'
import { bench } from '../../lib/length/unit'
import { sheetOf, sheetSize } from '../../lib/stock/sheetSize'

// ISO 216:2007, A series, mm; read from reprints of its table, not from the standard itself.
test.each([
  ['A0', 841, 1189],
  ['A1', 594, 841],
  ['A2', 420, 594],
  ['A3', 297, 420],
  ['A4', 210, 297],
  ['A5', 148, 210],
  ['A6', 105, 148],
  ['A7', 74, 105],
  ['A8', 52, 74],
  ['A9', 37, 52],
  ['A10', 26, 37],
])('%s is %d × %d mm by ISO 216', (name, width, height) => {
  expect(sheetSize(name)).toEqual({ name, width, height })
})

// ASME Y14.1, whole millimetres as the standard's table is reprinted.
test.each([
  ['ANSI A', 216, 279],
  ['ANSI B', 279, 432],
  ['ANSI C', 432, 559],
  ['ANSI D', 559, 864],
  ['ANSI E', 864, 1118],
])('%s is %d × %d mm by ASME Y14.1, to the millimetre', (name, width, height) => {
  const size = sheetSize(name)
  expect([Math.round(size.width), Math.round(size.height)]).toEqual([width, height])
})

// US office sizes: 8.5 × 11 and 8.5 × 14 in; the inch of 25.4 mm is exact.
test('letter and legal are exact in inches', () => {
  expect(sheetSize('letter').width).toBeCloseTo(215.9, 9)
  expect(sheetSize('letter').height).toBeCloseTo(279.4, 9)
  expect(sheetSize('legal').height).toBeCloseTo(355.6, 9)
})

test('names are read whatever the case', () => {
  expect(sheetSize(' a4 ').name).toBe('A4')
})

test('a mistyped size is answered by the nearest one', () => {
  expect(() => sheetSize('leter')).toThrow('there is no sheet size "leter". did you mean "letter"?')
})

test("the author's own sheet stands upright, whichever side comes first", () => {
  expect(sheetOf('offcut', bench.mm(300), bench.mm(180))).toEqual({ name: 'offcut', width: 180, height: 300 })
})

test('a sheet without a width is refused', () => {
  expect(() => sheetOf('offcut', bench.mm(0), bench.mm(180))).toThrow(
    'sheet "offcut" of 0 × 180 mm. give both sides a length above 0',
  )
})
