import { booleans, geometries, measurements, primitives } from '@jscad/modeling'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { intersect, normalize, subtract, unite } from '../../lib/shape/boolean'
import { toGeom2 } from '../../lib/shape/jscad'
import { area, perimeter } from '../../lib/shape/measure'
import type { Loop, Region } from '../../lib/shape/point'
import { angles, box, clockwise, findingOf, regular, starPolygons, trapezoidArea, turned } from '../helpers/geometry'

/** What rounding every crossing to 0.00001 mm can do to an area: half a step along all the edges, generously. */
const gridError = (...regions: Region[]) => 2e-5 * regions.reduce((sum, region) => sum + perimeter(region), 0)

test('rectangles unite, differ and meet in areas known by counting squares', () => {
  const a = [box(0, 0, 4, 3)]
  const b = [box(2, 1, 6, 5)]
  expect(area(unite(a, b))).toBeCloseTo(12 + 16 - 4, 9)
  expect(area(subtract(a, b))).toBeCloseTo(8, 9)
  expect(area(intersect(a, b))).toBeCloseTo(4, 9)
})

test('two discs meet in a lens of the area that geometry books give (2r² acos(d/2r) − d/2 √(4r² − d²))', () => {
  const [r, d] = [10, 12]
  const corners = 4000
  const lens = intersect([regular(corners, r)], [regular(corners, r).map(([x, y]) => [x + d, y] as const)])
  const exact = 2 * r * r * Math.acos(d / (2 * r)) - (d / 2) * Math.sqrt(4 * r * r - d * d)
  expect(Math.abs(area(lens) - exact) / exact).toBeLessThan(1e-5)
})

test('a hole runs clockwise, an outer loop counter-clockwise, outers come first', () => {
  const ring = subtract([box(0, 0, 10, 10)], [box(2, 2, 4, 4)], [box(6, 6, 8, 8)])
  expect(ring.map((loop) => Math.sign(area([loop])))).toEqual([1, -1, -1])
  expect(ring.map((loop) => loop[0])).toEqual([
    [0, 0],
    [2, 2],
    [6, 6],
  ])
})

test('equal areas are equal arrays, whatever the order and the starting points of what they were made from', () => {
  const tools: Region[] = [[box(1, 1, 2, 2)], [box(5, -1, 6, 1)], [box(9, 4, 11, 5)]]
  const start = box(0, 0, 10, 6)
  const rolled = [...start.slice(2), ...start.slice(0, 2)]
  expect(subtract([rolled], ...tools.toReversed())).toEqual(subtract([start], ...tools))
  expect(unite(tools[0]!, [start], tools[2]!)).toEqual(unite(tools[2]!, tools[0]!, [start]))
})

test('points on a straight edge go, points of a curve stay', () => {
  const withMiddle: Loop = [
    [0, 0],
    [5, 0],
    [10, 0],
    [10, 10],
    [0, 10],
  ]
  expect(unite([withMiddle], [box(2, 2, 3, 3)])).toEqual([box(0, 0, 10, 10)])
  const disc = regular(500, 20)
  expect(subtract([disc], [box(-1, -1, 1, 1)])[0]).toHaveLength(500)
})

test('what does not meet is handed on untouched', () => {
  const body = [box(0, 0, 1.234567890123, 1)]
  expect(subtract(body, [box(5, 5, 6, 6)], [])).toBe(body)
  expect(unite(body, [])).toBe(body)
  expect(intersect(body, [box(5, 5, 6, 6)])).toEqual([])
  expect(unite(body, [box(5, 5, 6, 6)])).toHaveLength(2)
})

test('a hole filled by another area is filled', () => {
  const ring = [box(0, 0, 10, 10), clockwise(box(4, 4, 6, 6))]
  expect(area(unite(ring, [box(3, 3, 7, 7)]))).toBeCloseTo(100, 9)
})

test('nothing is left of a body under its tool, and slivers below the grid vanish', () => {
  expect(subtract([box(0, 0, 1, 1)], [box(-1, -1, 2, 2)])).toEqual([])
  expect(subtract([box(0, 0, 10, 1)], [box(-1, 0.00001, 11, 2)])).toEqual([])
})

test('loops wound anyhow are read by the even-odd rule', () => {
  const nested = [box(0, 0, 10, 10), box(2, 2, 8, 8), box(4, 4, 6, 6)]
  const region = normalize(nested)
  expect(area(region)).toBeCloseTo(100 - 36 + 4, 9)
  expect(area(normalize(nested.map(clockwise)))).toBeCloseTo(68, 9)
  // A bow tie is two triangles.
  const bow: Loop = [
    [0, 0],
    [2, 2],
    [2, 0],
    [0, 2],
  ]
  expect(normalize([bow])).toHaveLength(2)
  expect(area(normalize([bow]))).toBeCloseTo(2, 9)
})

