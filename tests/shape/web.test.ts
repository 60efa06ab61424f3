import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { subtract, unite } from '../../lib/shape/boolean'
import { narrowestWeb } from '../../lib/shape/measure'
import { strokeLine } from '../../lib/shape/offset'
import type { Loop, Point, Region } from '../../lib/shape/point'
import { angles, box, clockwise, regular, turned } from '../helpers/geometry'

const at = (loop: Loop, dx: number, dy: number): Loop => loop.map(([x, y]): Point => [x + dx, y + dy])
const plate = box(0, 0, 40, 20)
const disc = (x: number, y: number, radius: number) => at(regular(64, radius), x, y)

describe('the widths are those a ruler gives', () => {
  const cases: [string, Region, number][] = [
    ['between two round holes', subtract([plate], [disc(12, 10, 4)], [disc(22, 10, 5)]), 1],
    ['between a hole and the edge', subtract([plate], [disc(20, 14, 5.2)]), 0.8],
    ['between a slot from the edge and a hole', subtract([plate], [box(10, -1, 12, 8)], [disc(11, 13, 4)]), 1],
    ['between two slots from opposite edges', subtract([plate], [box(10, -1, 12, 12)], [box(12.7, 8, 15, 21)]), 0.7],
    ['between two slots end to end', subtract([plate], [box(10, -1, 12, 9)], [box(10, 9.6, 12, 21)]), 0.6],
    ['between corners of two slots', subtract([plate], [box(10, -1, 12, 9)], [box(12.3, 9.4, 15, 21)]), 0.5],
    ['across a neck between two bodies', unite([box(0, 0, 10, 10)], [box(9, 4, 16, 5.5)], [box(15, 0, 25, 10)]), 1.5],
    ['across a tongue', unite([box(0, 0, 10, 10)], [box(9, 4, 25, 5.2)]), 1.2],
    ['across a plain strip', [box(0, 0, 40, 0.9)], 0.9],
    ['across a bent strip', strokeLine([[0, 0], [20, 0], [30, 15]], 1.1), 1.1],
    ['round a ring', [regular(64, 10), clockwise(regular(64, 8))], 2 * Math.cos(Math.PI / 64)],
    ['of a hole off the middle of its disc', [regular(128, 10), clockwise(at(regular(128, 6), 2, 0))], 2],
    ['between opening and outline that touch', subtract([plate], [[[5, 5], [9, 5], [7, 20 - 1e-5]]]), 0],
  ]

  test.each(cases)('%s', (_, region, expected) => {
    expect(Math.abs(narrowestWeb(region)!.width - expected)).toBeLessThan(0.012)
  })

  test.each(cases)('%s, turned by any angle', (_, region, expected) => {
    fc.assert(
      fc.property(angles, (angle) => {
        expect(Math.abs(narrowestWeb(turned(region, angle))!.width - expected)).toBeLessThan(0.012)
      }),
      { numRuns: 20 },
    )
  })
})

test('the place is between the two cuts', () => {
  const web = narrowestWeb(subtract([plate], [box(10, -1, 12, 9)], [box(10, 9.6, 12, 21)]))!
  expect(web.at[1]).toBeCloseTo(9.3, 6)
  expect(web.at[0]).toBeGreaterThanOrEqual(10)
  expect(web.at[0]).toBeLessThanOrEqual(12)
  expect(web.between.map(([, y]) => y).toSorted((a, b) => a - b)).toEqual([9, 9.6])
})

describe('what is none', () => {
  test('a sharp corner: a triangle has its inscribed circle instead', () => {
    const needle: Loop = [
      [0, 0],
      [40, 0],
      [0, 6],
    ]
    const inradius = (40 + 6 - Math.hypot(40, 6)) / 2
    expect(Math.abs(narrowestWeb([needle])!.width - 2 * inradius)).toBeLessThan(0.02)
  })

  test('a tapered tip, sharp, blunt or round, nor a rounded corner', () => {
    const blunt: Loop = [
      [0, -5],
      [60, -0.2],
      [60, 0.2],
      [0, 5],
    ]
    expect(narrowestWeb([blunt])!.width).toBeGreaterThan(4)
    const drop: Loop = [...regular(200, 5).slice(30, 171), [40, 0]]
    expect(narrowestWeb([drop])!.width).toBeGreaterThan(9)
  })

  test('the gap of a slot: only card counts', () => {
    expect(narrowestWeb(subtract([plate], [box(10, -1, 10.4, 12)]))!.width).toBeCloseTo(8, 6)
  })

  test('a way across with another cut in it', () => {
    const region = subtract([plate], [box(10, 5, 12, 15)], [box(16, 5, 18, 15)], [box(13.5, 2, 14.5, 18)])
    expect(narrowestWeb(region)!.width).toBeCloseTo(1.5, 6)
  })
})

test('a disc and a square are as wide as they are', () => {
  expect(Math.abs(narrowestWeb([regular(400, 5)])!.width - 10)).toBeLessThan(0.02)
  expect(narrowestWeb([box(0, 0, 7, 7)])!.width).toBeCloseTo(7, 9)
  expect(narrowestWeb([])).toBeUndefined()
})

test('a limit finds the same web or none', () => {
  const region = subtract([plate], [disc(12, 10, 4)], [disc(22, 10, 5)])
  expect(narrowestWeb(region, 1.2)).toEqual(narrowestWeb(region))
  expect(narrowestWeb(region, 0.9)).toBeUndefined()
  // Nothing but a slip of card: no neck, and still too narrow.
  const slip: Loop = regular(60, 1).map(([x, y]): Point => [3 * x, 0.25 * y])
  expect(Math.abs(narrowestWeb(turned([slip], 30), 0.8)!.width - 0.5)).toBeLessThan(0.02)
})

test('scaling the shape scales the web', () => {
  fc.assert(
    fc.property(fc.double({ min: 0.2, max: 20, noNaN: true }), (factor) => {
      const region = subtract([plate], [disc(12, 10, 4)], [box(18, 3, 20, 21)])
      const scaled = region.map((loop) => loop.map(([x, y]): Point => [x * factor, y * factor]))
      expect(narrowestWeb(scaled)!.width / factor).toBeCloseTo(narrowestWeb(region)!.width, 6)
    }),
  )
})
