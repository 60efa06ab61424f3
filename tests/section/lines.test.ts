import fc from 'fast-check'
import { expect, test } from 'vitest'
import { onBench, recording } from '../../lib/length/bench'
import { Length, mm } from '../../lib/length/length'
import { parseScale } from '../../lib/length/scale'
import { bench, full } from '../../lib/length/unit'
import { table, taper } from '../../lib/section/lines'

const at = <T>(scale: string, work: () => T): T => onBench({ scale: parseScale(scale), thickness: () => 0.28 }, work)

const KEEL = [
  [0, 1.15], [1.2, 0.42], [3.2, 0.1], [6, 0], [8.6, 0], [11.4, 0.42], [14.2, 0.98], [17.2, 1.6],
] as const
const keel = KEEL.map(([x, y]) => [full.m(x), full.m(y)] as const)

// Computed with SciPy 1.17: PchipInterpolator and CubicSpline(bc_type='natural') through the rows above.
test.each([
  [0.3, 0.9198902056514819, 0.9436530729310136],
  [1.9, 0.2607175734091695, 0.20428792762819553],
  [4.4, 0.03692366516053368, 0.0614498371315058],
  [7.3, 0, -0.035625447171751784],
  [9.1, 0.022822521865889202, 0.04537155703748787],
  [12.8, 0.6888658628485307, 0.6960613618545488],
  [16.9, 1.5370695595457735, 1.53770479724974],
])('at %d m the curves are those of another library', (x, monotone, natural) => {
  at('1:1', () => {
    expect(mm(table(keel)(full.m(x)))).toBeCloseTo(monotone * 1000, 8)
    expect(mm(table(keel, { curve: 'natural' })(full.m(x)))).toBeCloseTo(natural * 1000, 8)
  })
})

test('both curves pass through every row, and two rows make a straight line', () => {
  at('1:60', () => {
    for (const curve of ['monotone', 'natural'] as const) {
      for (const [x, y] of keel) expect(mm(table(keel, { curve })(x))).toBeCloseTo(mm(y), 9)
      const line = table([[full.m(0), full.m(1)], [full.m(2), full.m(3)]], { curve })
      expect(mm(line(full.m(0.5)))).toBeCloseTo(25, 9)
    }
  })
})

test('a monotone curve never leaves the two values it lies between', () => {
  const values = fc.array(fc.integer({ min: -1000, max: 1000 }), { minLength: 2, maxLength: 12 })
  fc.assert(
    fc.property(values, fc.double({ min: 0, max: 1, noNaN: true }), (heights, share) => {
      const curve = table(heights.map((y, i) => [bench.mm(i * 10), bench.mm(y)] as const))
      const x = share * (heights.length - 1)
      const i = Math.min(heights.length - 2, Math.floor(x))
      const y = mm(curve(bench.mm(x * 10)))
      expect(y).toBeGreaterThanOrEqual(Math.min(heights[i]!, heights[i + 1]!) - 1e-9)
      expect(y).toBeLessThanOrEqual(Math.max(heights[i]!, heights[i + 1]!) + 1e-9)
    }),
  )
})

test('values keep their kind: full size scales, the bench does not', () => {
  const rows = [
    [full.m(0), full.m(1).plus(bench.mm(2))],
    [full.m(1), full.m(3).plus(bench.mm(4))],
    [full.m(2), full.m(4).plus(bench.mm(4))],
  ] as const
  for (const curve of ['monotone', 'natural'] as const) {
    const value = at('1:50', () => table(rows, { curve })(full.m(1)))
    expect(value.full).toBeCloseTo(3000, 6)
    expect(value.bench).toBeCloseTo(4, 6)
  }
})

test('the dimensions a table was made from are noted', () => {
  const breadth = new Length({ full: 900, dimensions: { beam: 1 } })
  const rows = [[full.m(0), full.m(0)], [full.m(1), breadth], [full.m(2), breadth]] as const
  for (const curve of ['monotone', 'natural'] as const) {
    expect(at('1:50', () => recording(() => mm(table(rows, { curve })(full.m(0.4)))).read)).toContain('dimension:beam')
  }
})

test('a taper is straight and goes on past its ends', () => {
  const chord = taper([full.m(0), full.m(3.4)], [full.m(12), full.m(1.6)])
  at('1:100', () => {
    expect(mm(chord(full.m(0)))).toBeCloseTo(34, 9)
    expect(mm(chord(full.m(6)))).toBeCloseTo(25, 9)
    expect(mm(chord(full.m(13)))).toBeCloseTo(14.5, 9)
    expect(mm(chord(full.m(-2)))).toBeCloseTo(37, 9)
  })
})

const ASK = 'ask within it, or add a row'

test.each<[string, () => unknown, string]>([
  [
    'a place past the end',
    () => at('1:60', () => table(keel)(full.m(18))),
    `table: asked at 300.000 mm, it runs from 0.000 to 286.667 mm at model size. ${ASK}`,
  ],
  [
    'rows out of order',
    () => at('1:1', () => table([keel[0]!, keel[2]!, keel[1]!])(full.m(1))),
    'table: row 3 at 1200.000 mm does not come after row 2 at 3200.000 mm. list the places in rising order, each once',
  ],
  ['a single row', () => table([keel[0]!]), 'table: 1 rows, it needs 2 or more. give at least both ends'],
  [
    'an unknown curve',
    () => table(keel, { curve: 'cubic' as never }),
    "table: a curve \"cubic\". write 'monotone' or 'natural'",
  ],
  [
    'a taper without a length',
    () => taper([bench.mm(3), bench.mm(1)], [bench.mm(3), bench.mm(2)])(bench.mm(1)),
    'taper: both ends are at 3.000 mm. give two places apart',
  ],
])('%s is refused', (_, work, message) => {
  expect(work).toThrow(expect.objectContaining({ message }))
})
