import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  arcAbout,
  arcByRadius,
  arcHeading,
  arcTangent,
  arcThrough,
  cubic,
  fairCubics,
  fairCurve,
  quadratic,
} from '../../lib/shape/curve'
import { CHORD_TOLERANCE, type Point } from '../../lib/shape/point'
import { findingOf } from '../helpers/geometry'

const distance = (a: Point, b: Point) => Math.hypot(a[0] - b[0], a[1] - b[1])

/** Greatest distance of places on the true curve from the nearest chord. */
function deviation(chords: readonly Point[], curve: (t: number) => Point): number {
  let greatest = 0
  for (let k = 0; k <= 500; k++) {
    const [x, y] = curve(k / 500)
    let least = Infinity
    for (let i = 1; i < chords.length; i++) {
      const [a, b] = [chords[i - 1]!, chords[i]!]
      const length = distance(a, b) ** 2
      const along = ((x - a[0]) * (b[0] - a[0]) + (y - a[1]) * (b[1] - a[1])) / (length || 1)
      const t = Math.max(0, Math.min(1, along))
      least = Math.min(least, Math.hypot(a[0] + (b[0] - a[0]) * t - x, a[1] + (b[1] - a[1]) * t - y))
    }
    greatest = Math.max(greatest, least)
  }
  return greatest
}

const points = fc.tuple(fc.double({ min: -50, max: 50, noNaN: true }), fc.double({ min: -50, max: 50, noNaN: true }))

/** Lowest and highest place of the arc of radius 5 over the chord from (0, 0) to (8, 0), to whole millimetres. */
function reach(counterClockwise: boolean, longer: boolean): number[] {
  const heights = arcByRadius([0, 0], [8, 0], 5, counterClockwise, longer).map(([, y]) => y)
  return [Math.min(...heights), Math.max(...heights)].map((y) => Math.round(y) + 0)
}

describe('arcs', () => {
  test('keep to the circle and within the chord tolerance, with no more chords than that takes', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.05, max: 500, noNaN: true }), fc.double({ min: 5, max: 360, noNaN: true }), (r, degrees) => {
        const chords: Point[] = [[r, 0], ...arcAbout([r, 0], [0, 0], degrees)]
        for (const p of chords) expect(Math.hypot(...p)).toBeCloseTo(r, 9)
        const angle = (t: number) => (t * degrees * Math.PI) / 180
        expect(deviation(chords, (t) => [r * Math.cos(angle(t)), r * Math.sin(angle(t))])).toBeLessThan(CHORD_TOLERANCE * 1.0001)
        const fewest = Math.ceil(angle(1) / (2 * Math.acos(Math.max(-1, 1 - CHORD_TOLERANCE / r))))
        expect(chords.length - 1).toBeLessThanOrEqual(Math.max(8, fewest + 4))
      }),
    )
  })

  test('through three points: of the circle round the 3-4-5 triangle (radius half the hypotenuse, Thales)', () => {
    const arc = arcThrough([4, 0], [4, 3], [0, 3])
    for (const p of arc) expect(distance(p, [2, 1.5])).toBeCloseTo(2.5, 9)
    expect(arc.at(-1)).toEqual([0, 3])
    expect(findingOf(() => arcThrough([0, 0], [1, 1], [2, 2])).id).toBe('flat-arc')
  })

  test('by a radius, both ways round and both ways along', () => {
    // The centres stand 3 above and below the chord: sagitta 2, and 8 the long way.
    expect(reach(true, false)).toEqual([-2, 0])
    expect(reach(false, false)).toEqual([0, 2])
    expect(reach(true, true)).toEqual([-8, 0])
    expect(reach(false, true)).toEqual([0, 8])
    const short = findingOf(() => arcByRadius([0, 0], [8, 0], 3))
    expect(short.text).toBe('an arc of radius 3 mm cannot join points 8 mm apart')
    expect(short).toMatchObject({ found: 3, wanted: 4 })
  })

  test('going on from a direction: the tangent at the start is that direction', () => {
    const quarter = arcTangent([0, 0], [1, 0], [5, 5])
    for (const p of quarter) expect(distance(p, [0, 5])).toBeCloseTo(5, 9)
    const heading = arcHeading([0, 0], quarter)
    expect(Math.atan2(heading[1], heading[0])).toBeCloseTo(Math.PI / 2, 9)
    expect(arcTangent([0, 0], [2, 0], [7, 0])).toEqual([[7, 0]])
    expect(findingOf(() => arcTangent([0, 0], [1, 0], [-7, 0])).id).toBe('flat-arc')
  })
})

