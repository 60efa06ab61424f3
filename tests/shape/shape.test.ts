import { describe, expect, test } from 'vitest'
import { bench, full } from '../../lib/length/unit'
import { mm } from '../../lib/length/length'
import { area } from '../../lib/shape/measure'
import { path } from '../../lib/shape/path'
import { CHORD_TOLERANCE, type Loop } from '../../lib/shape/point'
import { circle, polygon, rectangle, rectangleFrom, regularPolygon, slot, strip } from '../../lib/shape/primitive'
import { Shape } from '../../lib/shape/shape'
import { box, clockwise, findingOf, on, regular } from '../helpers/geometry'

const b = bench.mm

describe('primitives', () => {
  test('have the areas of geometry books, circles from inside to within the chord tolerance', () => {
    on(() => {
      expect(rectangle(b(4), b(3)).area).toBeCloseTo(12, 9)
      expect(rectangleFrom(b(5), b(1), b(2), b(3)).bounds).toEqual({ minX: 2, minY: 1, maxX: 5, maxY: 3 })
      const disc = circle(b(10)).area
      expect(disc).toBeLessThan(Math.PI * 100)
      expect(disc).toBeGreaterThan(Math.PI * 100 - 2 * Math.PI * 10 * CHORD_TOLERANCE)
      expect(Math.abs(slot(b(10), b(2)).area - (16 + Math.PI))).toBeLessThan(2 * Math.PI * CHORD_TOLERANCE)
      expect(regularPolygon(6, b(1)).area).toBeCloseTo(2.598076211, 9)
      expect(polygon([b(0), b(0)], [b(0), b(4)], [b(3), b(0)]).area).toBeCloseTo(6, 9)
      expect(strip([[b(0), b(0)], [b(10), b(0)]], b(1.5)).area).toBeCloseTo(15, 9)
    })
  })

  test('a disc is as wide as it is high, and full-size lengths shrink with the scale', () => {
    on(() => {
      expect(circle(full.m(0.6)).bounds).toEqual({ minX: -10, minY: expect.closeTo(-10, 9), maxX: 10, maxY: expect.closeTo(10, 9) })
    })
  })

  test('sizes of nought or less are named', () => {
    on(() => {
      expect(findingOf(() => circle(b(0))).text).toBe('the radius of a circle is 0 mm')
      expect(findingOf(() => rectangle(b(2), b(-1))).text).toBe('the height of a rectangle is -1 mm')
      expect(findingOf(() => slot(b(1), b(2))).text).toBe('a slot of 1 mm length is to be 2 mm wide')
      expect(findingOf(() => regularPolygon(2, b(2))).text).toBe('a polygon of 2 corners was asked for')
      expect(findingOf(() => polygon([b(0), b(0)])).text).toBe('a polygon of 1 corners was asked for')
    })
  })
})

describe('taking in outlines', () => {
  test('a loop may run either way and repeat its first point', () => {
    const loop = box(0, 0, 2, 2)
    expect(Shape.of(clockwise(loop)).area).toBe(4)
    expect(Shape.of([...loop, loop[0]!]).region).toEqual([loop])
  })

  test('a region is kept as it is, loops wound otherwise are put right', () => {
    const region = [box(0, 0, 9, 9), clockwise(box(1, 1, 2, 2))]
    expect(Shape.of(region).region).toEqual(region)
    expect(Shape.of([box(0, 0, 9, 9), box(1, 1, 2, 2)]).area).toBeCloseTo(80, 9)
    expect(Shape.of([box(0, 0, 4, 4), box(2, 2, 6, 6)]).area).toBeCloseTo(32 - 8, 9)
    expect(Shape.of([]).empty).toBe(true)
  })

  test('what cannot be an outline is named with its place and figures', () => {
    const bow: Loop = [[0, 0], [2, 2], [2, 0], [0, 2]]
    expect(findingOf(() => Shape.of(bow)).text).toBe('an outline of 4 points crosses itself at (1, 1) mm')
    expect(findingOf(() => Shape.of([[0, 0], [1, 1], [2, 2]])).text).toBe('an outline of 3 points encloses 0 mm²')
    expect(findingOf(() => Shape.of([[0, 0], [1, Infinity], [2, 2]])).id).toBe('bad-point')
    expect(findingOf(() => Shape.of([[3, 4]])).text).toBe('an outline of 0 points encloses 0 mm²')
  })

  test('an outline that touches itself at a point passes: two triangles point to point', () => {
    expect(Shape.of([[-2, -1], [0, 0], [2, -1], [2, 1], [0, 0], [-2, 1]]).area).toBeCloseTo(4, 9)
  })
})

