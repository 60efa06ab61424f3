import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { area, boundsOf, perimeter } from '../../lib/shape/measure'
import { offsetRegion, strokeLine, strokeLoop } from '../../lib/shape/offset'
import { CHORD_TOLERANCE, type Loop } from '../../lib/shape/point'
import { box, clockwise, findingOf, regular, sampledDistance, turned } from '../helpers/geometry'

const triangle: Loop = [
  [0, 0],
  [4, 0],
  [4, 3],
]

describe('round offset of convex shapes (Steiner formula: A + P d + π d², P + 2π d)', () => {
  test('the 3-4-5 triangle by 1 mm: 21.141592654 mm², 18.283185307 mm', () => {
    const grown = offsetRegion([triangle], 1, 'round')
    // A flattened arc of radius 1 lies inside its circle by up to the tolerance over 2π mm.
    expect(area(grown)).toBeLessThan(21.141592654)
    expect(area(grown)).toBeGreaterThan(21.141592654 - 2 * Math.PI * CHORD_TOLERANCE)
    expect(perimeter(grown)).toBeLessThan(18.283185307 + 1e-4)
    expect(perimeter(grown)).toBeGreaterThan(18.283185307 * 0.995)
  })

  test('any regular polygon, turned anyhow, by any distance', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 3, max: 12 }),
        fc.double({ min: 1, max: 50, noNaN: true }),
        fc.double({ min: 0.05, max: 20, noNaN: true }),
        fc.double({ min: 0, max: 360, noNaN: true }),
        (corners, radius, by, angle) => {
          const shape = turned([regular(corners, radius)], angle)
          const exact = area(shape) + perimeter(shape) * by + Math.PI * by * by
          const found = area(offsetRegion(shape, by, 'round'))
          expect(found).toBeLessThan(exact + 1e-3 * (1 + perimeter(shape)))
          expect(found).toBeGreaterThan(exact - 2 * Math.PI * by * CHORD_TOLERANCE - 1e-3 * (1 + perimeter(shape)))
        },
      ),
    )
  })

  test('every point of the arc stands off by the distance, to within the chord tolerance', () => {
    for (const [x, y] of offsetRegion([triangle], 2, 'round')[0]!) {
      expect(sampledDistance([triangle], [x, y], 4000)).toBeCloseTo(2, 3)
    }
  })
})

describe('mitred offset', () => {
  test('a rectangle grows to a rectangle and shrinks to one', () => {
    expect(boundsOf(offsetRegion([box(0, 0, 10, 6)], 1))).toEqual({ minX: -1, minY: -1, maxX: 11, maxY: 7 })
    expect(area(offsetRegion([box(0, 0, 10, 6)], 1))).toBeCloseTo(96, 9)
    expect(offsetRegion([box(0, 0, 10, 6)], -1)).toEqual([box(1, 1, 9, 5)])
  })

  test('a regular polygon shrinks to one of its inradius less the distance (inradius R cos(π/n))', () => {
    for (const corners of [3, 4, 5, 6, 8, 12]) {
      const inradius = 10 * Math.cos(Math.PI / corners)
      const inset = offsetRegion([regular(corners, 10)], -1)
      const expected = area([regular(corners, 10)]) * ((inradius - 1) / inradius) ** 2
      expect(Math.abs(area(inset) - expected)).toBeLessThan(1e-3)
    }
  })

  test('a mitre past its limit is cut off', () => {
    const needle: Loop = [
      [0, -0.5],
      [20, 0],
      [0, 0.5],
    ]
    const long = boundsOf(offsetRegion([needle], 1, 'mitred', { mitreLimit: 100 })).maxX
    // Half the corner's angle is atan(0.5 / 20): the mitre reaches d / sin of it.
    expect(long).toBeCloseTo(20 + 1 / Math.sin(Math.atan(0.5 / 20)), 2)
    expect(boundsOf(offsetRegion([needle], 1)).maxX).toBeLessThan(22)
  })

  test('openings shrink as the outline grows, and close up', () => {
    const ring = [box(0, 0, 10, 10), clockwise(box(4, 4, 6, 6))]
    expect(area(offsetRegion(ring, 0.5))).toBeCloseTo(121 - 1, 6)
    expect(offsetRegion(ring, 1.1)).toHaveLength(1)
    expect(offsetRegion(ring, -2.1)).toEqual([])
  })
})

test('out and back by a round join returns a convex shape', () => {
  const there = offsetRegion([regular(6, 10)], 2, 'round')
  expect(Math.abs(area(offsetRegion(there, -2)) - area([regular(6, 10)]))).toBeLessThan(0.1)
})

test('a strip is as long as its line and as wide as said', () => {
  const line = [
    [0, 0],
    [10, 0],
  ] as const
  expect(strokeLine(line, 2)).toEqual([box(0, -1, 10, 1)])
  expect(area(strokeLine(line, 2, 'square'))).toBeCloseTo(24, 9)
  const round = area(strokeLine(line, 2, 'round'))
  expect(round).toBeLessThan(20 + Math.PI)
  expect(round).toBeGreaterThan(20 + Math.PI - 2 * Math.PI * CHORD_TOLERANCE)
  const frame = strokeLoop(box(0, 0, 10, 6), 2)
  expect(area(frame)).toBeCloseTo(12 * 8 - 8 * 4, 6)
})

test('bad distances are named with both numbers', () => {
  expect(findingOf(() => offsetRegion([triangle], Number.NaN)).text).toBe('an offset of NaN mm was asked for')
  expect(findingOf(() => strokeLine([[0, 0]], 1)).text).toBe('a strip of 1 mm width was asked for along 1 points')
})
