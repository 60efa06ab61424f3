import fc from 'fast-check'
import { expect, test } from 'vitest'
import { mm } from '../../lib/length/length'
import { parseBenchLength } from '../../lib/length/parse'

// 1 in = 25.4 mm exactly; a caliper point is 0.001 in (card trade).
test.each([
  ['0.30mm', 0.3],
  ['0.012in', 0.3048],
  ['12pt', 0.3048],
  [' 1.2 cm ', 12],
  ['.5mm', 0.5],
  ['3.mm', 3],
  ['-2mm', -2],
])('%j is %d mm', (text, wanted) => {
  expect(mm(parseBenchLength(text))).toBeCloseTo(wanted, 12)
})

test('every number of millimetres is read back', () => {
  fc.assert(
    fc.property(fc.integer({ min: -1_000_000, max: 1_000_000 }), (thousandths) => {
      expect(mm(parseBenchLength(`${(thousandths / 1000).toFixed(3)}mm`))).toBe(thousandths / 1000)
    }),
  )
})

const EXAMPLES = 'write a number and its unit, such as 0.30mm, 0.012in or 12pt (points of 0.001 in)'

test.each([
  ['', `--stock folder: "" is not a length. ${EXAMPLES}`],
  ['thick', `--stock folder: "thick" is not a length. ${EXAMPLES}`],
  ['0.3', `--stock folder: "0.3" has no unit. ${EXAMPLES}`],
  ['0,3mm', '--stock folder: "0,3mm" has a decimal comma. write a point: 0.3mm'],
  ['0.3mn', '--stock folder: "0.3mn" has the unit "mn", which there is not. did you mean "mm"?'],
  ['3furlong', '--stock folder: "3furlong" has the unit "furlong", which there is not. use one of: cm, in, mm, pt'],
  ['1:60', `--stock folder: "1:60" is not a length. ${EXAMPLES}`],
  ['NaNmm', `--stock folder: "NaNmm" is not a length. ${EXAMPLES}`],
  ['1e3mm', `--stock folder: "1e3mm" is not a length. ${EXAMPLES}`],
  [
    '1constructor',
    '--stock folder: "1constructor" has the unit "constructor", which there is not. use one of: cm, in, mm, pt',
  ],
])('%j is refused', (text, message) => {
  expect(() => parseBenchLength(text, '--stock folder')).toThrow(expect.objectContaining({ message }))
})
