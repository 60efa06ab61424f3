import fc from 'fast-check'
import { expect, test } from 'vitest'
import { ZERO, mm } from '../../lib/length/length'
import { bench } from '../../lib/length/unit'
import { roundedBox } from '../../lib/section/box'
import { doubleLobe } from '../../lib/section/doubleLobe'
import { type HalfBreadth, hullFrame } from '../../lib/section/hullFrame'
import { ellipse, superellipse } from '../../lib/section/oval'
import { roundedPolygon } from '../../lib/section/roundedPolygon'
import { CHORD_TOLERANCE } from '../../lib/shape/point'
import type { Shape } from '../../lib/shape/shape'

/** Chords of a convex outline lie inside it: the area falls short, by no more than the tolerance all round. */
function expectArea({ area, perimeter }: Shape, wanted: number): void {
  expect(area).toBeLessThanOrEqual(wanted + 1e-6)
  expect(area).toBeGreaterThan(wanted - perimeter * CHORD_TOLERANCE)
}

test('an ellipse has the area πab', () => {
  fc.assert(
    fc.property(fc.double({ min: 1, max: 300, noNaN: true }), fc.double({ min: 1, max: 300, noNaN: true }), (w, h) => {
      expectArea(ellipse(bench.mm(w), bench.mm(h)), (Math.PI * w * h) / 4)
    }),
    { numRuns: 40 },
  )
})

// Lamé curves, from memory: the diamond n = 1 has 2ab, the squircle n = 4 Γ(1/4)²/(2√π) = 3.7081493546 ab, the
// ellipse π ab; for any n it is 4ab Γ(1 + 1/n)² / Γ(1 + 2/n), for n = 2.5 with Γ(1.4) = 0.8872638, Γ(1.8) = 0.9313838.
test.each([
  [1, 2],
  [2, Math.PI],
  [2.5, (4 * 0.8872638175 ** 2) / 0.9313837710],
  [4, 3.7081493546],
])('a superellipse of exponent %d has the area %d ab', (exponent, share) => {
  expectArea(superellipse(bench.mm(40), bench.mm(60), exponent), share * 20 * 30)
})

test('a superellipse is as wide and high as asked, and the same all four ways', () => {
  const { region, bounds } = superellipse(bench.mm(40), bench.mm(30), 3.2)
  expect(bounds).toEqual({ minX: -20, maxX: 20, minY: -15, maxY: 15 })
  const places = new Set(region[0]!.map(([x, y]) => `${Math.abs(x)} ${Math.abs(y)}`))
  expect(places.size).toBe((region[0]!.length - 4) / 4 + 2)
})

test('a rounded box loses (4 − π) r² at its corners', () => {
  expectArea(roundedBox(bench.mm(50), bench.mm(30), bench.mm(8)), 1500 - (4 - Math.PI) * 64)
  const two = roundedBox(bench.mm(50), bench.mm(30), { top: bench.mm(10), bottom: ZERO })
  expectArea(two, 1500 - ((4 - Math.PI) * 100) / 2)
  expect(two.bounds).toEqual({ minX: -25, maxX: 25, minY: -15, maxY: 15 })
})

test('corners may meet: a box all radius is a disc', () => {
  expectArea(roundedBox(bench.mm(20), bench.mm(20), bench.mm(10)), Math.PI * 100)
})

// Two circles in common, from memory: A = r² acos((d²+r²−R²)/2dr) + R² acos((d²+R²−r²)/2dR)
// − ½√((−d+r+R)(d+r−R)(d−r+R)(d+r+R)). The section is both discs less that.
test('a double lobe covers both circles', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 5, max: 60, noNaN: true }),
      fc.double({ min: 5, max: 60, noNaN: true }),
      fc.double({ min: 0.05, max: 0.95, noNaN: true }),
      (r1, r2, share) => {
        const d = Math.abs(r1 - r2) + share * (r1 + r2 - Math.abs(r1 - r2))
        const common =
          r1 * r1 * Math.acos((d * d + r1 * r1 - r2 * r2) / (2 * d * r1)) +
          r2 * r2 * Math.acos((d * d + r2 * r2 - r1 * r1) / (2 * d * r2)) -
          Math.sqrt((-d + r1 + r2) * (d + r1 - r2) * (d - r1 + r2) * (d + r1 + r2)) / 2
        const lobe = doubleLobe({ upper: bench.mm(r1), lower: bench.mm(r2), apart: bench.mm(d) })
        expectArea(lobe, Math.PI * (r1 * r1 + r2 * r2) - common)
      },
    ),
    { numRuns: 60 },
  )
})

