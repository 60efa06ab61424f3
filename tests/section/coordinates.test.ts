import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { bench } from '../../lib/length/unit'
import { aerofoil, aerofoilLoop } from '../../lib/section/aerofoil'
import { coordinateSection } from '../../lib/section/coordinates'
import { nacaSection } from '../../lib/section/naca'
import { CHORD_TOLERANCE, type Point } from '../../lib/shape/point'

const file = readFileSync('tests/fixtures/section/naca4412.dat', 'utf8')

/** Points of a published section as a table would list them. */
const listed = (digits: string, steps: number): { upper: Point[]; lower: Point[] } => {
  const section = nacaSection(digits)
  const share = Array.from({ length: steps + 1 }, (_, i) => i / steps)
  return { upper: share.map(section.upper), lower: share.map(section.lower) }
}
const lines = (points: readonly Point[]) => points.map(([x, y]) => `${x} ${y}`).join('\n')
const run = ({ upper, lower }: { upper: Point[]; lower: Point[] }) => [...upper.toReversed(), ...lower.slice(1)]

// tests/fixtures/section/naca4412.dat, rounded to 0.01 % of the chord; the section itself by TM 4741's formula. The
// listed points must be met exactly, and between them the curve must be that of the formula.
test('a coordinate file is met at its points, and lies on the section it stands for', () => {
  const section = coordinateSection(file)
  expect(section.name).toBe('from coordinates')
  const loop = aerofoilLoop(section, 1000)
  for (const row of file.trim().split('\n')) {
    const [x, y] = row.trim().split(/\s+/).map(Number) as [number, number]
    expect(distance([x * 1000, y * 1000], loop)).toBeLessThan(0.011)
  }
  const exact = aerofoilLoop(nacaSection('4412'), 1000)
  const aft = loop.filter(([x]) => x > 25)
  // 0.011 % of rounding, and as much again for what a spline makes of it.
  for (const point of aft) expect(distance(point, exact)).toBeLessThan(0.3)
})

function distance([x, y]: Point, loop: readonly Point[]): number {
  let least = Infinity
  for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
    const [ax, ay] = loop[j]!
    const [dx, dy] = [loop[i]![0] - ax, loop[i]![1] - ay]
    const t = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)))
    least = Math.min(least, Math.hypot(x - ax - t * dx, y - ay - t * dy))
  }
  return least
}

test('a fair curve through 41 points a side is the published section to 0.01 mm at 100 mm', () => {
  const loop = aerofoilLoop(coordinateSection(lines(run(listed('0012', 40)))), 100)
  const exact = aerofoilLoop(nacaSection('0012'), 100)
  for (const point of loop) expect(distance(point, exact)).toBeLessThan(0.02)
})

test('both orders, per cent, the other way round, commas, comments and line ends read alike', () => {
  const table = listed('0015', 20)
  const wanted = aerofoil(coordinateSection(lines(run(table))), bench.mm(60)).area
  const scaled = run(table).map(([x, y]): Point => [x * 100, y * 100])
  const commented = `# a comment\n\nMy section\n${lines(run(table)).replaceAll('\n', '  # remark\r\n')}\r\n`
  const variants = {
    'two blocks': `My section\n21. 21.\n${lines(table.upper)}\n\n${lines(table.lower)}\n`,
    'lower block first': `21 21\n${lines(table.lower)}\n\n${lines(table.upper)}\n`,
    'per cent': lines(scaled),
    'clockwise': lines(run(table).toReversed()),
    'commas': lines(run(table)).replaceAll(' ', ', '),
    'comments and headings': commented,
  }
  for (const [name, text] of Object.entries(variants)) {
    expect(aerofoil(coordinateSection(text), bench.mm(60)).area, name).toBeCloseTo(wanted, 6)
  }
  expect(coordinateSection(commented).name).toBe('My section')
  expect(coordinateSection(commented, { name: 'other' }).name).toBe('other')
})

