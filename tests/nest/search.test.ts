import { Clipper, FillRule } from 'clipper2-ts'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Loop, Point, Region } from '../../lib/shape/point'
import { convexHull, convexParts } from '../../lib/nest/search/convex'
import { Pair } from '../../lib/nest/search/pair'
import { Random } from '../../lib/nest/search/random'
import { type Cells, covered, coveredAnywhere, rasterize } from '../../lib/nest/search/mask'
import { Raster } from '../../lib/nest/search/raster'
import { simplifyOutward } from '../../lib/nest/search/simplify'
import { boundsOf, placeLoop, signedArea } from '../../lib/nest/turn'
import { box, star } from './cases'

// Areas of intersections and differences come from clipper2-ts, which none of the code under test uses for them.

const loops = fc
  .array(fc.double({ min: 0.2, max: 1, noNaN: true }), { minLength: 3, maxLength: 14 })
  .map((radii) => star(radii.map((radius) => 20 * radius)))

const frame: Region = [box(40, 40), [[10, 10], [10, 30], [30, 30], [30, 10]]]

function toPaths(region: Region) {
  return region.map((loop) => loop.map(([x, y]) => ({ x, y })))
}

function commonArea(a: Region, b: Region): number {
  const common = Clipper.intersectD(toPaths(a), toPaths(b), FillRule.NonZero, 6)
  return Math.abs(common.reduce((sum, path) => sum + signedArea(path.map(({ x, y }): Point => [x, y])), 0))
}

function move(loop: Loop, x: number, y: number): Loop {
  return placeLoop(loop, 0, x, y)
}

describe('Random', () => {
  it('repeats itself for a seed and differs between seeds', () => {
    const draw = (seed: number) => {
      const random = new Random(seed)
      return Array.from({ length: 5 }, () => random.unit())
    }
    expect(draw(7)).toEqual(draw(7))
    expect(draw(7)).not.toEqual(draw(8))
  })

  it('is even enough: chi-square of 10 classes over 10,000 draws', () => {
    // 99.9 % point of chi-square with 9 degrees of freedom is 27.88 (any table of the distribution).
    const random = new Random(1)
    const counts = Array.from({ length: 10 }, () => 0)
    for (let i = 0; i < 10_000; i++) counts[random.index(10)]!++
    expect(counts.reduce((sum, count) => sum + (count - 1000) ** 2 / 1000, 0)).toBeLessThan(27.88)
  })
})

describe('convexParts', () => {
  it('covers the loop exactly with convex parts', () => {
    fc.assert(
      fc.property(loops, (loop) => {
        const parts = convexParts([loop])
        expect(parts.reduce((sum, part) => sum + signedArea(part), 0)).toBeCloseTo(signedArea(loop), 6)
        for (const part of parts) expect(signedArea(convexHull(part))).toBeCloseTo(signedArea(part), 6)
      }),
    )
  })

  it('leaves openings open', () => {
    // 40 mm square less a 20 mm square.
    const parts = convexParts(frame)
    expect(parts.reduce((sum, part) => sum + signedArea(part), 0)).toBeCloseTo(1600 - 400, 6)
    expect(commonArea(parts, [box(20, 20).map(([x, y]): Point => [x + 10, y + 10])])).toBeCloseTo(0, 6)
  })
})

describe('simplifyOutward', () => {
  it('never lays a part of the loop bare and adds no more area than allowed', () => {
    fc.assert(
      fc.property(loops, (loop) => {
        const simple = simplifyOutward(loop, 1, 20)
        expect(simple.length).toBeLessThanOrEqual(loop.length)
        expect(commonArea([simple], [loop])).toBeCloseTo(signedArea(loop), 4)
        expect(signedArea(simple) - signedArea(loop)).toBeLessThanOrEqual(20 + 1e-6)
      }),
    )
  })

  it('makes an opening smaller, not larger', () => {
    const round = star(Array.from({ length: 40 }, () => 10))
    const opening = simplifyOutward(round.toReversed(), 0.5, 20)
    expect(opening.length).toBeLessThan(40)
    expect(commonArea([opening.toReversed()], [round])).toBeCloseTo(-signedArea(opening), 3)
  })
})

