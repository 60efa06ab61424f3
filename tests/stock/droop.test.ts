import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { bentStrip, loadNumber, modulusFromDroop } from '../../lib/stock/droop'

describe('droop of a strip under its own weight', () => {
  // Cantilever under an even load, δ = q·L⁴ / (8·E·I): any handbook; the figures E 4000, L 10, I 1/12, q 0.1, δ 0.375 are
  // those of sandialabs/Albany, tests/small/LCM/Pressure/README.md.
  test('agrees with the handbook formula while the droop is small', () => {
    const [E, L, I, q] = [4000, 10, 1 / 12, 0.1]
    expect((q * L ** 4) / (8 * E * I)).toBeCloseTo(0.375, 6)
    const load = (q * L ** 3) / (E * I)
    expect(loadNumber(0.375 / L)).toBeCloseTo(load, 2)
    expect(loadNumber(0.001)).toBeCloseTo(0.008, 6)
  })

  // Peirce (The “handle” of cloth as a measurable quantity, 1930; ISO 9073-7 and ASTM D1388 use it): bending length c = L·f(θ),
  // f³ = cos(θ/2) / (8·tan θ), θ the fall of the chord from edge to end; so β = L³/c³. From memory. An approximation.
  test.each([0.1, 0.2, 0.3, 0.4, 0.5])('is within 2 % of Peirce’s formula for an end slope of %d', (slope) => {
    const { load, droop, reach } = bentStrip(slope)
    const fall = Math.atan(droop / reach)
    const peirce = (8 * Math.tan(fall)) / Math.cos(fall / 2)
    expect(Math.abs(load / peirce - 1)).toBeLessThan(0.02)
  })

  test('keeps its length: no end lies further out than the arc allows', () => {
    for (const slope of [0.2, 0.8, 1.4]) {
      const { droop, reach } = bentStrip(slope)
      expect(Math.hypot(droop, reach)).toBeLessThan(1)
    }
  })

  test('gives back the stiffness a droop was worked out from', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.02, max: 1.2, noNaN: true }), fc.double({ min: 60, max: 200, noNaN: true }), (slope, overhang) => {
        const { load, droop } = bentStrip(slope)
        const card = { thickness: 0.45, grammage: 405 }
        const weight = card.grammage * 1e-3 * 9.80665
        const E = (12 * weight * (overhang * 1e-3) ** 3) / load / (card.thickness * 1e-3) ** 3 / 1e9
        expect(modulusFromDroop({ overhang, droop: droop * overhang, ...card }) / E).toBeCloseTo(1, 4)
      }),
      { numRuns: 40 },
    )
  })
})
