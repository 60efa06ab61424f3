import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { crownedTyre, tube, windStrip, windingLength } from '../../lib/craft/roll'
import { spiralAngle, spiralLength } from '../../lib/craft/spiral'

describe('wound strip against published examples', () => {
  // novacalculator.com/roll-length-calculator, in inches; its "8,437 wraps" is a misprint for 1125.
  test.each([
    { outside: 12, core: 3, pitch: 0.004, length: 26507, feet: 2209, turns: 1125 },
    { outside: 5, core: 2, pitch: 0.0008, length: 20617, feet: 1718, turns: 1875 },
  ])('$core to $outside in at $pitch: $length in', ({ outside, core, pitch, length, feet, turns }) => {
    const wound = windStrip({ core, outside, pitch, width: 10, longest: 1e9 })
    expect(wound.length).toBeCloseTo(length, 0)
    expect(wound.length / 12).toBeCloseTo(feet, 0)
    expect(wound.turns).toBeCloseTo(turns, 6)
  })
})

describe('exact Archimedean spiral', () => {
  // codingace.net/conversion/formula_to_cal_arc_length.html: a, b, from, to in degrees, length.
  test.each([
    [0, 1, 0, 360, 21.256294],
    [2, 0.5, 0, 180, 8.894183],
    [5, 0, 0, 90, 7.853982],
    [1, 0.25, 180, 720, 28.035218],
  ])('a %d, b %d, %d° to %d°: %d', (a, b, from, to, length) => {
    expect(spiralLength({ a, b }, (from * Math.PI) / 180, (to * Math.PI) / 180)).toBeCloseTo(length, 6)
  })

  // J. D. Cook, blog of 2024-04-17 (citing MathWorld): from the pole, m turns of r = bθ with his b per turn of 2π.
  test('from the pole, 3 turns', () => {
    expect(spiralLength({ a: 0, b: 1 }, 0, 6 * Math.PI)).toBeCloseTo(179.717873269, 8)
  })

  test('the area formula differs from it by less than the card is thick', () => {
    // A tyre of 6 to 16 mm in 0.28 mm card; both figures computed from the two formulas.
    expect(windingLength(6, 16, 0.28)).toBeCloseTo(617.0986, 4)
    expect(spiralLength({ a: 3, b: 0.28 / (2 * Math.PI) }, 0, (2 * Math.PI * 5) / 0.28)).toBeCloseTo(617.1204, 4)
  })

  test('the angle reached undoes the length run', () => {
    const size = fc.double({ min: 0.5, max: 50, noNaN: true })
    fc.assert(
      fc.property(size, fc.double({ min: 0.01, max: 1, noNaN: true }), size, (a, b, angle) => {
        expect(spiralAngle({ a, b }, spiralLength({ a, b }, 0, angle))).toBeCloseTo(angle, 9)
      }),
    )
  })
})

describe('strips of a solid tyre', () => {
  const tyre = { core: 6, outside: 16, width: 5, pitch: 0.28, longest: 200 }

  test('strips add up, fit the sheet, and no two joints lie within 30° of each other', () => {
    const { strips, length } = windStrip(tyre)
    expect(strips.reduce((sum, strip) => sum + strip.length, 0)).toBeCloseTo(length, 9)
    expect(Math.max(...strips.map((strip) => strip.length))).toBeLessThanOrEqual(200)
    const angles = strips.map((strip) => strip.startsAt)
    for (const [i, a] of angles.entries()) {
      for (const b of angles.slice(i + 1)) expect(Math.min(Math.abs(a - b), 360 - Math.abs(a - b))).toBeGreaterThan(30)
    }
  })

  test('a butted ring of one turn is π times its middle diameter', () => {
    expect(tube({ bore: 10, length: 20, turns: 1, pitch: 0.3, longest: 500 }).length).toBeCloseTo(Math.PI * 10.3, 12)
  })

  test('an outside no larger than the core is refused with both numbers', () => {
    expect(() => windStrip({ ...tyre, outside: 6 })).toThrow(/core of 6\.00 mm is to be 6\.00 mm across/)
  })

  test('a crowned tyre winds the same length and falls to its tread', () => {
    const crowned = crownedTyre({ ...tyre, shoulder: 12, tread: 2, bands: 3 })
    const areas = crowned.strips.map((strip) => widthAt(strip.flat.outline))
    expect(crowned.strips.reduce((sum, strip) => sum + strip.length, 0)).toBeCloseTo(crowned.length, 9)
    expect(areas[0]).toEqual([5, 5])
    expect(areas.at(-1)![1]).toBeCloseTo(2, 6)
    for (const [start, end] of areas) expect(end).toBeLessThanOrEqual(start)
  })
})

/** Width of a strip at its start and at its end. */
function widthAt(outline: readonly (readonly [number, number])[]): [number, number] {
  const xs = outline.map(([x]) => x)
  const at = (x: number): number[] => outline.filter((point) => point[0] === x).map(([, y]) => y)
  return [span(at(Math.min(...xs))), span(at(Math.max(...xs)))]
}

function span(values: readonly number[]): number {
  return Math.max(...values) - Math.min(...values)
}
