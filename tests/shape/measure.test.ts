import fc from 'fast-check'
import polylabel from 'polylabel'
import { describe, expect, test } from 'vitest'
import {
  area,
  boundsOf,
  centroid,
  contains,
  crossing,
  crossingsOf,
  distanceToBoundary,
  inscribedCircle,
  moments,
  perimeter,
  selfCrossing,
  spanAt,
  surelyHolds,
} from '../../lib/shape/measure'
import type { Loop, Point, Region } from '../../lib/shape/point'
import {
  angles,
  box,
  clockwise,
  findingOf,
  regular,
  sampledDistance,
  starPolygons,
  trapezoidArea,
  turned,
} from '../helpers/geometry'

describe('regular polygons on a circle of radius 1', () => {
  // A = (n/2) sin(2π/n), P = 2n sin(π/n), inradius cos(π/n); the areas computed to nine places.
  const areas = [
    [3, 1.299038106],
    [4, 2],
    [5, 2.377641291],
    [6, 2.598076211],
    [8, 2.828427125],
    [12, 3],
  ] as const

  test.each(areas)('of %i corners: area %d, perimeter and inradius by their formulas', (corners, expected) => {
    const shape = [regular(corners, 1, 17)]
    expect(area(shape)).toBeCloseTo(expected, 8)
    expect(perimeter(shape)).toBeCloseTo(2 * corners * Math.sin(Math.PI / corners), 9)
    const circle = inscribedCircle(shape)
    expect(circle.radius).toBeLessThanOrEqual(Math.cos(Math.PI / corners) + 1e-12)
    expect(circle.radius).toBeGreaterThan(Math.cos(Math.PI / corners) - 0.002)
  })
})

test('area agrees with another summation, far from the origin too', () => {
  fc.assert(
    fc.property(starPolygons, (loop) => {
      expect(area([loop])).toBeCloseTo(trapezoidArea([loop]), 8)
      const far = loop.map(([x, y]): Point => [x + 1e5, y - 1e5])
      expect(area([far])).toBeCloseTo(trapezoidArea([loop]), 6)
    }),
  )
})

test('second moments of a rectangle are b h³/12 and h b³/12 (beam tables), and a hole takes its own away', () => {
  const { ixx, iyy, ixy, centroid: middle } = moments([box(3, 5, 9, 9)])
  expect([ixx, iyy]).toEqual([expect.closeTo((6 * 4 ** 3) / 12, 9), expect.closeTo((4 * 6 ** 3) / 12, 9)])
  expect(ixy).toBeCloseTo(0, 9)
  expect(middle).toEqual([expect.closeTo(6, 12), expect.closeTo(7, 12)])
  const tube = moments([box(-5, -5, 5, 5), clockwise(box(-4, -4, 4, 4))])
  expect(tube.ixx).toBeCloseTo((10 ** 4 - 8 ** 4) / 12, 9)
})

test('the product of inertia of a right triangle about its centroid is −b²h²/72 (beam tables)', () => {
  const { ixy, ixx } = moments([
    [
      [0, 0],
      [6, 0],
      [0, 4],
    ],
  ])
  expect(ixy).toBeCloseTo(-(36 * 16) / 72, 9)
  expect(ixx).toBeCloseTo((6 * 4 ** 3) / 36, 9)
})

test('a semicircle has its centroid 4r/3π above its base', () => {
  const half: Loop = regular(2000, 10).slice(0, 1001)
  expect(centroid([half])[1]).toBeCloseTo((4 * 10) / (3 * Math.PI), 4)
})

test('a shape without area has no centroid and no inscribed circle', () => {
  expect(findingOf(() => centroid([])).id).toBe('empty-shape')
  expect(findingOf(() => inscribedCircle([])).id).toBe('empty-shape')
  expect(boundsOf([])).toEqual({ minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity })
})

