import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { bench } from '../../lib/length/unit'
import { loopArea } from '../../lib/shape/measure'
import { CHORD_TOLERANCE, type Point } from '../../lib/shape/point'
import { aerofoilLoop } from '../../lib/section/aerofoil'
import { type Camber, fiveDigitCamber, reflexCamber } from '../../lib/section/camber'
import { naca, nacaSection } from '../../lib/section/naca'
import type { Curve } from '../../lib/section/refine'

/** Parameter of the station x on the chord: the sections are spaced by sin². */
const station = (x: number): number => (2 / Math.PI) * Math.asin(Math.sqrt(x))

// PDAS (R. Carmichael, Public Domain Aeronautical Software), AVD appendices, "NACA Profile 0012": a recomputation of
// the table in Abbott and von Doenhoff, Theory of Wing Sections. Per cent of the chord, four decimals.
const PROFILE_0012: readonly Point[] = [
  [0.5, 1.2213], [0.75, 1.4849], [1.25, 1.8939], [2.5, 2.6147], [5, 3.5547], [7.5, 4.1999], [10, 4.6828],
  [15, 5.3452], [20, 5.7375], [25, 5.9412], [30, 6.0017], [40, 5.803], [50, 5.294], [60, 4.5634], [70, 3.6639],
  [80, 2.6231], [90, 1.4477], [95, 0.8066], [100, 0.126],
]

test('0012 has the ordinates of its published table', () => {
  const { upper, lower } = nacaSection('0012')
  for (const [x, y] of PROFILE_0012) {
    expect(Math.abs(100 * upper(station(x / 100))[1] - y), `upper at ${x} %`).toBeLessThan(5.1e-5)
    expect(Math.abs(100 * lower(station(x / 100))[1] + y), `lower at ${x} %`).toBeLessThan(5.1e-5)
  }
})

// PDAS, AVD appendix III, sections 2412, 4412 and 23012 at given chord stations: x, then xU yU xL yL, per cent.
// PDAS solves r and k₁ of the 230 line again, so 23012 by the tabled .2025 and 15.957 stands up to 0.0012 % off.
test.each([
  ['2412', 6e-5, [1.25, 1.0674, 2.0081, 1.4326, -1.762]],
  ['2412', 6e-5, [10, 9.6498, 5.5447, 10.3502, -3.7947]],
  ['2412', 6e-5, [30, 29.85, 7.8749, 30.15, -4.1249]],
  ['2412', 6e-5, [60, 60.1014, 6.34, 59.8986, -2.7845]],
  ['2412', 6e-5, [100, 100.0084, 0.1257, 99.9916, -0.1257]],
  ['4412', 6e-5, [1.25, 0.8898, 2.1054, 1.6102, -1.6132]],
  ['4412', 6e-5, [10, 9.3054, 6.381, 10.6946, -2.881]],
  ['4412', 6e-5, [30, 29.7003, 9.7442, 30.2997, -2.2442]],
  ['4412', 6e-5, [60, 60.2026, 8.1144, 59.7974, -1.0033]],
  ['23012', 1.3e-3, [1.25, 0.763, 2.1871, 1.737, -1.4734]],
  ['23012', 1.3e-3, [10, 9.7113, 6.3761, 10.2887, -2.9716]],
  ['23012', 1.3e-3, [30, 30.1326, 7.5471, 29.8674, -4.4534]],
  ['23012', 1.3e-3, [60, 60.1008, 5.4462, 59.8992, -3.6783]],
] as const)('%s agrees within %d %% of the chord at station %j', (digits, tolerance, [x, ...wanted]) => {
  const { upper, lower } = nacaSection(digits)
  const found = [...upper(station(x / 100)), ...lower(station(x / 100))]
  found.forEach((value, i) => expect(Math.abs(100 * value - wanted[i]!)).toBeLessThan(tolerance))
})

// tests/fixtures/section/naca6412.txt: PDAS naca456, 64 stations, six decimals.
test('6412 agrees with the published program all round, to its last decimal', () => {
  const rows = readFileSync('tests/fixtures/section/naca6412.txt', 'utf8').trim().split('\n')
  const { upper, lower } = nacaSection('6412')
  expect(rows).toHaveLength(64)
  for (const row of rows) {
    const [xu, yu, xl, yl] = row.trim().split(/\s+/).map(Number) as [number, number, number, number]
    const u = station((xu + xl) / 2)
    const found = [...upper(u), ...lower(u)]
    ;[xu, yu, xl, yl].forEach((wanted, i) => expect(Math.abs(found[i]! - wanted), row).toBeLessThan(1.1e-6))
  }
})