describe('Pair', () => {
  const offset = fc.double({ min: -45, max: 45, noNaN: true })
  const places = fc.array(fc.tuple(offset, offset), { minLength: 20, maxLength: 20 })

  it('tells overlap from none exactly', () => {
    fc.assert(
      fc.property(loops, loops, fc.constantFrom(0, 90, 180, 33), places, (a, b, turn, at) => {
        const pair = new Pair(convexParts([a]), convexParts([b]), turn, 48)
        const turned = placeLoop(b, turn)
        for (const [x, y] of at) {
          const common = commonArea([a], [move(turned, x, y)])
          // Below a hundredth of a square millimetre either answer may be rounding.
          if (common > 0.01) expect(pair.depth(x, y)).toBeGreaterThan(0)
          if (pair.depth(x, y) > 0.01) expect(common).toBeGreaterThan(0)
        }
      }),
      { numRuns: 60 },
    )
  })

  it('measures the depth of two squares', () => {
    const pair = new Pair([box(10, 10)], [box(10, 10)], 0, 48)
    expect(pair.depth(7, 1)).toBeCloseTo(3, 9)
    expect(pair.depth(0, 0)).toBeCloseTo(10, 9)
    expect(pair.depth(10, 3)).toBe(0)
  })

  it('measures the way out of a dented shape, not out of one of its parts', () => {
    // An L of arms 10 wide, and a 2 mm square whose far side lies 6 mm from its outer sides: 6 to the left or down.
    // The table may be off by a step of it, 42 / 64.
    const corner: Loop = [[0, 0], [40, 0], [40, 10], [10, 10], [10, 40], [0, 40]]
    const pair = new Pair(convexParts([corner]), [box(2, 2)], 0, 64)
    expect(pair.depth(4, 4)).toBeGreaterThan(5.2)
    expect(pair.depth(4, 4)).toBeLessThan(6.8)
  })

  it('is zero for a piece in an opening', () => {
    const pair = new Pair(convexParts(frame), [box(18, 18)], 0, 48)
    expect(pair.depth(11, 11)).toBe(0)
    expect(pair.depth(9, 11)).toBeGreaterThan(0.9)
  })
})

/** Cells of a mask as boxes, a span each. */
function boxesOf({ firstRow, rows, starts, spans }: Cells): Loop[] {
  return Array.from({ length: rows }, (_, row) => row).flatMap((row) => {
    const found: Loop[] = []
    for (let i = starts[row]!; i < starts[row + 1]!; i += 2) found.push(move(box(spans[i + 1]! - spans[i]! + 1, 1), spans[i]!, row + firstRow))
    return found
  })
}

describe('rasterize', () => {
  it('covers every part of the region', () => {
    fc.assert(
      fc.property(loops, (loop) => {
        const { minX, minY } = boundsOf(loop)
        const cells = boxesOf(rasterize([move(loop, -minX, -minY)]))
        expect(commonArea(cells.map((one) => move(one, minX, minY)), [loop])).toBeCloseTo(signedArea(loop), 3)
      }),
    )
  })

  it('tells cells that are wholly covered, wherever in its cells the region lies', () => {
    const part = fc.double({ min: 0, max: 0.999, noNaN: true })
    fc.assert(
      fc.property(loops, fc.boolean(), part, part, (loop, holed, dx, dy) => {
        const region = holed ? [loop.map(([x, y]): Point => [3 * x, 3 * y]), loop.toReversed()] : [loop]
        const { minX, minY } = boundsOf(region[0]!)
        const moved = region.map((one) => move(one, -minX, -minY))
        const count = (cells: readonly Loop[]) => cells.reduce((sum, one) => sum + signedArea(one), 0)
        const inside = boxesOf(covered(moved))
        expect(commonArea(inside, moved)).toBeCloseTo(count(inside), 3)
        const anywhere = boxesOf(coveredAnywhere(moved))
        expect(commonArea(anywhere, moved.map((one) => move(one, dx, dy)))).toBeCloseTo(count(anywhere), 3)
      }),
    )
    // Of a box on the cells all are covered, and all but the lowest and leftmost stay so.
    expect([...covered([box(3, 2)]).spans]).toEqual([0, 2, 0, 2])
    expect([...coveredAnywhere([box(3, 2)]).spans]).toEqual([1, 2])
  })

  it('gives a box on the cells no more than its cells', () => {
    expect([...rasterize([box(3, 2)]).spans]).toEqual([0, 2, 0, 2])
  })

  it('finds the lowest, then leftmost room', () => {
    const raster = new Raster(10, 10, 2)
    raster.draw(rasterize([box(6, 4)]), 0, 0)
    const mask = rasterize([box(5, 3)])
    expect(raster.find(mask, 5, 7, 0)).toBe(4 << 16)
    expect(raster.find(rasterize([box(4, 4)]), 6, 6, 0)).toBe(6)
    raster.draw(mask, 0, 4)
    raster.draw(mask, 5, 4)
    expect(raster.find(rasterize([box(10, 4)]), 0, 6, 0)).toBe(-1)
  })
})
