import fc from 'fast-check'
import { expect, test } from 'vitest'
import { bench } from '../../lib/length/unit'
import { aerofoil, aerofoilLoop } from '../../lib/section/aerofoil'
import { blend } from '../../lib/section/blend'
import { nacaSection } from '../../lib/section/naca'

const root = nacaSection('2415')
const tip = nacaSection('0009')

test('at either end it is the section given', () => {
  const whole = (section = root) => aerofoil(section, bench.mm(80))
  expect(whole(blend(root, tip, 0)).area).toBeCloseTo(whole(root).area, 9)
  // The second end keeps the first section's spacing: the same curve, other points on it.
  expect(whole(blend(root, tip, 1)).area).toBeCloseTo(whole(tip).area, 0)
})

// Report 460: a four-digit profile is t times one curve, so half-way from 9 % to 15 % stands the 12 % profile, whose
// greatest thickness is 0.120035 of the chord.
test('half-way between 9 % and 15 % stands 12 %', () => {
  const loop = aerofoilLoop(blend(nacaSection('0009'), nacaSection('0015'), 0.5), 100)
  const heights = loop.map(([, y]) => y)
  expect(Math.abs(Math.max(...heights) - Math.min(...heights) - 12.0035)).toBeLessThan(0.01)
  const wanted = aerofoil(nacaSection('0012'), bench.mm(100)).area
  expect(aerofoil(blend(nacaSection('0009'), nacaSection('0015'), 0.5), bench.mm(100)).area / wanted).toBeCloseTo(1, 5)
})

test('a section blended with itself is itself', () => {
  const same = blend(root, root, 0.4)
  for (const u of [0, 0.01, 0.1, 0.37, 0.8, 1]) {
    expect(Math.hypot(same.upper(u)[0] - root.upper(u)[0], same.upper(u)[1] - root.upper(u)[1])).toBeLessThan(1e-12)
  }
})

test('thickness falls steadily from root to tip, and every rib is a sound outline', () => {
  fc.assert(
    fc.property(fc.double({ min: 0, max: 0.95, noNaN: true }), (t) => {
      const here = aerofoil(blend(root, tip, t), bench.mm(60))
      const further = aerofoil(blend(root, tip, t + 0.05), bench.mm(60))
      expect(further.area).toBeLessThan(here.area)
    }),
    { numRuns: 30 },
  )
})

test('the nose stays at the origin', () => {
  const [x, y] = blend(root, tip, 0.3).upper(0)
  expect(Math.hypot(x, y)).toBe(0)
})

test('a share rounded just past its end is taken for the end', () => {
  expect(blend(root, tip, 1 + 1e-12).name).toBe('NACA 2415 to NACA 0009, 1')
})

test.each([
  [1.2, 'blend: a share of 1.2, it lies from 0 to 1. give 0 for NACA 2415, 1 for NACA 0009'],
  [-0.1, 'blend: a share of -0.1, it lies from 0 to 1. give 0 for NACA 2415, 1 for NACA 0009'],
  [Number.NaN, 'blend: a share of NaN, it lies from 0 to 1. give 0 for NACA 2415, 1 for NACA 0009'],
])('the share %d is refused', (share, message) => {
  expect(() => blend(root, tip, share)).toThrow(expect.objectContaining({ message }))
})