// airfoiltools.com, "NACA 5 digit airfoil generator", 24012: points to six decimals.
test.each([
  [
    'upper',
    [
      [0.926621, 0.013135], [0.794619, 0.032461], [0.540587, 0.062726],
      [0.310278, 0.078646], [0.144248, 0.072811], [0.048771, 0.047489],
    ],
  ],
  ['lower', [[0.060222, -0.025349], [0.307039, -0.04131], [0.615529, -0.033871], [0.879746, -0.013673]]],
] as const)('24012 passes through the published points of its %s surface', (side, points) => {
  const curve = nacaSection('24012')[side]
  for (const [x, y] of points) expect(Math.abs(heightAt(curve, x) - y), `at ${x}`).toBeLessThan(1e-6)
})

/** y where the surface passes x, aft of the nose where x rises steadily. */
function heightAt(curve: Curve, x: number): number {
  let [low, high] = [0.05, 1]
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2
    if (curve(middle)[0] < x) low = middle
    else high = middle
  }
  return curve(low)[1]
}

// NACA Report 460: leading-edge radius r = 1.1019 t² of the chord; PDAS prints 1.587 % for 12 %, 0.705 % for 8 %,
// 1.102 % for 10 %.
test.each([
  ['0012', 1.587],
  ['0008', 0.705],
  ['0010', 1.102],
])('%s has a leading edge of radius %d %%', (digits, wanted) => {
  const [x, y] = nacaSection(digits).upper(1e-4)
  // The circle through the origin, centred on the chord, through a point beside it: r = (x² + y²) / 2x.
  expect(Math.abs((100 * (x * x + y * y)) / (2 * x) - wanted)).toBeLessThan(6e-4)
})

// TM 4741: the sum of the coefficients is 0.0021, so that 12 % leaves 0.00126 of the chord either side; with -0.1036
// for the last it is 0 (both sums are arithmetic).
test('the trailing edge is open as published, or closed', () => {
  expect(nacaSection('0012').upper(1)[1]).toBeCloseTo(0.00126, 9)
  expect(nacaSection('0012', { trailingEdge: 'closed' }).upper(1)[1]).toBeCloseTo(0, 12)
})

test('a closed section ends in one point, an open one in two', () => {
  const open = aerofoilLoop(nacaSection('2412'), 100)
  const closed = aerofoilLoop(nacaSection('2412', { trailingEdge: 'closed' }), 100)
  expect(open.filter(([x]) => x > 99.9)).toHaveLength(2)
  expect(closed.filter(([x]) => x > 99.9)).toHaveLength(1)
})

/** Thin aerofoil theory (Glauert): A₁ and A₂ of the mean line's slope over θ, x = (1 − cos θ)/2, midpoint rule. */
function glauert({ slope }: Camber): { lift: number; moment: number } {
  const n = 20_000
  let [a1, a2] = [0, 0]
  for (let i = 0; i < n; i++) {
    const theta = ((i + 0.5) * Math.PI) / n
    const rise = slope((1 - Math.cos(theta)) / 2)
    a1 += (2 / n) * rise * Math.cos(theta)
    a2 += (2 / n) * rise * Math.cos(2 * theta)
  }
  return { lift: Math.PI * a1, moment: (Math.PI / 4) * (a2 - a1) }
}

function highest({ height }: Camber): number {
  let best = 0
  for (let i = 1; i < 10_000; i++) if (height(i / 10_000) > height(best)) best = i / 10_000
  return best
}

// NACA Report 537: the mean lines 210 to 250 have their highest point at 5 to 25 % of the chord and a design lift
// coefficient of 0.3. The tabled figures keep it to 0.001, but for 220 (0.302) and 210 (0.308).
test.each([
  ['1', 0.05, 0.009],
  ['2', 0.1, 0.0025],
  ['3', 0.15, 0.0005],
  ['4', 0.2, 0.0005],
  ['5', 0.25, 0.0005],
])('mean line 2%s0 is highest at %d of the chord, with design lift 0.3', (position, at, tolerance) => {
  const camber = fiveDigitCamber(position, 0.3)!
  expect(Math.abs(highest(camber) - at)).toBeLessThan(3e-4)
  expect(Math.abs(glauert(camber).lift - 0.3)).toBeLessThan(tolerance)
})

// NACA Report 537: the reflex lines 221 to 251 (figures as PDAS prints them) have no moment about the quarter chord;
// r tabled to three digits leaves up to 0.0013 of it, where the plain lines have 0.006 to 0.02.
test.each([
  ['2', 0.1],
  ['3', 0.15],
  ['4', 0.2],
  ['5', 0.25],
])('mean line 2%s1 is highest at %d of the chord, with no pitching moment', (position, at) => {
  const camber = reflexCamber(position, 0.3)!
  expect(Math.abs(highest(camber) - at)).toBeLessThan(2e-3)
  expect(Math.abs(glauert(camber).moment)).toBeLessThan(1.4e-3)
  expect(glauert(fiveDigitCamber(position, 0.3)!).moment).toBeLessThan(-5e-3)
  expect(camber.height(0)).toBeCloseTo(0, 12)
  expect(camber.height(1)).toBeCloseTo(0, 12)
})

