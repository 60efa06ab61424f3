import fc from 'fast-check'
import { expect, test } from 'vitest'
import { area, boundsOf, centroid, perimeter } from '../../lib/shape/measure'
import { mirrorRegion, moveRegion, scaleRegion, turnRegion } from '../../lib/shape/transform'
import { splitRegion, trimRegion } from '../../lib/shape/trim'
import type { Point, Region } from '../../lib/shape/point'
import { angles, box, clockwise, findingOf, regular, starPolygons } from '../helpers/geometry'

const ring: Region = [box(0, 0, 10, 6), clockwise(box(2, 2, 5, 4))]

test('moving, turning and mirroring keep area, length and winding', () => {
  fc.assert(
    fc.property(starPolygons, angles, (loop, angle) => {
      for (const made of [
        moveRegion([loop], 3, -7),
        turnRegion([loop], angle, [4, 5]),
        mirrorRegion([loop], 'x'),
        mirrorRegion([loop], 'y'),
      ]) {
        expect(area(made)).toBeCloseTo(area([loop]), 8)
        expect(perimeter(made)).toBeCloseTo(perimeter([loop]), 8)
      }
    }),
  )
})

test('mirroring in x changes the sign of x, in y that of y; holes stay holes', () => {
  expect(boundsOf(mirrorRegion(ring, 'x'))).toEqual({ minX: -10, minY: 0, maxX: 0, maxY: 6 })
  expect(boundsOf(mirrorRegion(ring, 'y'))).toEqual({ minX: 0, minY: -6, maxX: 10, maxY: 0 })
  expect(mirrorRegion(ring, 'x').map((loop) => Math.sign(area([loop])))).toEqual([1, -1])
})

test('quarter turns are exact', () => {
  expect(turnRegion([box(1, 2, 3, 4)], 90)[0]).toEqual([
    [-2, 1],
    [-2, 3],
    [-4, 3],
    [-4, 1],
  ])
  expect(turnRegion([box(1, 2, 3, 4)], 450)).toEqual(turnRegion([box(1, 2, 3, 4)], -270))
  const [x, y] = turnRegion([[[10, 0]]], 30)[0]![0]!
  expect([x, y]).toEqual([expect.closeTo(10 * Math.sqrt(0.75), 12), expect.closeTo(5, 12)])
})

test('scaling by k scales area by k²; a factor of nought or less is named', () => {
  expect(area(scaleRegion(ring, 1.7))).toBeCloseTo(area(ring) * 1.7 ** 2, 9)
  const wrong = findingOf(() => scaleRegion(ring, 0))
  expect(wrong.text).toBe('a shape was scaled by 0')
  expect(wrong.remedy).toBe('give a factor above 0; use mirrored to turn it over')
})

test('a line through the centroid of a polygon with a centre of symmetry halves it', () => {
  fc.assert(
    fc.property(fc.integer({ min: 2, max: 12 }), angles, angles, (half, turn, angle) => {
      const shape = [regular(2 * half, 20, turn)]
      if (half === 1) return
      const [cx, cy] = centroid(shape)
      const to: Point = [cx + Math.cos((angle * Math.PI) / 180), cy + Math.sin((angle * Math.PI) / 180)]
      const { left, right } = splitRegion(shape, [cx, cy], to)
      expect(Math.abs(area(left) - area(right))).toBeLessThan(1e-2)
      expect(area(left) + area(right)).toBeCloseTo(area(shape), 2)
    }),
  )
})

test('left and right are seen along the line', () => {
  expect(boundsOf(trimRegion(ring, [6, 0], [6, 1], 'left')).maxX).toBe(6)
  expect(boundsOf(trimRegion(ring, [6, 0], [6, 1], 'right')).minX).toBe(6)
  expect(trimRegion(ring, [6, 500], [6, 501], 'left')).toEqual(trimRegion(ring, [6, 0], [6, 1], 'left'))
  expect(trimRegion(ring, [20, 0], [20, 1], 'right')).toEqual([])
  expect(trimRegion(ring, [20, 0], [20, 1], 'left')).toHaveLength(2)
})

test('a line of no length is named', () => {
  const wrong = findingOf(() => trimRegion(ring, [1, 1], [1, 1], 'left'))
  expect(wrong.text).toBe('a line to trim by runs from (1, 1) to (1, 1) mm, a length of 0 mm')
})