describe('shapes', () => {
  test('join, cut, measure', () => {
    on(() => {
      const plate = rectangle(b(40), b(20)).minus(circle(b(5)), rectangleFrom(b(15), b(-1), b(30), b(1)))
      expect(Math.abs(plate.area - (800 - 25 * Math.PI - 10))).toBeLessThan(10 * Math.PI * CHORD_TOLERANCE)
      expect(plate.holes()).toHaveLength(1)
      expect(plate.holes()[0]!.area).toBeCloseTo(circle(b(5)).area, 3)
      expect(plate.outline()).toHaveLength(8)
      expect(plate.contains(b(0), b(0))).toBe(false)
      expect(plate.contains(b(10), b(0))).toBe(true)
      expect(plate.union(circle(b(5))).holes()).toEqual([])
      expect(plate.intersect(rectangleFrom(b(0), b(0), b(99), b(99))).bounds).toEqual({ minX: 0, minY: 0, maxX: 20, maxY: 10 })
    })
  })

  test('never change: every word gives a new one', () => {
    on(() => {
      const one = rectangle(b(4), b(2))
      const before = structuredClone(one.region)
      one.moved(b(1), b(1)).turned(30, [b(1), b(0)]).mirrored('x').scaled(2).offset(b(1)).inset(b(0.5)).filleted(b(0.2)).chamfered(b(0.1))
      expect(one.region).toEqual(before)
      expect(Object.isFrozen(one)).toBe(true)
    })
  })

  test('spans come back as lengths for spars and stringers', () => {
    on(() => {
      const disc = Shape.of(regular(4000, 5))
      const { from, to } = disc.spanAt(b(3))
      expect([mm(from), mm(to)]).toEqual([expect.closeTo(-4, 4), expect.closeTo(4, 4)])
      expect(mm(disc.spanAcross(b(-4)).to)).toBeCloseTo(3, 4)
      const missed = findingOf(() => disc.spanAt(b(7)))
      expect(missed.text).toBe('there is nothing of the shape at x = 7 mm: it reaches from -5 to 5 mm')
      expect(missed).toMatchObject({ found: 7, wanted: 5 })
    })
  })

  test('an inset that leaves nothing says how much there is', () => {
    on(() => {
      const wrong = findingOf(() => rectangle(b(20), b(2)).inset(b(1.5)))
      expect(wrong.text).toBe('an inset of 1.5 mm leaves nothing of a shape 2 mm wide')
      expect(wrong.remedy).toBe('inset it by less than 1 mm')
      expect(wrong).toMatchObject({ found: 1.5, wanted: 1 })
    })
  })

  test('trim by a line, keeping a side', () => {
    on(() => {
      const half = circle(b(5)).trimmed([[b(0), b(0)], [b(1), b(0)]], 'left')
      expect(half.area).toBeCloseTo(circle(b(5)).area / 2, 3)
      expect(half.bounds.minY).toBe(0)
    })
  })

  test('an outline is asked of one part only', () => {
    on(() => {
      const two = circle(b(1)).union(circle(b(1)).moved(b(9), b(0)))
      expect(findingOf(() => two.outline()).text).toBe('the outline of a shape in 2 parts was asked for, where 1 is meant')
      expect(findingOf(() => Shape.of([]).outline()).text).toBe('the outline of a shape in 0 parts was asked for, where 1 is meant')
      expect(findingOf(() => two.minus('hole' as unknown as Shape)).text).toBe('hole was given where a shape is meant')
    })
  })
})

describe('paths', () => {
  test('an arch: lines, and a half circle by radius', () => {
    on(() => {
      const arch = path().from(b(-3), b(0)).line(b(3), b(0)).by(b(0), b(4)).arcTo([b(-3), b(4)], b(3)).close()
      expect(Math.abs(arch.area - (24 + 4.5 * Math.PI))).toBeLessThan(3 * Math.PI * CHORD_TOLERANCE)
      const through = path().from(b(3), b(4)).arcThrough([b(0), b(7)], [b(-3), b(4)]).close()
      const about = path().from(b(3), b(4)).arcAbout([b(0), b(4)], 180).close()
      expect(through.area).toBeCloseTo(about.area, 6)
    })
  })

  test('an arc goes on smoothly from a line, an arc, and a curve', () => {
    on(() => {
      // An S of two quarter circles, the second turning on from the first: it ends 5 further, level again.
      const line = path().from(b(0), b(0)).line(b(1), b(0)).arcOn([b(6), b(5)]).arcOn([b(1), b(10)])
      for (const [x, y] of line.points.slice(2)) expect(Math.hypot(x - 1, y - 5)).toBeCloseTo(5, 6)
      const curve = path().from(b(0), b(0)).bezier([b(3), b(0)], [b(5), b(2)], [b(5), b(5)]).arcOn([b(0), b(10)])
      for (const [x, y] of curve.points.slice(-5)) expect(Math.hypot(x, y - 5)).toBeCloseTo(5, 6)
      const fair = path().from(b(0), b(0)).fair([[b(5), b(5)]], { leave: 0, arrive: 90 }).arcOn([b(0), b(10)])
      for (const [x, y] of fair.points.slice(-5)) expect(Math.hypot(x, y - 5)).toBeCloseTo(5, 6)
      expect(findingOf(() => path().from(b(0), b(0)).arcOn([b(1), b(1)])).id).toBe('bad-path')
    })
  })

  test('a parabola by a quadratic encloses two thirds of its rectangle (Archimedes)', () => {
    on(() => {
      const segment = path().from(b(3), b(0)).quadratic([b(0), b(18)], [b(-3), b(0)]).close()
      expect(Math.abs(segment.area - (2 / 3) * 6 * 9)).toBeLessThan(20 * CHORD_TOLERANCE)
    })
  })

  test('a strip along a path, and a path2 of it', () => {
    on(() => {
      const line = path().from(b(0), b(0)).line(b(10), b(0)).line(b(10), b(10))
      expect(line.strip(b(2)).area).toBeCloseTo(2 * 20, 6)
      expect(line.toPath2().points).toHaveLength(3)
      expect(area(line.close().region)).toBeCloseTo(50, 9)
    })
  })
})
