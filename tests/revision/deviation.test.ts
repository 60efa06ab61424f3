import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Cuts, deviation } from '../../lib/revision/deviation'
import { hausdorff, linesOf } from '../../lib/revision/hausdorff'
import { offsetRegion } from '../../lib/shape/offset'
import type { Loop, Point } from '../../lib/shape/point'
import { box, clockwise, regular, sampledDistance, starPolygons } from '../helpers/geometry'

const plain = (outline: Loop): Cuts => ({ outline, openings: [], scores: [] })
const between = (a: Loop, b: Loop) => deviation(plain(a), plain(b))
const reachOf = (a: Loop, b: Loop) =>
  hausdorff(linesOf([{ line: a, closed: true }]), linesOf([{ line: b, closed: true }]))!.distance

describe('outlines with a known Hausdorff distance', () => {
  test('concentric circles are apart by the difference of their radii', () => {
    // Corners of the one polygon lie on rays through corners of the other, so corners are exactly that far apart.
    expect(reachOf(regular(360, 10), regular(360, 12.5))).toBeCloseTo(2.5, 4)
  })

  test('a square and its offset with corners kept are apart by √2 times the offset', () => {
    const { distance, ends } = between(box(0, 0, 20, 20), box(-1.5, -1.5, 21.5, 21.5))
    expect(distance).toBeCloseTo(1.5 * Math.SQRT2, 4)
    expect(Math.hypot(ends[1][0] - ends[0][0], ends[1][1] - ends[0][1])).toBeCloseTo(distance, 9)
    expect([0, 20]).toContain(ends[0][0])
    expect([-1.5, 21.5]).toContain(ends[1][0])
  })

  test('a square and its offset with corners rounded are apart by the offset', () => {
    const [rounded] = offsetRegion([box(0, 0, 20, 20)], 1.5, 'round')
    expect(Math.abs(reachOf(box(0, 0, 20, 20), rounded!) - 1.5)).toBeLessThan(0.011)
  })

  test('a corner pulled out straight from an edge is apart by what it was pulled', () => {
    const before: Loop = [[0, 0], [15, 0], [30, 0], [30, 10], [0, 10]]
    const after: Loop = [[0, 0], [15, -0.41], [30, 0], [30, 10], [0, 10]]
    const { distance, ends, area } = between(before, after)
    expect(distance).toBeCloseTo(0.41, 4)
    expect(ends).toEqual([[15, 0], [15, -0.41]])
    expect(area.after - area.before).toBeCloseTo((30 * 0.41) / 2, 9)
  })

  test('the middle of a long edge counts, though no corner is near it', () => {
    // Both corners of the lower edge are where they were; a notch was cut out of its middle.
    const notched: Loop = [[0, 0], [14, 0], [15, 3], [16, 0], [30, 0], [30, 10], [0, 10]]
    expect(between(box(0, 0, 30, 10), notched).distance).toBeCloseTo(3, 4)
    expect(between(notched, box(0, 0, 30, 10)).distance).toBeCloseTo(3, 4)
  })

  test('a place between two corners may be the furthest', () => {
    // The middle of the top edge of a wide box is half its width from the two uprights that are left.
    const reach = hausdorff(
      linesOf([{ line: [[0, 10], [20, 10]], closed: false }]),
      linesOf([{ line: [[0, 0], [0, 10]], closed: false }, { line: [[20, 0], [20, 10]], closed: false }]),
    )!
    expect(reach.distance).toBeCloseTo(10, 4)
  })
})

test('is what sampling both outlines finds, from both sides', () => {
  const onEdges = (loop: Loop, places: number): Point[] =>
    loop.flatMap(([ax, ay], i) => {
      const [bx, by] = loop[(i + 1) % loop.length]!
      return Array.from({ length: places }, (_, k): Point => [
        ax + ((bx - ax) * k) / places,
        ay + ((by - ay) * k) / places,
      ])
    })
  const sampled = (a: Loop, b: Loop) => Math.max(...onEdges(a, 40).map((point) => sampledDistance([b], point, 100)))
  fc.assert(
    fc.property(starPolygons, starPolygons, (a, b) => {
      const found = reachOf(a, b)
      const wanted = Math.max(sampled(a, b), sampled(b, a))
      // Samples are up to 60/40/2 mm from the furthest place, and 60/100/2 mm from the nearest.
      expect(found).toBeGreaterThan(wanted - 0.31)
      expect(found).toBeLessThan(wanted + 0.76)
      expect(reachOf(b, a)).toBeCloseTo(found, 3)
    }),
    { numRuns: 40, seed: 1914 },
  )
})

test('is 0 for a shape and itself, from whatever point it starts', () => {
  fc.assert(
    fc.property(starPolygons, fc.nat(20), (loop, start) => {
      const at = start % loop.length
      expect(reachOf(loop, [...loop.slice(at), ...loop.slice(0, at)])).toBeLessThan(1e-9)
    }),
    { numRuns: 50, seed: 1 },
  )
})

describe('pieces', () => {
  const hole = (x: number, y: number, r: number) => ({ kind: 'opening' as const, loop: clockwise(regular(48, r)).map(([px, py]): Point => [px + x, py + y]) })
  const fold = (y: number, angle = 90) => ({ fold: 'valley' as const, line: [[0, y], [30, y]] as const, angle })

  test('an opening that moved counts as any cut', () => {
    const at = (x: number): Cuts => ({ outline: box(0, 0, 30, 20), openings: [hole(x, 10, 3)], scores: [] })
    expect(deviation(at(10), at(10.4)).distance).toBeCloseTo(0.4, 3)
  })

  test('a piece that was only moved in its axes has not changed, and the move is told', () => {
    const moved = between(box(0, 0, 30, 20), box(5, -7, 35, 13))
    expect(moved).toMatchObject({ distance: 0, shift: [5, -7] })
  })

  test('a piece that was moved and altered is off by the alteration', () => {
    const outline: Loop = [[5, -7], [20, -7.3], [35, -7], [35, 13], [5, 13]]
    expect(between(box(0, 0, 30, 20), outline).distance).toBeCloseTo(0.3, 4)
  })

  test('a strip that grew by 1 mm at one end is off by 1 mm', () => {
    const grown = between(box(0, 0, 30, 4), box(0, 0, 31, 4))
    expect(grown.distance).toBeCloseTo(1, 4)
    expect(grown.shift).toEqual([0, 0])
  })

  test('folds are told apart from cuts', () => {
    const at = (y: number, angle?: number): Cuts => ({ outline: box(0, 0, 30, 20), openings: [], scores: [fold(y, angle)] })
    expect(deviation(at(10), at(10.25))).toMatchObject({ distance: 0, refolded: true })
    expect(deviation(at(10), at(10.25)).folds?.distance).toBeCloseTo(0.25, 4)
    expect(deviation(at(10), at(10, 80))).toMatchObject({ folds: { distance: 0 }, refolded: true })
    expect(deviation(at(10), plain(box(0, 0, 30, 20)))).toMatchObject({ refolded: true })
    expect(deviation(at(10), plain(box(0, 0, 30, 20))).folds).toBeUndefined()
    expect(deviation(at(10), at(10)).refolded).toBe(false)
  })

  test('area is of card, without openings', () => {
    const { area } = deviation(plain(box(0, 0, 10, 10)), {
      outline: box(0, 0, 10, 10),
      openings: [{ kind: 'slot', loop: clockwise(box(2, 2, 4, 4)) }],
      scores: [],
    })
    expect(area).toEqual({ before: 100, after: 96 })
  })
})
