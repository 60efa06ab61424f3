import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { dashesFor, PENS } from '../../lib/sheet/pen'
import type { Role } from '../../lib/sheet/drawing'

const roles = Object.keys(PENS) as Role[]
const dashed = roles.filter((role) => PENS[role].dashes.length > 0)

/** How long the line is drawn and left out in turn, from its beginning to its end. */
function runs(dashes: readonly number[], length: number): number[] {
  const drawn: number[] = []
  let at = 0
  for (let i = 0; at < length - 1e-9; i++) {
    const run = Math.min(dashes[i % dashes.length]!, length - at)
    drawn.push(run)
    at += run
  }
  return drawn
}

describe('pens', () => {
  test('widths are of the series of ISO 128-20: 0.13 0.18 0.25 0.35 0.5 0.7 1 1.4 2 mm', () => {
    const series = [0.13, 0.18, 0.25, 0.35, 0.5, 0.7, 1, 1.4, 2]
    for (const role of roles) expect(series, role).toContain(PENS[role].width)
  })

  test('a cut, flat or through the model, is the widest line and continuous (ISO 128-24, 01.2); a datum line is long dash, short dash', () => {
    expect(PENS.cut.dashes).toEqual([])
    expect(roles.filter((role) => PENS[role].width >= PENS.cut.width && PENS[role].ink === undefined)).toEqual(['cut', 'section'])
    const [long, gap, short, same] = PENS.datum.dashes
    expect(long! / short!).toBeGreaterThan(3)
    expect(same).toBe(gap)
  })

  test('folds follow Yoshizawa–Randlett: a valley is one dash over and over, a mountain a dash and two dots', () => {
    expect(PENS.valley.dashes).toHaveLength(2)
    const [dash, , dot, , dot2] = PENS.mountain.dashes
    expect(PENS.mountain.dashes).toHaveLength(6)
    expect(dot).toBe(dot2)
    expect(dash! / dot!).toBeGreaterThan(4)
  })

  test('on any length a dashed line begins and ends with a whole dash', () => {
    fc.assert(
      fc.property(fc.constantFrom(...dashed), fc.double({ min: 0.5, max: 300, noNaN: true }), (role, length) => {
        const dashes = dashesFor(role, length, false)
        const drawn = runs(dashes, length)
        expect(drawn.length % 2).toBe(1)
        expect(drawn[0]).toBeCloseTo(dashes[0]!, 6)
        expect(drawn.at(-1)).toBeCloseTo(dashes[0]!, 6)
      }),
    )
  })

  test('a mountain fold of 4 mm still shows both dots between two dashes', () => {
    const drawn = runs(dashesFor('mountain', 4, false), 4)
    expect(drawn).toHaveLength(7)
    expect(drawn[2]).toBeLessThan(drawn[0]! / 4)
    expect(drawn[4]).toBeLessThan(drawn[6]! / 4)
  })

  test('a closed line takes whole periods, so that no dash is broken where it closes', () => {
    fc.assert(
      fc.property(fc.constantFrom(...dashed), fc.double({ min: 2, max: 300, noNaN: true }), (role, length) => {
        const period = dashesFor(role, length, true).reduce((sum, dash) => sum + dash, 0)
        expect(length / period).toBeCloseTo(Math.round(length / period), 6)
      }),
    )
  })

  test('a continuous line, and one of no length, has no dashes', () => {
    expect(dashesFor('cut', 10, false)).toEqual([])
    expect(dashesFor('valley', 0, false)).toEqual([])
  })
})
