import { FillRule, type Path64, areaPaths, difference, xor } from 'clipper2-ts'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { bite } from '../../lib/shape/bite'
import { regionFromPaths } from '../../lib/shape/boolean'
import { toGrid } from '../../lib/shape/grid'
import type { Loop, Point } from '../../lib/shape/point'
import { box, clockwise, regular } from '../helpers/geometry'

const bitten = (body: readonly Loop[], ...tools: Loop[]) => {
  const result = bite(body.map(toGrid), tools.map(toGrid))
  return { body: regionFromPaths(result.body), left: result.left.length }
}

const card = box(0, 0, 10, 6)

describe('cut without a sweep, corner by corner as drawn on squared paper,', () => {
  test('a notch open at an edge', () => {
    const notched: Loop = [[0, 0], [4, 0], [4, 2], [5, 2], [5, 0], [10, 0], [10, 6], [0, 6]]
    expect(bitten([card], box(4, -1, 5, 2))).toEqual({ body: [notched], left: 0 })
  })

  test('several notches at one edge, in whatever order, and over the first point of the outline', () => {
    const tools = [box(7, 5, 8, 7), box(2, 5, 3, 7), box(-1, -1, 1, 1)]
    const notched: Loop = [
      [0, 1], [1, 1], [1, 0], [10, 0], [10, 6], [8, 6], [8, 5], [7, 5], [7, 6], [3, 6], [3, 5], [2, 5], [2, 6], [0, 6],
    ]
    expect(bitten([card], ...tools)).toEqual({ body: [notched], left: 0 })
    expect(bitten([card], ...tools.toReversed())).toEqual({ body: [notched], left: 0 })
  })

  test('all but a corner of the card', () => {
    expect(bitten([card], box(1, -1, 11, 7))).toEqual({ body: [box(0, 0, 1, 6)], left: 0 })
  })

  test('all but a tongue that reaches into the tool through one of its edges', () => {
    const claw: Loop = [[-1, -1], [11, -1], [11, 7], [-1, 7], [-1, 4], [3, 3], [-1, 2]]
    expect(bitten([card], claw)).toEqual({ body: [[[0, 2.25], [3, 3], [0, 3.75]]], left: 0 })
  })

  test('a hole', () => {
    const frame = [card, [[4, 2], [4, 4], [6, 4], [6, 2]]]
    expect(bitten([card], box(4, 2, 6, 4))).toEqual({ body: frame, left: 0 })
  })
})

test('left for the sweep: a slot right across, tools in each other’s way, edges along an edge, a touch at a corner', () => {
  expect(bitten([card], box(4, -1, 5, 7)).left).toBe(1)
  expect(bitten([card], box(4, -1, 5, 2), box(4.5, 1, 6, 3)).left).toBe(2)
  expect(bitten([card], box(4, 0, 5, 2)).left).toBe(1)
  expect(bitten([card], [[4, 3], [6, 6], [2, 6]]).left).toBe(1)
  expect(bitten([card, clockwise(box(4, 2, 6, 4))], box(3, -1, 7, 5)).left).toBe(1)
  expect(bitten([card], box(-1, -1, 11, 7)).left).toBe(1)
})

test('agrees with the difference of clipper2-ts to the rounding of its crossings', () => {
  // Doubles lean towards their ends, where tools miss the body.
  const between = (min: number, max: number) => fc.integer({ min: min * 1000, max: max * 1000 }).map((n) => n / 1000)
  const tool = fc.record({
    corners: fc.integer({ min: 3, max: 9 }),
    radius: between(0.01, 3),
    angle: between(0, 360),
    x: between(-11, 11),
    y: between(-11, 11),
  })
  const taken = { tools: 0, all: 0 }
  fc.assert(
    fc.property(fc.integer({ min: 3, max: 40 }), fc.array(tool, { maxLength: 6 }), (corners, given) => {
      const body = [toGrid(regular(corners, 10))]
      const tools = given.map(({ corners: count, radius, angle, x, y }) =>
        toGrid(regular(count, radius, angle).map((p): Point => [p[0] + x, p[1] + y])),
      )
      const { body: rest, left } = bite(body, tools)
      taken.all += tools.length
      taken.tools += tools.length - left.length
      const wanted = difference(body, tools, FillRule.NonZero)
      const found = left.length === 0 ? rest : difference(rest, left, FillRule.NonZero)
      const edges = [...wanted, ...tools].reduce((sum, path) => sum + around(path), 0)
      expect(areaPaths(xor(wanted, found, FillRule.NonZero))).toBeLessThan(2 * edges)
    }),
    { numRuns: 500, seed: 11 },
  )
  // The property would say nothing if every tool were left.
  expect(taken.tools).toBeGreaterThan(taken.all / 10)
})

/** Steps of the grid round a path; a crossing out of place by a step moves the area by no more than this. */
function around(path: Path64): number {
  return path.reduce((sum, { x, y }, i) => {
    const next = path[(i + 1) % path.length]!
    return sum + Math.hypot(next.x - x, next.y - y)
  }, 0)
}