test('the first of five digits scales the camber', () => {
  expect(fiveDigitCamber('3', 0.6)!.height(0.15)).toBeCloseTo(2 * fiveDigitCamber('3', 0.3)!.height(0.15), 12)
  // At mid chord the lower surface of 23012 is below the chord, that of the more cambered 43012 above where it was.
  expect(nacaSection('43012').lower(0.5)[1]).toBeGreaterThan(nacaSection('23012').lower(0.5)[1])
})

const DESIGNATIONS = ['0006', '0012', '2412', '4424', '6412', '21012', '23012', '25021', '23112', '63018']

test('no chord stands further than the tolerance from the curve, at any size', () => {
  fc.assert(
    fc.property(fc.constantFrom(...DESIGNATIONS), fc.double({ min: 2, max: 600, noNaN: true }), (digits, chord) => {
      const section = nacaSection(digits)
      const loop = aerofoilLoop(section, chord)
      for (const curve of [section.upper, section.lower]) {
        for (let i = 0; i <= 700; i++) {
          const [x, y] = curve(i / 700)
          expect(distance([x * chord, y * chord], loop)).toBeLessThanOrEqual(CHORD_TOLERANCE)
        }
      }
    }),
    { numRuns: 25 },
  )
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

test('the outline runs counter-clockwise from the trailing edge, its nose at the origin', () => {
  const loop = aerofoilLoop(nacaSection('2412'), 80)
  expect(loopArea(loop)).toBeGreaterThan(0)
  expect(loop[0]![0]).toBeCloseTo(80, 1)
  expect(loop.some(([x, y]) => x === 0 && y === 0)).toBe(true)
  expect(loop.findIndex(([x, y]) => x > 30 && x < 50 && y > 0)).toBeLessThan(loop.findIndex(([, y]) => y < -1))
})

// Area of a four-digit profile, its polynomial integrated: 10t (2a₀/3 + a₁/2 + a₂/3 + a₃/4 + a₄/5).
test('the area is that of the polynomial, less what the chords cut off', () => {
  const whole = 10 * 0.12 * ((0.2969 * 2) / 3 - 0.126 / 2 - 0.3516 / 3 + 0.2843 / 4 - 0.1015 / 5) * 100 ** 2
  const { area, perimeter } = naca('0012', bench.mm(100))
  expect(area).toBeLessThan(whole)
  expect(area).toBeGreaterThan(whole - perimeter * CHORD_TOLERANCE)
})

test('few points are spent: a rib of 57 mm takes under 100', () => {
  expect(aerofoilLoop(nacaSection('23012'), 57).length).toBeLessThan(100)
})

test.each(['2412', 'NACA 2412', 'naca2412', ' NACA-2412 '])('%j is read as NACA 2412', (written) => {
  expect(nacaSection(written).name).toBe('NACA 2412')
})

const untabled = (digits: string) =>
  `naca: "${digits}" is on the mean line ${digits.slice(0, 3)}, which is not tabled. ` +
  'tabled are 210, 220, 230, 240 and 250, with reflex 221, 231, 241 and 251, and multiples of their first digit'

test.each<[string, () => unknown, string]>([
  [
    'a letter among the digits',
    () => naca('24x2', bench.mm(50)),
    'naca: "24x2" is not the designation of a section. write four digits such as \'2412\', or five such as \'23012\'',
  ],
  [
    'three digits',
    () => naca('241', bench.mm(50)),
    'naca: "241" is not the designation of a section. write four digits such as \'2412\', or five such as \'23012\'',
  ],
  [
    'no thickness',
    () => naca('2400', bench.mm(50)),
    'naca: "2400" has a thickness of 0 % of the chord. its last two digits give the thickness',
  ],
  [
    'camber at the nose',
    () => naca('2012', bench.mm(50)),
    'naca: "2012" has its camber of 2 % at 0 % of the chord. ' +
      'its second digit gives the place of most camber in tenths, 1 to 9',
  ],
  ['an untabled line', () => naca('26012', bench.mm(50)), untabled('26012')],
  ['an untabled reflex', () => naca('21112', bench.mm(50)), untabled('21112')],
  ['no lift', () => naca('03012', bench.mm(50)), untabled('03012')],
  [
    'no chord',
    () => naca('2412', bench.mm(0)),
    'a section NACA 2412 with a chord of 0.000 mm. give it a chord above 0 mm',
  ],
  [
    'a chord below nought',
    () => naca('2412', bench.mm(-5)),
    'a section NACA 2412 with a chord of -5.000 mm. give it a chord above 0 mm',
  ],
  [
    'a bare number',
    () => naca('2412', 50 as never),
    'the bare number 50 was given where a length is meant. ' +
      'write its unit and kind: full.m(1.2) on the subject, bench.mm(3) on the bench',
  ],
  [
    'another trailing edge',
    () => naca('2412', bench.mm(50), { trailingEdge: 'sharp' as never }),
    "naca: the trailing edge is \"sharp\". write 'open' or 'closed'",
  ],
])('%s is refused', (_, work, message) => {
  expect(work).toThrow(expect.objectContaining({ message }))
})
