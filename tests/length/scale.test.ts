import { expect, test } from 'vitest'
import { RAILWAY_SCALES, parseScale } from '../../lib/length/scale'

// NEM 010 (MOROP, 2011 edition), read from reprints of its table: scale and nominal gauge in mm of the model of
// standard gauge, 1435 mm. One reprint gives S as 1:60; the standard's text gives 1:64, and 1435/64 = 22.4 agrees.
test.each([
  ['Z', 220, 6.5],
  ['N', 160, 9],
  ['TT', 120, 12],
  ['H0', 87, 16.5],
  ['S', 64, 22.5],
  ['0', 45, 32],
  ['I', 32, 45],
  ['II', 22.5, 64],
  ['III', 16, 89],
  ['V', 11, 127],
  ['VII', 8, 184],
  ['X', 5.5, 260],
])('railway scale %s is 1:%d, near its gauge of %d mm', (name, ratio, gauge) => {
  expect(parseScale(name).ratio).toBe(ratio)
  // The standard rounds gauges: V and VII, taken over from older practice, stand 2.6 % off.
  expect(Math.abs(1435 / ratio / gauge - 1)).toBeLessThan(0.0275)
})

test('all railway scales are in the table above', () => {
  expect(Object.keys(RAILWAY_SCALES)).toHaveLength(12)
})

// ISO 5455:1979, reduction scales.
test.each([1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000])('1:%d of ISO 5455 is a scale', (ratio) => {
  expect(parseScale(`1:${ratio}`)).toEqual({ ratio, name: `1:${ratio}` })
})

// Inch scales, common practice: 1/8 in to the foot is 1:96, 3/16 1:64, 1/4 1:48, 3/8 1:32, 1/2 1:24.
test.each([
  [1 / 8, 96],
  [3 / 16, 64],
  [1 / 4, 48],
  [3 / 8, 32],
  [1 / 2, 24],
])('%d in to the foot is 1:%d', (inches, ratio) => {
  expect(parseScale(`${inches}:12`).ratio).toBe(ratio)
})

test.each([
  ['1:60', 60, '1:60'],
  ['1/72', 72, '1:72'],
  [' 1 : 48 ', 48, '1:48'],
  ['60', 60, '1:60'],
  [60, 60, '1:60'],
  ['1:87.0857', 87.0857, '1:87.0857'],
  ['h0', 87, '1:87'],
] as const)('%j is read', (text, ratio, name) => {
  expect(parseScale(text)).toEqual({ ratio, name })
})

const REMEDY = 'write it as 1:60, 1/72, 60 or a railway scale of NEM 010'
const NAMES = '0, H0, I, II, III, N, S, TT, V, VII, X, Z'

test.each([
  ['1:0', `"1:0" is not a scale. ${REMEDY}`],
  ['0:60', `"0:60" is not a scale. ${REMEDY}`],
  ['-60', `"-60" is not a scale. ${REMEDY}`],
  ['1:60:2', `"1:60:2" is not a scale. ${REMEDY}`],
  ['1:22,5', `"1:22,5" is not a scale. ${REMEDY}`],
  ['', `"" is not a scale. ${REMEDY}`],
  [0, `"0" is not a scale. ${REMEDY}`],
  ['banana', `"banana" is not a scale. ${REMEDY}; use one of: ${NAMES}`],
  [Number.NaN, `"NaN" is not a scale. ${REMEDY}; use one of: ${NAMES}`],
  [Number.POSITIVE_INFINITY, `"Infinity" is not a scale. ${REMEDY}; use one of: ${NAMES}`],
  ['HO', `"HO" is not a scale. ${REMEDY}; did you mean "H0"?`],
  ['2:1', `the scale "2:1" is outside 1:1 to 1:2000. ${REMEDY}`],
  ['1:100000', `the scale "1:100000" is outside 1:1 to 1:2000. ${REMEDY}`],
  ['constructor', `"constructor" is not a scale. ${REMEDY}; use one of: ${NAMES}`],
])('%j is refused', (text, message) => {
  expect(() => parseScale(text)).toThrow(expect.objectContaining({ message }))
})
