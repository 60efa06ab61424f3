import fc from 'fast-check'
import { expect, test } from 'vitest'
import { mm, pathData } from '../../lib/sheet/digits'

test('a line reads as its points to 0.001 mm, y turned over', () => {
  expect(pathData([[0, 0], [1.5, -20], [-0.0004, 3.21159], [123456, 0.1]], true, 100)).toBe('M0 100L1.5 120 0 96.788 123456 99.9Z')
})

test('digits are those that JavaScript prints for the rounded number', () => {
  const coordinate = fc.double({ min: -999_000, max: 999_000, noNaN: true })
  fc.assert(
    fc.property(fc.array(fc.tuple(coordinate, coordinate), { minLength: 1, maxLength: 40 }), (points) => {
      const plain = (value: number) => String(Math.round(value * 1000) / 1000 + 0)
      const wanted = points.map(([x, y], i) => `${i === 0 ? 'M' : i === 1 ? 'L' : ' '}${plain(x)} ${plain(0 - y)}`).join('')
      expect(pathData(points, false, 0)).toBe(wanted)
      expect(mm(points[0]![0])).toBe(plain(points[0]![0]))
    }),
    { seed: 5 },
  )
})

test('a coordinate beyond a kilometre is refused', () => {
  expect(() => pathData([[2e6, 0]], false, 0)).toThrow('a coordinate of 2000000 mm on a sheet')
})
