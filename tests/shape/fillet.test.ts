import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { cornersOf } from '../../lib/shape/corner'
import { arcAbout } from '../../lib/shape/curve'
import { chamferRegion, filletRegion } from '../../lib/shape/fillet'
import { area, perimeter, selfCrossing } from '../../lib/shape/measure'
import { offsetRegion } from '../../lib/shape/offset'
import { CHORD_TOLERANCE, type Loop, type Point } from '../../lib/shape/point'
import { angles, box, clockwise, findingOf, regular, turned } from '../helpers/geometry'

const ell: Loop = [
  [0, 0],
  [20, 0],
  [20, 8],
  [8, 8],
  [8, 20],
  [0, 20],
]

describe('corners', () => {
  test('of an L: five stick out, one bites in', () => {
    expect(cornersOf([ell]).map(({ turn }) => Math.round(turn))).toEqual([90, 90, 90, -90, 90, 90])
    expect(cornersOf([clockwise(ell)]).filter(({ turn }) => turn > 0)).toHaveLength(1)
  })

  test('the vertices of a flattened circle are none, at any size', () => {
    for (const radius of [0.1, 0.3, 1, 5, 50, 400]) {
      expect(cornersOf([arcAbout([radius, 0], [0, 0], 360)])).toEqual([])
    }
  })

  test('where an arc meets a line at an angle there is one', () => {
    const half: Loop = [[5, 0], ...arcAbout([5, 0], [0, 0], 180)]
    expect(cornersOf([half]).map(({ at }) => at.map((v) => Math.round(v) + 0))).toEqual([
      [5, 0],
      [-5, 0],
    ])
  })

  test('an outline after a mitred offset has as many corners as before', () => {
    expect(cornersOf(offsetRegion([ell], -1))).toHaveLength(6)
    const half: Loop = [[5, 0], ...arcAbout([5, 0], [0, 0], 180)]
    expect(cornersOf(offsetRegion([half], 1))).toHaveLength(2)
  })
})

