import { describe, expect, test } from 'vitest'
import type { LogEntry } from '../../lib/revision/logbook'
import { hoursFor, ratesOf } from '../../lib/revision/rate'
import { shapeOf } from '../../lib/revision/shapes'
import { box, testPiece } from '../sheet/pieces'

const plate = (fingerprint: string, width: number) => shapeOf({ ...testPiece(fingerprint, box(0, 0, width, 10)), fingerprint })
const shapes = new Map([plate('short', 40), plate('long', 90)].map((shape) => [shape.fingerprint, shape]))

function cut(day: number, fingerprint: string, count: number, minutes?: number): LogEntry {
  const pieces = [{ mark: 'FR-01', count, fingerprint }]
  const time = `2026-03-${String(day).padStart(2, '0')}T20:00:00Z`
  return { time, model: 'tug', did: 'cut', pieces, ...(minutes !== undefined && { minutes }) }
}

describe('rates', () => {
  test('are minutes over mm of cut, summed before they are divided', () => {
    // 300 mm in 12 minutes and 200 mm in 6: 18 minutes for 500 mm, not the mean of 0.04 and 0.03.
    const { cut: rate } = ratesOf([cut(1, 'short', 3, 12), cut(2, 'long', 1, 6)], shapes)
    expect(rate.minutes).toBeCloseTo(18 / 500, 12)
    expect(rate).toMatchObject({ per: 'mm', entries: 2, sitting: 250 })
  })

  test('entries without minutes, or for pieces of unknown shape, say nothing', () => {
    const { cut: rate } = ratesOf([cut(1, 'short', 3, 12), cut(2, 'short', 9), cut(3, 'lost', 9, 5)], shapes)
    expect(rate).toMatchObject({ minutes: 0.04, entries: 1 })
  })

  test('the spread is that of the entries, a quarter of the rate counted in as two', () => {
    const rate = ratesOf([cut(1, 'short', 1, 3), cut(2, 'short', 1, 5), cut(3, 'short', 1, 4)], shapes).cut
    // Strays of 1, 1 and 0 minutes about 4, and twice a quarter of 4.
    expect(rate.spread).toBeCloseTo(Math.sqrt((1 + 1 + 2 * 1) / (2 + 2)), 12)
    expect(rate.error).toBeCloseTo(rate.spread / (Math.sqrt(3) * 100), 12)
  })

  test('the range narrows with entries, and holds what follows nineteen times in twenty', () => {
    // Sittings of 100 mm that take 4 minutes, give or take a quarter: twenty entered, the hours for twenty more foretold.
    const random = lcg(7)
    const sitting = () => 4 + gauss(random)
    let held = 0
    for (let trial = 0; trial < 400; trial++) {
      const entries = Array.from({ length: 20 }, (_, i) => cut(i + 1, 'short', 1, Math.max(0.5, sitting())))
      const { low, high } = hoursFor({ cut: 2000, formed: 0, glued: 0 }, ratesOf(entries, shapes))
      const actual = Array.from({ length: 20 }, sitting).reduce((sum, minutes) => sum + minutes, 0) / 60
      if (actual >= low && actual <= high) held++
    }
    expect(held / 400).toBeGreaterThan(0.92)
    expect(held / 400).toBeLessThan(0.98)
  })

  test('hours for no work are none', () => {
    expect(hoursFor({ cut: 0, formed: 0, glued: 0 }, ratesOf([], shapes))).toEqual({ likely: 0, low: 0, high: 0 })
  })
})

function lcg(seed: number): () => number {
  let state = seed
  return () => (state = (state * 16807) % 2147483647) / 2147483647
}

/** Box and Muller, 1958. */
function gauss(random: () => number): number {
  return Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random())
}