test('a section drawn elsewhere is brought to the origin and to its chord', () => {
  const shifted = run(listed('0012', 30)).map(([x, y]): Point => [5 + 3 * x, 7 + 3 * y])
  const { bounds } = aerofoil(coordinateSection(lines(shifted)), bench.mm(50))
  expect(bounds.minX).toBeCloseTo(0, 2)
  expect(bounds.maxX).toBeCloseTo(50, 2)
  expect(bounds.maxY).toBeCloseTo(0.0600174 * 50, 2)
})

// tests/fixtures/section/naca6412.txt: its upper surface stands before the origin, at x = -0.0006, just behind the nose.
test('a nose that stands before the end of the chord is read in both orders', () => {
  const rows = readFileSync('tests/fixtures/section/naca6412.txt', 'utf8').trim().split('\n')
  const figures = rows.map((row) => row.trim().split(/\s+/).map(Number) as [number, number, number, number])
  const upper = figures.map(([x, y]): Point => [x, y])
  const lower = figures.map(([, , x, y]): Point => [x, y])
  const exact = aerofoilLoop(nacaSection('6412'), 100)
  for (const text of [`64 64\n${lines(upper)}\n\n${lines(lower)}`, lines(run({ upper, lower }))]) {
    const loop = aerofoilLoop(coordinateSection(text), 100)
    // Both outlines are made of chords.
    for (const point of loop) expect(distance(point, exact)).toBeLessThan(2 * CHORD_TOLERANCE)
  }
})

// A double wedge 10 % thick: area ½ · chord · thickness.
test('slab sides stay straight where asked for', () => {
  const wedge = '1 0\n0.5 0.05\n0 0\n0.5 -0.05\n1 0'
  const shape = aerofoil(coordinateSection(wedge, { join: 'straight' }), bench.mm(100))
  expect(Math.abs(shape.area - 500)).toBeLessThan(0.05)
  expect(shape.contains(bench.mm(25), bench.mm(2.49))).toBe(true)
  expect(shape.contains(bench.mm(25), bench.mm(2.51))).toBe(false)
})

const PAIRS = 'write x and y, two numbers a line'
const ROUND = 'put the points in order round the section'

test.each([
  ['nothing', '', `coordinates: 0 points, a section needs 3 or more. ${PAIRS}`],
  ['two points', '1 0\n0 0\n', `coordinates: 2 points, a section needs 3 or more. ${PAIRS}`],
  [
    'a word',
    'Title\n1 0\n0.5 0.1\nmiddle\n0 0\n0.5 -0.1',
    `coordinates, line 4: "middle" is not a pair of numbers. ${PAIRS}`,
  ],
  ['three numbers', '1 0\n0.5 0.1 7\n0 0', `coordinates, line 2: "0.5 0.1 7" is not a pair of numbers. ${PAIRS}`],
  ['NaN', '1 0\n0.5 NaN\n0 0', `coordinates, line 2: "0.5 NaN" is not a pair of numbers. ${PAIRS}`],
  ['Infinity', '1 0\n0.5 Infinity\n0 0', `coordinates, line 2: "0.5 Infinity" is not a pair of numbers. ${PAIRS}`],
  [
    'a row out of place',
    '1 0\n0.2 0.08\n0.5 0.1\n0 0\n0.5 -0.1\n1 0',
    `coordinates, line 3: x goes back from 0.2 to 0.5 on the way to the leading edge. ${ROUND}`,
  ],
  [
    'a row twice',
    '1 0\n0.5 0.1\n0.5 0.1\n0 0\n0.5 -0.1\n1 0',
    `coordinates, line 3: the point 0.5 0.1 is given twice. ${ROUND}`,
  ],
  [
    'a wrong count',
    'Title\n3 4\n0 0\n0.5 0.1\n1 0\n0 0\n0.5 -0.1\n1 0',
    'coordinates, line 2: it announces 3 + 4 points, 6 follow. correct the counts, or complete the table',
  ],
  [
    'one surface',
    '0 0\n0.5 0.1\n1 0',
    'coordinates, line 1: the leading edge, the least x of 0, is at the end of the table. begin at the trailing edge ' +
      'and go round; or write two blocks from the leading edge after a line of their counts',
  ],
])('%s is refused', (_, text, message) => {
  expect(() => coordinateSection(text)).toThrow(expect.objectContaining({ message }))
})