describe('Bézier curves', () => {
  test('a cubic stays within the chord tolerance of its Bernstein form', () => {
    fc.assert(
      fc.property(points, points, points, points, (a, c1, c2, b) => {
        const bernstein = (t: number): Point => {
          const w = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t ** 3]
          return [0, 1].map((k) => w[0]! * a[k]! + w[1]! * c1[k]! + w[2]! * c2[k]! + w[3]! * b[k]!) as unknown as Point
        }
        const chords = [a, ...cubic(a, c1, c2, b)]
        expect(deviation(chords, bernstein)).toBeLessThan(CHORD_TOLERANCE * 1.0001)
        expect(chords.at(-1)).toEqual(b)
      }),
      { numRuns: 60 },
    )
  })

  test('a quadratic is a parabola: y = x² from its tangents', () => {
    for (const [x, y] of quadratic([-3, 9], [0, -9], [3, 9])) expect(y).toBeCloseTo(x * x, 9)
  })

  test('the usual cubic for a quarter circle is off by 0.027 % of its radius (κ = 4/3 (√2 − 1), from memory)', () => {
    const k = (4 / 3) * (Math.SQRT2 - 1) * 20
    const radii = cubic([20, 0], [20, k], [k, 20], [0, 20]).map((p) => Math.hypot(...p))
    expect(Math.max(...radii) / 20 - 1).toBeLessThan(0.000274)
    expect(Math.min(...radii)).toBeGreaterThan(20 - 1e-9)
  })
})

describe('fair curves', () => {
  test('pass through their points with one slope and one curvature on both sides', () => {
    const through: Point[] = [[0, 0], [10, 4], [15, 12], [30, 11], [42, 3]]
    const cubics = fairCubics(through)
    cubics.slice(1).forEach(([a, c1, c2], i) => {
      const [pa, p1, p2, pb] = cubics[i]!
      expect(pb).toEqual(a)
      const [before, after] = [distance(pa, pb), distance(a, cubics[i + 1]![3])]
      for (const k of [0, 1] as const) {
        expect((3 * (pb[k] - p2[k])) / before).toBeCloseTo((3 * (c1[k] - a[k])) / after, 9)
        const [second, first] = [(pb[k] - 2 * p2[k] + p1[k]) / before ** 2, (a[k] - 2 * c1[k] + c2[k]) / after ** 2]
        expect(second).toBeCloseTo(first, 9)
      }
    })
    // Natural ends: no second derivative.
    const [a, c1, c2] = cubics[0]!
    expect(a[0] - 2 * c1[0] + c2[0]).toBeCloseTo(0, 9)
  })

  test('agree with the natural cubic spline worked out by hand for (0,0), (1,1), (2,0): slopes 3/2, 0, −3/2', () => {
    // The two chords are equally long, so y is the textbook spline on knots 0, 1, 2 stretched by √2.
    const [[a, c1], [, , c2, b]] = fairCubics([[0, 0], [1, 1], [2, 0]]) as [[Point, Point], [Point, Point, Point, Point]]
    expect(c1[1] - a[1]).toBeCloseTo(0.5, 12)
    expect(b[1] - c2[1]).toBeCloseTo(-0.5, 12)
  })

  test('leave and arrive in the directions given', () => {
    const cubics = fairCubics([[0, 0], [10, 3], [20, 0]], { start: [0, 5], end: [0, -1] })
    const [a, c1] = cubics[0]!
    expect(c1[0]).toBeCloseTo(a[0], 12)
    expect(c1[1]).toBeGreaterThan(a[1])
    const [, , c2, b] = cubics[1]!
    expect(c2[0]).toBeCloseTo(b[0], 12)
    expect(c2[1]).toBeGreaterThan(b[1])
  })

  test('a closed one through eight points of a circle is that circle to 0.2 %, and starts where it likes', () => {
    const ring = Array.from({ length: 8 }, (_, i): Point => [10 * Math.cos((i * Math.PI) / 4), 10 * Math.sin((i * Math.PI) / 4)])
    const curve = fairCurve(ring, { closed: true })
    for (const p of curve) expect(Math.abs(Math.hypot(...p) - 10)).toBeLessThan(0.02)
    const rolled = fairCurve([...ring.slice(3), ...ring.slice(0, 3)], { closed: true })
    expect(rolled).toHaveLength(curve.length)
  })

  test('points that repeat, or are too few, are named', () => {
    expect(findingOf(() => fairCurve([[0, 0], [1, 1], [1, 1]])).text).toBe('points 2 and 3 of a curve both stand at (1, 1) mm')
    expect(findingOf(() => fairCurve([[0, 0]])).text).toBe('a curve was asked for through 1 points')
  })
})