describe('contains', () => {
  const ring: Region = [box(0, 0, 10, 10), clockwise(box(4, 4, 6, 6))]

  test('inside, in the hole, outside, and on every kind of edge', () => {
    expect(contains(ring, [2, 2])).toBe(true)
    expect(contains(ring, [5, 5])).toBe(false)
    expect(contains(ring, [11, 5])).toBe(false)
    expect(contains(ring, [10, 5])).toBe(true)
    expect(contains(ring, [0, 0])).toBe(true)
    expect(contains(ring, [4, 5])).toBe(true)
    // Level with a corner, where a ray would meet two edges at once.
    expect(contains(ring, [-1, 10])).toBe(false)
    expect(contains([regular(4, 1)], [-2, 0])).toBe(false)
  })

  test('a star-shaped polygon holds what lies short of its edge and not what lies beyond', () => {
    fc.assert(
      fc.property(starPolygons, angles, fc.nat(), (loop, angle, pick) => {
        const [x, y] = loop[pick % loop.length]!
        const region = turned([loop], angle)
        const [inside, outside] = turned([[[x * 0.98, y * 0.98], [x * 1.02, y * 1.02]]], angle)[0]!
        expect(contains(region, outside!)).toBe(false)
        expect(contains(region, inside!)).toBe(true)
      }),
    )
  })
})

test('the distance to the boundary is above 0 inside and below 0 outside, as sampling finds it', () => {
  const ring: Region = [regular(7, 20), clockwise(regular(5, 6))]
  for (const point of [[10, 3], [0, 1], [30, -4], [-12, 9]] as Point[]) {
    const sign = contains(ring, point) ? 1 : -1
    expect(distanceToBoundary(ring, point)).toBeCloseTo(sign * sampledDistance(ring, point), 3)
  }
})

describe('inscribed circle', () => {
  test('of a ring lies between the edges, clear of the hole', () => {
    const ring: Region = [box(0, 0, 30, 10), clockwise(box(12, 1, 14, 9))]
    const { centre, radius } = inscribedCircle(ring)
    expect(Math.abs(radius - 5)).toBeLessThan(0.01)
    expect(sampledDistance(ring, centre)).toBeCloseTo(radius, 3)
  })

  test('of a right triangle has the radius (a + b − c)/2', () => {
    const triangle: Loop = [
      [0, 0],
      [8, 0],
      [0, 15],
    ]
    expect(Math.abs(inscribedCircle([triangle]).radius - (8 + 15 - 17) / 2)).toBeLessThan(0.01)
  })

  test('is never smaller than what the area says surely goes in', () => {
    // The square 10 mm wide has 100 mm² of card, and 4 × 10 mm of cuts that card up to 2.4 mm from them takes 96 mm² of at most.
    expect([4.8, 5].map((diameter) => surelyHolds([box(0, 0, 10, 10)], diameter))).toEqual([true, false])
    fc.assert(
      fc.property(starPolygons, fc.double({ min: 0.1, max: 30, noNaN: true }), fc.boolean(), (loop, diameter, holed) => {
        const region = holed ? [loop, clockwise(box(-0.5, -0.5, 0.5, 0.5))] : [loop]
        if (surelyHolds(region, diameter)) expect(2 * inscribedCircle(region).radius).toBeGreaterThanOrEqual(diameter)
      }),
    )
  })

  test('is the largest over all parts', () => {
    expect(inscribedCircle([box(0, 0, 2, 2), box(10, 0, 16, 6), clockwise(box(12, 1, 12.1, 5))]).radius).toBeGreaterThan(1.5)
  })

  test('rests on a search that gives its published answers for polygons without inside (polylabel, test/test.js)', () => {
    const flat: [number, number][] = [[0, 0], [1, 0], [2, 0], [0, 0]]
    const folded: [number, number][] = [[0, 0], [1, 0], [1, 1], [1, 0], [0, 0]]
    expect([...polylabel([flat]), polylabel([flat]).distance]).toEqual([0, 0, 0])
    expect([...polylabel([folded]), polylabel([folded]).distance]).toEqual([0, 0, 0])
  })
})