/** Triangles from an open report to the Clipper2 project, whose union came out too large there; coordinates in mm · 10⁶. */
const triangle = (...c: number[]): Region => {
  const loop = [0, 2, 4].map((i) => [c[i]! / 1e6, c[i + 1]! / 1e6] as const)
  return [trapezoidArea([loop]) > 0 ? loop : loop.toReversed()]
}

test('a union of slivers is no larger than the sum of its parts', () => {
  const parts = [
    triangle(-45077288, -27835646, -45216220, -27853069, -44996290, -28378125),
    triangle(-45943111, -27944226, -45990276, -27890686, -46034753, -27840198),
    triangle(-44185329, -29939581, -45679436, -28243538, -47826654, -25806113),
    triangle(-48000000, -29000000, -44185329, -29939581, -47826654, -25806113),
  ]
  const sum = parts.reduce((total, part) => total + area(part), 0)
  expect(area(unite(...parts))).toBeLessThanOrEqual(sum + gridError(...parts))
})

describe('for any two star-shaped polygons', () => {
  const pairs = fc.tuple(starPolygons, starPolygons, fc.double({ min: -20, max: 20, noNaN: true }), angles)

  test('the areas add up: |A∪B| + |A∩B| = |A| + |B|, |A∖B| = |A| − |A∩B|', () => {
    fc.assert(
      fc.property(pairs, ([first, second, shift, angle]) => {
        const a = turned([first], angle)
        const b: Region = [second.map(([x, y]) => [x + shift, y])]
        const allowed = gridError(a, b)
        const both = area(intersect(a, b))
        expect(Math.abs(area(unite(a, b)) + both - area(a) - area(b))).toBeLessThan(allowed)
        expect(Math.abs(area(subtract(a, b)) + both - area(a))).toBeLessThan(allowed)
      }),
      { numRuns: 150 },
    )
  })

  test('turning both turns the result', () => {
    fc.assert(
      fc.property(pairs, ([a, b, shift, angle]) => {
        const moved: Region = [b.map(([x, y]) => [x + shift, y])]
        const straight = area(subtract([a], moved))
        const askew = area(subtract(turned([a], angle), turned(moved, angle)))
        expect(Math.abs(straight - askew)).toBeLessThan(gridError([a], moved))
      }),
      { numRuns: 100 },
    )
  })
})

test('areas agree with the booleans of @jscad/modeling, which are computed quite otherwise', () => {
  const plate = [box(0, 0, 60, 20)]
  const tools: Region[] = [
    [regular(24, 5).map(([x, y]) => [x + 12, y + 10] as const)],
    [regular(7, 4).map(([x, y]) => [x + 30, y + 19] as const)],
    [box(45, -2, 47, 9)],
  ]
  const theirs = booleans.subtract(toGeom2(plate), ...tools.map(toGeom2))
  // Its points snap to about a hundred-thousandth of the size; so much along the perimeter is allowed.
  const allowed = 60 * 1e-5 * perimeter(plate)
  expect(Math.abs(measurements.measureArea(theirs) - area(subtract(plate, ...tools)))).toBeLessThan(allowed)
  expect(geometries.geom2.toOutlines(theirs)).toHaveLength(subtract(plate, ...tools).length)
  const star = primitives.star({ vertices: 5, outerRadius: 10, innerRadius: 4 })
  const outlines = geometries.geom2.toOutlines(star).map((loop) => loop.map(([x, y]) => [x, y] as const))
  expect(Math.abs(area(normalize(outlines)) - measurements.measureArea(star))).toBeLessThan(gridError(outlines))
})

test('a coordinate that is no number, or is beyond all card, is named', () => {
  const wrong = findingOf(() => unite([box(0, 0, 1, 1)], [box(0, 0, Number.NaN, 1)], [box(0, 0, 1, 2)]))
  expect(wrong.id).toBe('bad-point')
  expect(wrong.text).toBe('point 2 of a shape has the coordinates (NaN, 0), which are no numbers')
  const far = findingOf(() => subtract([box(0, 0, 2e6, 1)], [box(0, 0, 1, 1)]))
  expect(far.text).toBe('point 2 of a shape stands at (2000000, 0) mm, beyond the 1000000 mm allowed')
  expect(far).toMatchObject({ found: 2e6, wanted: 1e6 })
})
