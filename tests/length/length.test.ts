import fc from 'fast-check'
import { expect, test } from 'vitest'
import { onBench, recording } from '../../lib/length/bench'
import { ZERO, between, longest, mm, shortest, total, Length } from '../../lib/length/length'
import { parseScale } from '../../lib/length/scale'
import { bench, full } from '../../lib/length/unit'

const CARD: Record<string, number> = { folder: 0.28, divider: 0.45 }
const at = <T>(scale: string, work: () => T): T =>
  onBench({ scale: parseScale(scale), thickness: (id) => CARD[id]! }, work)

// International yard and pound, 1 July 1959: the inch is 25.4 mm, the foot 304.8 mm, the yard 914.4 mm, exactly.
test('inch, foot and yard are exact', () => {
  expect(at('1:1', () => mm(full.in(1)))).toBe(25.4)
  expect(at('1:1', () => mm(full.ft(1)))).toBe(304.8)
  expect(at('1:1', () => mm(full.ft(3)))).toBeCloseTo(914.4, 12)
  expect(at('1:1', () => mm(full.ftIn(5, 8)))).toBeCloseTo(1727.2, 12)
})

// Card trade: a caliper point is 0.001 in. JCP P20 prints 11 pt as 0.28 mm. (A PostScript point is 1/72 in.)
test('a caliper point is a thousandth of an inch', () => {
  expect(mm(bench.points(11))).toBeCloseTo(0.2794, 12)
  expect(mm(bench.points(1))).not.toBeCloseTo(25.4 / 72, 2)
})

// Common practice: at 1:72 an inch stands for six feet.
test('six feet at 1:72 are an inch', () => {
  expect(at('1:72', () => mm(full.ft(6)))).toBeCloseTo(25.4, 12)
})

test('full size shrinks, the bench and its card do not', () => {
  const length = full.m(1.2).plus(bench.mm(3)).plus(bench.plies('folder', 2))
  expect(at('1:60', () => mm(length))).toBeCloseTo(20 + 3 + 0.56, 12)
  expect(at('1:120', () => mm(length))).toBeCloseTo(10 + 3 + 0.56, 12)
})

const lengths = fc
  .tuple(fc.integer({ min: -5000, max: 5000 }), fc.integer({ min: -50, max: 50 }), fc.integer({ min: -9, max: 9 }))
  .map(([size, extra, plies]) => full.mm(size).plus(bench.mm(extra)).plus(bench.plies('divider', plies)))

test('sums, differences and products are those of the millimetres', () => {
  fc.assert(
    fc.property(lengths, lengths, fc.integer({ min: -20, max: 20 }), (a, b, factor) =>
      at('1:48', () => {
        expect(mm(a.plus(b))).toBeCloseTo(mm(a) + mm(b), 8)
        expect(mm(a.minus(b))).toBeCloseTo(mm(a) - mm(b), 8)
        expect(mm(a.times(factor))).toBeCloseTo(mm(a) * factor, 8)
        expect(mm(between(a, b, 0.25))).toBeCloseTo(0.75 * mm(a) + 0.25 * mm(b), 8)
        expect(mm(a.plus(a.negative()))).toBeCloseTo(0, 8)
        expect(mm(longest(a, b))).toBe(Math.max(mm(a), mm(b)))
        expect(mm(shortest(a, b))).toBe(Math.min(mm(a), mm(b)))
      }),
    ),
  )
})

test('the sum of nothing is 0 mm', () => {
  expect(mm(total())).toBe(0)
  expect(mm(total(bench.mm(1), bench.mm(2)))).toBe(3)
})

test('a ratio of lengths is taken at model size', () => {
  expect(at('1:60', () => full.mm(600).over(bench.mm(5)))).toBe(2)
})

test('a length never changes', () => {
  expect(() => Object.assign(bench.mm(1), { bench: 2 })).toThrow(TypeError)
})

test('what was read is noted: the scale, the stock, the dimension', () => {
  const span = new Length({ full: 12_000, dimensions: { span: 1 } })
  const { read } = at('1:60', () => recording(() => mm(span.times(0.5).plus(bench.mm(1)))))
  expect(read).toEqual(['dimension:span', 'scale'])
  expect(at('1:60', () => recording(() => mm(bench.mm(1)))).read).toEqual([])
})

test('an inner reading counts outside too', () => {
  const { result, read } = at('1:60', () => recording(() => recording(() => mm(full.m(1))).read))
  expect([result, read]).toEqual([['scale'], ['scale']])
})

test('the bench before comes back even after an error', () => {
  at('1:10', () => {
    expect(() =>
      at('1:20', () => {
        throw new Error('slip')
      }),
    ).toThrow('slip')
    expect(mm(full.m(1))).toBe(100)
  })
})

const PRODUCT = 'a length was multiplied by NaN. multiply by a finite number'

test.each<[string, () => unknown, string]>([
  [
    'a full-size length outside a model',
    () => mm(full.m(1)),
    'a full-size length was turned into millimetres outside the model, where no scale is known. ' +
      "move the shape or the calculation inside the family's or the model's function",
  ],
  [
    'plies outside a model',
    () => mm(bench.plies('folder')),
    'a thickness in plies was turned into millimetres outside the model, where no scale is known. ' +
      "move the shape or the calculation inside the family's or the model's function",
  ],
  [
    'a bare number',
    () => mm(3 as never),
    'the bare number 3 was given where a length is meant. ' +
      'write its unit and kind: full.m(1.2) on the subject, bench.mm(3) on the bench',
  ],
  [
    'a bare number in a sum',
    () => bench.mm(1).plus(2 as never),
    'the bare number 2 was given where a length is meant. ' +
      'write its unit and kind: full.m(1.2) on the subject, bench.mm(3) on the bench',
  ],
  ['NaN', () => full.m(Number.NaN), 'full.m(NaN) is not a length. give it a finite number'],
  ['Infinity', () => bench.mm(Number.POSITIVE_INFINITY), 'bench.mm(Infinity) is not a length. give it a finite number'],
  ['text', () => bench.plies('folder', '2' as never), 'bench.plies(2) is not a length. give it a finite number'],
  ['a product with NaN', () => bench.mm(1).times(Number.NaN), PRODUCT],
  ['a share of NaN', () => between(ZERO, ZERO, 0 / 0), PRODUCT],
  ['division by 0 mm', () => bench.mm(1).over(ZERO), 'a length was divided by a length of 0 mm. give a length above 0'],
])('%s is refused', (_, work, message) => {
  expect(work).toThrow(expect.objectContaining({ message }))
})

test('an error names the line it was made on', () => {
  const error = (() => {
    try {
      return full.m(Number.NaN)
    } catch (caught) {
      return caught
    }
  })()
  expect(error).toMatchObject({ finding: { id: 'length', severity: 'error', site: { file: __filename } } })
})