describe('crossings', () => {
  test('a bow tie crosses itself in its middle, a spike runs back on itself', () => {
    expect(selfCrossing([[0, 0], [2, 2], [2, 0], [0, 2]])).toEqual([1, 1])
    expect(selfCrossing([[0, 0], [10, 0], [10, 5], [10, -3], [5, 8]])).toBeDefined()
  })

  test('a loop that passes through its own corner crosses, one that touches there does not', () => {
    // Two triangles point to point: once passed straight through, once turned back.
    const through: Loop = [[-2, -1], [0, 0], [2, 1], [2, -1], [0, 0], [-2, 1]]
    const touching: Loop = [[-2, -1], [0, 0], [2, -1], [2, 1], [0, 0], [-2, 1]]
    expect(selfCrossing(through)).toEqual([0, 0])
    expect(selfCrossing(touching)).toBeUndefined()
    const corner: Loop = [[0, 0], [10, 0], [10, 10], [5, 0], [0, 10]]
    expect(selfCrossing(corner)).toBeUndefined()
    const beyond: Loop = [[0, 0], [10, 0], [10, 10], [5, -1], [0, 10]]
    expect(selfCrossing(beyond)).toBeDefined()
  })

  test('no star-shaped polygon crosses itself', () => {
    fc.assert(
      fc.property(starPolygons, angles, (loop, angle) => {
        expect(selfCrossing(turned([loop], angle)[0]!)).toBeUndefined()
      }),
    )
  })

  test('a convex polygon with two corners exchanged that are no neighbours crosses itself', () => {
    fc.assert(
      fc.property(fc.integer({ min: 5, max: 60 }), fc.nat(), fc.nat(), angles, (corners, first, skip, angle) => {
        const i = first % corners
        const j = (i + 2 + (skip % (corners - 3))) % corners
        const loop = [...regular(corners, 20, angle)]
        ;[loop[i], loop[j]] = [loop[j]!, loop[i]!]
        expect(selfCrossing(loop)).toBeDefined()
      }),
    )
  })

  test('two loops meet where they cross or touch, not where one holds the other', () => {
    expect(crossing(box(0, 0, 10, 10), box(2, 2, 4, 4))).toBeUndefined()
    expect(crossing(box(0, 0, 10, 10), box(8, 4, 12, 6))?.[0]).toBe(10)
    expect(crossing(box(0, 0, 10, 10), box(10, 4, 12, 6))?.[0]).toBe(10)
    expect(crossing(box(0, 0, 10, 10), box(11, 4, 12, 6))).toBeUndefined()
  })
})

describe('spans', () => {
  const ring: Region = [box(0, 0, 10, 10), clockwise(box(4, 4, 6, 6))]

  test('a line enters and leaves card', () => {
    expect(crossingsOf(ring, [-5, 5], [0, 5])).toEqual([
      { enter: 5, leave: 9 },
      { enter: 11, leave: 15 },
    ])
    expect(crossingsOf(ring, [0, 20], [1, 20])).toEqual([])
    expect(findingOf(() => crossingsOf(ring, [1, 1], [1, 1])).id).toBe('bad-line')
    const diamond: Loop = [[1, 0], [0, 1], [-1, 0], [0, -1]]
    expect(crossingsOf([diamond], [-2, 0], [2, 0])).toEqual([{ enter: 1, leave: 3 }])
  })

  test('the stretches of a turned shape add up to as much', () => {
    const whole = crossingsOf(ring, [-5, 3], [20, 8])
    const askew = turned(ring, 33)
    const [from, to] = turned([[[-5, 3], [20, 8]]], 33)[0]!
    const found = crossingsOf(askew, from!, to!)
    expect(found.map(({ enter, leave }) => leave - enter)).toEqual(
      whole.map(({ enter, leave }) => expect.closeTo(leave - enter, 9)),
    )
  })

  test('the extent at x takes edges along it in full, and the ends of the shape', () => {
    expect(spanAt(ring, 'x', 5)).toEqual({ from: 0, to: 10 })
    expect(spanAt(ring, 'x', 10)).toEqual({ from: 0, to: 10 })
    expect(spanAt(ring, 'y', 0)).toEqual({ from: 0, to: 10 })
    expect(spanAt([regular(4, 1)], 'x', 1)).toEqual({ from: 0, to: 0 })
    expect(spanAt(ring, 'x', 10.1)).toBeUndefined()
    // On a circle: y = √(r² − x²).
    expect(spanAt([regular(4000, 5)], 'x', 3)?.to).toBeCloseTo(4, 4)
  })
})
