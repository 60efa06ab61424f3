import { execFileSync } from 'node:child_process'
import { resolve } from 'node:path'
import { booleans, geometries, measurements, primitives, transforms } from '@jscad/modeling'
import { expect, test } from 'vitest'
import { fromGeom2, fromPath2, toGeom2, toPath2 } from '../../lib/shape/jscad'
import { area, perimeter } from '../../lib/shape/measure'
import { Path } from '../../lib/shape/path'
import type { Loop, Region } from '../../lib/shape/point'
import { Shape } from '../../lib/shape/shape'
import { box, findingOf, regular } from '../helpers/geometry'

/** From its leftmost, lowest point, as every region's loops start. */
const HOLE: Loop = [
  [2, 2],
  [2, 4],
  [5, 4],
  [5, 2],
]

const ring: Region = [box(0, 0, 10, 6), HOLE]

test('there and back again is the same region, holes and all', () => {
  const theirs = toGeom2(ring)
  expect(geometries.geom2.isA(theirs)).toBe(true)
  expect(() => geometries.geom2.validate(theirs)).not.toThrow()
  expect(measurements.measureArea(theirs)).toBeCloseTo(area(ring), 9)
  expect(fromGeom2(theirs)).toEqual(ring)
})

test('what its primitives and booleans make comes over with its area, its transforms applied', () => {
  const made = transforms.translate(
    [3, 4, 0],
    booleans.subtract(primitives.circle({ radius: 10, segments: 48 }), primitives.rectangle({ size: [4, 4] })),
  )
  const region = fromGeom2(made)
  const sine = Math.sin((2 * Math.PI) / 48)
  // Its booleans snap to about a hundred-thousandth of the size.
  expect(Math.abs(area(region) - ((48 / 2) * 100 * sine - 16))).toBeLessThan(20 * 1e-5 * perimeter(region))
  expect(Shape.fromGeom2(made).centroid).toEqual([expect.closeTo(3, 3), expect.closeTo(4, 3)])
})

test('ours measure there as they do here', () => {
  const shape = Shape.of(regular(7, 12))
  expect(measurements.measureArea(shape.toGeom2())).toBeCloseTo(shape.area, 9)
  const [[minX, minY], [maxX, maxY]] = measurements.measureBoundingBox(shape.toGeom2())
  expect({ minX, minY, maxX, maxY }).toEqual(shape.bounds)
})

test('a path2 keeps its points and whether it closes', () => {
  const theirs = toPath2([[0, 0], [5, 1], [7, 7]], true)
  expect(fromPath2(theirs)).toEqual({ line: [[0, 0], [5, 1], [7, 7]], closed: true })
  const arc = primitives.arc({ radius: 5, startAngle: 0, endAngle: Math.PI, segments: 64 })
  const half = Path.fromPath2(arc).close()
  expect(half.area).toBeCloseTo((64 / 4) * 25 * Math.sin((2 * Math.PI) / 64), 6)
})

test('anything else is refused by name', () => {
  const cube = findingOf(() => fromGeom2(primitives.cube({ size: 2 })))
  expect(cube.text).toBe('object was given where a geom2 of @jscad/modeling is meant')
  expect(findingOf(() => fromPath2(undefined)).text).toBe('undefined was given where a path2 of @jscad/modeling is meant')
})

test('loading shapes does not load @jscad/modeling, which only few models need', () => {
  const script = `
    require('ts-node').register({ transpileOnly: true, swc: true, compilerOptions: { module: 'commonjs' } })
    require('./lib/shape/shape'); require('./lib/shape/path'); require('./lib/shape/primitive'); require('./lib/shape/measure')
    const loaded = () => Object.keys(require.cache).some((file) => file.includes('@jscad'))
    const before = loaded()
    require('./lib/shape/shape').Shape.of([[0, 0], [1, 0], [0, 1]]).toGeom2()
    process.stdout.write(JSON.stringify([before, loaded()]))
  `
  const said = execFileSync(process.execPath, ['-e', script], { cwd: resolve(__dirname, '../..'), encoding: 'utf8' })
  expect(JSON.parse(said)).toEqual([false, true])
})