describe('fillets', () => {
  test('take (1 − π/4) r² from a square corner, add it in a corner that bites in', () => {
    const each = 4 * (1 - Math.PI / 4)
    // Six quarter circles of radius 2, flattened.
    const allowed = 6 * Math.PI * CHORD_TOLERANCE
    expect(Math.abs(area(filletRegion([ell], 2)) - (area([ell]) - 4 * each))).toBeLessThan(allowed)
    expect(Math.abs(area(filletRegion([ell], 2, 'in')) - (area([ell]) + each))).toBeLessThan(allowed)
    expect(Math.abs(area(filletRegion([ell], 2, 'out')) - (area([ell]) - 5 * each))).toBeLessThan(allowed)
    const one = filletRegion([ell], 2, ({ at }) => at[0] === 20 && at[1] === 0)
    expect(Math.abs(area(one) - (area([ell]) - each))).toBeLessThan(allowed)
  })

  test('of any regular polygon take r² (tan(π/n) − π/n) a corner', () => {
    fc.assert(
      fc.property(fc.integer({ min: 3, max: 9 }), fc.double({ min: 0.1, max: 4.9, noNaN: true }), angles, (corners, radius, angle) => {
        const shape = turned([regular(corners, 10)], angle)
        const rounded = filletRegion(shape, radius)
        const step = Math.PI / corners
        const taken = corners * radius ** 2 * (Math.tan(step) - step)
        expect(Math.abs(area(shape) - area(rounded) - taken)).toBeLessThan(2 * Math.PI * radius * CHORD_TOLERANCE + 1e-6)
        expect(selfCrossing(rounded[0]!)).toBeUndefined()
      }),
    )
  })

  test('the largest one that fits makes a slot of a strip; a larger one says how large it may be', () => {
    const strip = [box(0, 0, 20, 2)]
    const round = filletRegion(strip, 1)
    expect(Math.abs(area(round) - (36 + Math.PI))).toBeLessThan(2 * Math.PI * CHORD_TOLERANCE)
    const wrong = findingOf(() => filletRegion(strip, 1.5))
    expect(wrong.id).toBe('fillet-too-large')
    expect(wrong.text).toBe('a fillet of 1.5 mm has no room at the corner (20, 0), 1 mm has')
    expect(wrong.remedy).toBe('make it 1 mm or less, or choose fewer corners')
    expect(wrong).toMatchObject({ found: 1.5, wanted: 1 })
  })

  test('between a line and a curve the arc touches both, over as many chords as it takes', () => {
    // A half disc of radius 10: a ball of radius 2 in its corner touches the base and the circle from inside.
    const half: Loop = [[10, 0], ...arcAbout([10, 0], [0, 0], 180)]
    const rounded = filletRegion([half], 2)[0]!
    // Its centre stands 2 above the base, 8 from the middle; so it touches the base at √(64 − 4).
    const touch = Math.sqrt(60)
    const onBase = rounded.filter(([, y]) => Math.abs(y) < 1e-9).map(([x]) => x)
    expect(Math.max(...onBase)).toBeCloseTo(touch, 1)
    expect(Math.min(...onBase)).toBeCloseTo(-touch, 1)
    for (const p of rounded.filter(([x, y]) => y > 0.01 && x > touch + 0.3)) {
      const [fromArc, fromCircle] = [Math.hypot(p[0] - touch, p[1] - 2), Math.hypot(...p)]
      expect(Math.min(Math.abs(fromArc - 2), Math.abs(fromCircle - 10))).toBeLessThan(0.03)
    }
    expect(cornersOf([rounded])).toEqual([])
  })

  test('an opening is rounded as its card asks: its corners bite into the card', () => {
    const plate = [box(0, 0, 30, 20), clockwise(box(5, 5, 25, 15))]
    const rounded = filletRegion(plate, 2, 'in')
    expect(rounded[0]).toEqual(plate[0])
    expect(rounded[1]!.length).toBeGreaterThan(20)
    expect(area(rounded)).toBeGreaterThan(area(plate))
  })

  test('none at all leaves the shape as it is; a negative one is named', () => {
    expect(filletRegion([ell], 0)).toEqual([ell])
    expect(findingOf(() => filletRegion([ell], -1)).text).toBe('a fillet of -1 mm was asked for')
  })
})

describe('chamfers', () => {
  test('take d²/2 from a square corner and shorten its edge by (2 − √2) d', () => {
    const cut = chamferRegion([box(0, 0, 10, 6)], 1.5)
    expect(cut[0]).toHaveLength(8)
    expect(area(cut)).toBeCloseTo(60 - (4 * 1.5 ** 2) / 2, 9)
    expect(perimeter(cut)).toBeCloseTo(32 - 4 * 1.5 * (2 - Math.SQRT2), 9)
  })

  test('that meet end on one point; larger ones are named', () => {
    expect(chamferRegion([box(0, 0, 4, 4)], 2)[0]).toHaveLength(4)
    const wrong = findingOf(() => chamferRegion([box(0, 0, 4, 4)], 2.5))
    expect(wrong.text).toBe('a chamfer of 2.5 mm has no room at the corner (0, 0), 2 mm has')
  })

  test('go back along a curve as far as along a line', () => {
    const half: Loop = [[10, 0], ...arcAbout([10, 0], [0, 0], 180)]
    const cut = chamferRegion([half], 3)[0]!
    const angle = 3 / 10
    const onArc: Point = [10 * Math.cos(angle), 10 * Math.sin(angle)]
    expect(Math.min(...cut.map((p) => Math.hypot(p[0] - onArc[0], p[1] - onArc[1])))).toBeLessThan(0.02)
    expect(Math.min(...cut.map((p) => Math.hypot(p[0] - 7, p[1])))).toBeLessThan(1e-9)
  })
})