// Right triangle 3-4-5: circles of radius 5 with centres 3 above and below the floor meet 4 out.
test('the floor of a double lobe runs from crease to crease', () => {
  const shape = doubleLobe({ upper: bench.mm(5), lower: bench.mm(5), apart: bench.mm(6) })
  expect(shape.region[0]).toContainEqual([4, 0])
  expect(shape.region[0]).toContainEqual([-4, 0])
  expect(shape.bounds.maxY).toBeCloseTo(8, 1)
  expect(shape.bounds.minY).toBeCloseTo(-8, 1)
})

test('a rounded polygon loses (1 − π/4) r² at a right corner and gains it at an inside one', () => {
  const r = bench.mm(4)
  const [w, h] = [bench.mm(30), bench.mm(20)]
  const square = roundedPolygon([ZERO, ZERO], [w, ZERO, r], [w, h, r], [ZERO, h])
  expectArea(square, 600 - 2 * (1 - Math.PI / 4) * 16)
  const angle = roundedPolygon(
    [ZERO, ZERO],
    [bench.mm(20), ZERO],
    [bench.mm(20), bench.mm(10)],
    [bench.mm(10), bench.mm(10), r],
    [bench.mm(10), bench.mm(20)],
    [ZERO, bench.mm(20)],
  )
  const wanted = 300 + (1 - Math.PI / 4) * 16
  expect(Math.abs(angle.area - wanted)).toBeLessThan(angle.perimeter * CHORD_TOLERANCE)
  expect(angle.area).toBeGreaterThan(300)
})

test('a rounded polygon is the same whichever way it runs', () => {
  const corners = [
    [ZERO, ZERO, bench.mm(2)],
    [bench.mm(30), bench.mm(5), bench.mm(3)],
    [bench.mm(12), bench.mm(25), bench.mm(4)],
  ] as const
  const { area } = roundedPolygon(...corners)
  expect(roundedPolygon(...corners.toReversed()).area).toBeCloseTo(area, 9)
})

const rows = (...figures: (readonly [height: number, half: number, knuckle?: 'knuckle'])[]): HalfBreadth[] =>
  figures.map(([height, half, knuckle]) => [bench.mm(height), bench.mm(half), ...(knuckle ? [knuckle] : [])] as never)

test('two rows make a V, four with knuckles a box with chines', () => {
  expect(hullFrame(rows([0, 0], [20, 15])).area).toBeCloseTo(300, 9)
  const boxed = hullFrame(rows([0, 0], [0, 12, 'knuckle'], [5, 15, 'knuckle'], [20, 15]))
  expect(boxed.area).toBeCloseTo(2 * (5 * 13.5 + 15 * 15), 9)
})

// Offsets of a circle of radius 30 listed at every 15°: the batten's curve is the circle, within what a spline leaves.
test('a round frame from its offsets is round', () => {
  const circle = Array.from({ length: 13 }, (_, i) => {
    const angle = (i * 15 * Math.PI) / 180
    return [30 - 30 * Math.cos(angle), i === 0 || i === 12 ? 0 : 30 * Math.sin(angle)] as const
  })
  const shape = hullFrame(rows(...circle), { bottom: 'round', top: 'round' })
  for (const [x, y] of shape.region[0]!) expect(Math.abs(Math.hypot(x, y - 30) - 30)).toBeLessThan(0.01)
  expect(Math.abs(shape.area - Math.PI * 900)).toBeLessThan(shape.perimeter * CHORD_TOLERANCE)
})

test('a frame is the same to port and to starboard', () => {
  const shape = hullFrame(rows([0, 0], [4, 9], [9, 14], [18, 16], [27, 15]), { deckCamber: bench.mm(1.2) })
  const loop = shape.region[0]!
  for (const [x, y] of loop) expect(loop.some(([u, v]) => Math.abs(u + x) < 1e-9 && Math.abs(v - y) < 1e-9)).toBe(true)
  expect(shape.bounds.maxY).toBeCloseTo(28.2, 9)
  expect(mm(shape.spanAcross(bench.mm(18)).to)).toBeCloseTo(16, 6)
})

