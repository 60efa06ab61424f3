import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { propagate } from '../../lib/survey/propagate'

// JCGM 100:2008, H.1, calibration of an end gauge: l = lS + d - lS (da t + aS dt), lengths in nm. Estimates and
// standard uncertainties of its table H.1; the differences da and dt are estimated as 0.
describe('the end gauge of JCGM 100:2008, H.1', () => {
  const estimates: Record<string, number> = { lS: 50_000_623, d: 215, da: 0, t: -0.1, aS: 11.5e-6, dt: 0 }
  const uncertainties = new Map([
    ['lS', 25],
    ['d', 9.7],
    ['da', 0.58e-6],
    ['t', 0.41],
    ['aS', 1.2e-6],
    ['dt', 0.029],
  ])
  const gauge = (moved: ReadonlyMap<string, number>): number => {
    const [lS, d, da, t, aS, dt] = ['lS', 'd', 'da', 't', 'aS', 'dt'].map((q) => estimates[q]! + (moved.get(q) ?? 0))
    return lS! + d! - lS! * (da! * t! + aS! * dt!)
  }
  const spread = propagate(uncertainties, gauge)

  test('its length and combined standard uncertainty: 50.000 838 mm, 32 nm', () => {
    expect(gauge(new Map())).toBeCloseTo(50_000_838, 6)
    expect(spread.likely).toBeCloseTo(31.7, 1)
    expect(Math.round(spread.likely)).toBe(32)
  })

  test.each([
    ['lS', 25],
    ['d', 9.7],
    ['da', 2.9],
    ['dt', 16.6],
  ])('what %s contributes: %d nm', (quantity, published) => {
    expect(spread.shares.get(quantity)).toBeCloseTo(published, 0)
    expect(Math.abs(spread.shares.get(quantity)! - published)).toBeLessThan(0.1)
  })

  test('t and aS contribute nothing of first order, as there', () => {
    expect(spread.shares.has('t')).toBe(false)
    expect(spread.shares.has('aS')).toBe(false)
  })
})

// JCGM 100:2008, 5.2.2, example: ten resistors of 1000 ohm, each calibrated against one standard known within
// 100 mohm, in series: 1 ohm. Taking them as independent would give 0.32 ohm, which the guide calls wrong.
test('ten resistors from one standard are off together', () => {
  const inSeries = (moved: ReadonlyMap<string, number>) => Array.from({ length: 10 }, () => 1000 + (moved.get('standard') ?? 0))
  const sum = (all: number[]) => all.reduce((a, b) => a + b, 0)
  const spread = propagate(new Map([['standard', 0.1]]), (moved) => sum(inSeries(moved)))
  expect(spread.likely).toBeCloseTo(1, 9)
  expect(spread.worst).toBeCloseTo(1, 9)
})

test('of a sum with factors: the root of the squares, and at worst the sum', () => {
  const some = fc.array(fc.tuple(fc.integer({ min: -20, max: 20 }), fc.integer({ min: 0, max: 50 })), { minLength: 1, maxLength: 8 })
  fc.assert(
    fc.property(some, (terms) => {
      const tolerances = new Map(terms.map(([, tolerance], i) => [String(i), tolerance]))
      const spread = propagate(tolerances, (moved) => terms.reduce((sum, [factor], i) => sum + factor * (7 + (moved.get(String(i)) ?? 0)), 0))
      expect(spread.likely).toBeCloseTo(Math.hypot(...terms.map(([factor, tolerance]) => factor * tolerance)), 6)
      expect(spread.worst).toBeCloseTo(terms.reduce((sum, [factor, tolerance]) => sum + Math.abs(factor * tolerance), 0), 6)
    }),
  )
})

test('what bends is judged by its worse side', () => {
  const square = propagate(new Map([['x', 1]]), (moved) => (3 + (moved.get('x') ?? 0)) ** 2)
  expect(square.likely).toBe(6)
  expect(square.worst).toBe(7)
})