// Circular segment, from memory: r²(α − sin α cos α) with half angle α; camber c on half-breadth b has r = (b²+c²)/2c.
test('a cambered deck adds its segment', () => {
  const flat = hullFrame(rows([0, 10], [20, 10]))
  const crowned = hullFrame(rows([0, 10], [20, 10]), { deckCamber: bench.mm(2) })
  const [r, alpha] = [26, Math.asin(10 / 26)]
  const gain = r * r * (alpha - Math.sin(alpha) * Math.cos(alpha))
  expect(crowned.area - flat.area).toBeLessThanOrEqual(gain)
  expect(crowned.area - flat.area).toBeGreaterThan(gain - 22 * CHORD_TOLERANCE)
})

test.each<[string, () => unknown, string]>([
  [
    'an ellipse without a height',
    () => ellipse(bench.mm(3), ZERO),
    'ellipse: a height of 0.000 mm. give a length above 0',
  ],
  [
    'an exponent of nought',
    () => superellipse(bench.mm(3), bench.mm(3), 0),
    'superellipse: an exponent of 0, it lies from 0.5 to 50. give 2 for an ellipse, more for a fuller section',
  ],
  [
    'an exponent that is no number',
    () => superellipse(bench.mm(3), bench.mm(3), Number.NaN),
    'superellipse: an exponent of NaN, it lies from 0.5 to 50. give 2 for an ellipse, more for a fuller section',
  ],
  [
    'corners larger than the box',
    () => roundedBox(bench.mm(30), bench.mm(10), bench.mm(6)),
    'rounded box: the corners take 12.000 mm of a height of 10.000 mm. give smaller radii',
  ],
  [
    'corners below nought',
    () => roundedBox(bench.mm(30), bench.mm(10), bench.mm(-1)),
    'rounded box: upper corners of -1.000 mm. give 0 or more',
  ],
  [
    'lobes apart',
    () => doubleLobe({ upper: bench.mm(5), lower: bench.mm(4), apart: bench.mm(9) }),
    'double lobe: centres 9.000 mm apart, circles of 5.000 and 4.000 mm cross only between 1.000 and 9.000 mm. ' +
      'move the centres, or change a radius',
  ],
  [
    'roundings that overlap',
    () => {
      const [r, w, h] = [bench.mm(6), bench.mm(10), bench.mm(30)]
      return roundedPolygon([ZERO, ZERO, r], [w, ZERO, r], [w, h], [ZERO, h])
    },
    'rounded polygon: the roundings of corners 1 and 2 take 12.000 mm of an edge of 10.000 mm. make a radius smaller',
  ],
  [
    'a corner twice',
    () => roundedPolygon([ZERO, ZERO], [bench.mm(9), ZERO], [bench.mm(9), ZERO], [ZERO, bench.mm(9)]),
    'rounded polygon: corners 2 and 3 are the same point. leave one of them out',
  ],
  [
    'two corners',
    () => roundedPolygon([ZERO, ZERO], [bench.mm(1), ZERO]),
    'rounded polygon: 2 corners. give 3 or more',
  ],
  [
    'a single row of offsets',
    () => hullFrame(rows([0, 3])),
    'hull frame: 1 rows of offsets, it needs 2 or more. list it from the keel up',
  ],
  [
    'offsets from the deck down',
    () => hullFrame(rows([20, 15], [0, 0])),
    'hull frame, row 2: a height of 0.000 mm after 20.000 mm. list the rows from the keel up',
  ],
  [
    'an offset below nought',
    () => hullFrame(rows([0, 0], [5, -4], [9, 8])),
    'hull frame, row 2: a half-breadth of -4.000 mm, it must be 0 mm or more. ' +
      'measure half-breadths from the centre line outwards',
  ],
  [
    'a row twice',
    () => hullFrame(rows([0, 0], [5, 4], [5, 4], [9, 8])),
    'hull frame, row 3: the same point as row 2. leave one of them out',
  ],
  [
    'a curve that swings across the centre line',
    () => hullFrame(rows([0, 20], [10, 0.1], [30, 20])),
    'hull frame: the fair curve swings across the centre line to -0.029 mm at a height of 10.503 mm. ' +
      "add a row near there, or break the curve with 'knuckle'",
  ],
  [
    'a deck rounder than a half circle',
    () => hullFrame(rows([0, 10], [20, 10]), { deckCamber: bench.mm(12) }),
    'hull frame: a deck camber of 12.000 mm on a half-breadth of 10.000 mm. give 0 up to the half-breadth',
  ],
])('%s is refused', (_, work, message) => {
  expect(work).toThrow(expect.objectContaining({ message }))
})
