import { describe, expect, test } from 'vitest'
import { FindingError } from '../../lib/finding/finding'
import {
  type Calibration,
  calibrate,
  correctionOf,
  INSTRUMENTS,
  type Instrument,
  type Reading,
  residual,
} from '../../lib/sheet/calibration'

/** What a printer makes of the target: scales and skew in degrees, measured without error, by plain geometry. */
function printed(a: number, b: number, skew: number): Record<Reading['measure'], number> {
  const lean = (skew * Math.PI) / 180
  const put = (x: number, y: number) => [a * x + b * y * Math.sin(lean), b * y * Math.cos(lean)] as const
  const between = (p: readonly [number, number], q: readonly [number, number]) => Math.hypot(q[0] - p[0], q[1] - p[1])
  return {
    x: between(put(0, 0), put(165, 0)),
    y: between(put(0, 0), put(0, 220)),
    rising: between(put(0, 0), put(165, 220)),
    falling: between(put(0, 220), put(165, 0)),
  }
}

function readings(lengths: Record<string, number>, by: Instrument, times = 1, error: () => number = () => 0): Reading[] {
  return (['x', 'y', 'rising', 'falling'] as const).flatMap((measure) =>
    Array.from({ length: times }, () => ({ measure, value: lengths[measure]! + error(), by })),
  )
}

/** Numerical Recipes' quick generator, for errors that are the same in every run. */
function random(seed: number): () => number {
  let state = seed
  return () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32
}

function told(work: () => unknown): string {
  try {
    work()
  } catch (error) {
    if (error instanceof FindingError) return `${error.finding.text}. ${error.finding.remedy}`
    throw error
  }
  return 'nothing was wrong'
}

describe('a printer that is known to be off', () => {
  test.each([
    [0.9972, 1.0031, 0.14],
    [1.012, 0.991, -0.3],
    [1, 1, 0],
  ])('by %d across, %d up and %d° is found out from exact readings', (a, b, skew) => {
    const found = calibrate(readings(printed(a, b, skew), 'calipers'))
    expect(found.scale[0]).toBeCloseTo(a, 9)
    expect(found.scale[1]).toBeCloseTo(b, 9)
    expect(found.skew).toBeCloseTo(skew, 7)
  })

  test('prints true once the page is corrected: about its middle, and whatever the place', () => {
    const [a, b, skew] = [0.9972, 1.0031, 0.14]
    const [m, n, o, p, e, f] = correctionOf(calibrate(readings(printed(a, b, skew), 'rule')), 210, 297)
    const lean = (skew * Math.PI) / 180
    const onPaper = (x: number, y: number) => {
      const [px, py] = [m * x + o * y + e - 105, n * x + p * y + f - 148.5]
      return [a * px + b * py * Math.sin(lean) + 105, b * py * Math.cos(lean) + 148.5]
    }
    for (const [x, y] of [[105, 148.5], [10, 10], [200, 30], [15, 290]] as const) {
      const [px, py] = onPaper(x, y)
      expect(Math.hypot(px! - x, py! - y)).toBeLessThan(1e-6)
    }
  })

  test('needs no diagonals, but then says nothing of the skew', () => {
    const found = calibrate(readings(printed(0.998, 1.002, 0), 'rule').filter(({ measure }) => measure === 'x' || measure === 'y'))
    expect(found.scale).toEqual([expect.closeTo(0.998, 9), expect.closeTo(1.002, 9)])
    expect(found.uncertainty.skew).toBeUndefined()
  })

  test('may be measured up to the tick at 100 mm, which calipers reach', () => {
    const found = calibrate([
      { measure: 'x', value: 99.7, by: 'calipers' },
      { measure: 'y', value: 100.2, by: 'calipers' },
    ])
    expect(found.scale).toEqual([expect.closeTo(0.997, 9), expect.closeTo(1.002, 9)])
  })
})

describe('uncertainty', () => {
  test('of one reading with a rule is its half-width over √3, over the length (JCGM 100, 4.3.7)', () => {
    const { uncertainty } = calibrate([
      { measure: 'x', value: 164.5, by: 'rule' },
      { measure: 'y', value: 219.5, by: 'rule' },
    ])
    expect(uncertainty.scale[0]).toBeCloseTo(0.25 / Math.sqrt(3) / 165, 12)
    expect(uncertainty.scale[1]).toBeCloseTo(0.25 / Math.sqrt(3) / 220, 12)
  })

  /** Of 800 printers measured with errors anywhere within the instrument's half-width. */
  test.each(['rule', 'calipers'] as const)('is honest: twice of it holds the truth 93 to 98 times in 100, by %s', (by) => {
    const chance = random(7)
    const error = () => (2 * chance() - 1) * INSTRUMENTS[by]
    const runs = 800
    const within = { x: 0, y: 0, skew: 0 }
    for (let run = 0; run < runs; run++) {
      const [a, b, skew] = [1 + 0.02 * (chance() - 0.5), 1 + 0.02 * (chance() - 0.5), 0.6 * (chance() - 0.5)]
      const found = calibrate(readings(printed(a, b, skew), by, 2, error))
      if (Math.abs(found.scale[0] - a) <= 2 * found.uncertainty.scale[0]) within.x++
      if (Math.abs(found.scale[1] - b) <= 2 * found.uncertainty.scale[1]) within.y++
      if (Math.abs(found.skew - skew) <= 2 * found.uncertainty.skew!) within.skew++
    }
    for (const count of Object.values(within)) {
      expect(count / runs).toBeGreaterThan(0.93)
      expect(count / runs).toBeLessThan(0.98)
    }
  })

  test('the residual stated holds for at least 95 of 100 lengths of 200 mm, whatever their direction', () => {
    const chance = random(11)
    const runs = 800
    let within = 0
    for (let run = 0; run < runs; run++) {
      const [a, b, skew] = [0.997, 1.004, 0.2]
      const error = () => (2 * chance() - 1) * INSTRUMENTS.rule
      const found = calibrate(readings(printed(a, b, skew), 'rule', 2, error))
      if (Math.abs(lengthPrinted(found, [a, b, skew], Math.PI * chance()) - 200) <= residual(found)) within++
    }
    expect(within / runs).toBeGreaterThan(0.95)
  })

  test('shrinks with the square root of the number of readings', () => {
    const [once, four] = [1, 4].map((times) => calibrate(readings(printed(1, 1, 0), 'rule', times)))
    expect(residual(once!) / residual(four!)).toBeCloseTo(2, 6)
  })
})

/** Length on paper of 200 mm in a direction, corrected by what was found and printed by what is. */
function lengthPrinted(found: Calibration, [a, b, skew]: readonly [number, number, number], turn: number): number {
  const [m, , o, p] = correctionOf(found, 0, 0)
  const [x, y] = [200 * Math.cos(turn), 200 * Math.sin(turn)]
  const [px, py] = [m * x + o * y, p * y]
  const lean = (skew * Math.PI) / 180
  return Math.hypot(a * px + b * py * Math.sin(lean), b * py * Math.cos(lean))
}

describe('readings that cannot be', () => {
  const good = readings(printed(0.998, 0.999, 0.1), 'rule')
  const but = (measure: string, value: number) => good.map((one) => (one.measure === measure ? { ...one, value } : one))

  test('zero', () => {
    expect(told(() => calibrate(but('y', 0)))).toBe(
      'the bar up (--y) is 0.00 mm, a length is above 0 mm. measure it again: it should be near 220.00 mm',
    )
  })

  test('further off than a printer is', () => {
    expect(told(() => calibrate(but('x', 155.1)))).toBe(
      'the bar across (--x) is 155.10 mm where the target has 165.00 mm: 6.0 % off, a printer is off by 5 % at most. ' +
        'print the target at 100 %, not “fit to page”, and measure again; measure from the first tick to the one at ' +
        '100 mm or to the last',
    )
  })

  test('diagonals that do not go with the bars', () => {
    expect(told(() => calibrate(but('falling', 272)))).toMatch(
      /^the readings contradict each other: the bar across \(--x\) is 164\.67 mm, the others make it 16\d\.\d\d mm, and a rule reads to ±0\.25 mm\. measure it again, then the others; the rising diagonal \(C\) comes first$/,
    )
  })

  test('two readings of one bar that are too far apart', () => {
    expect(told(() => calibrate([...good, { measure: 'y', value: 222.4, by: 'rule' }]))).toContain(
      'the bar up (--y) is 222.40 mm, the others make it 219.78 mm',
    )
  })

  test('no reading of a bar', () => {
    expect(told(() => calibrate(good.filter(({ measure }) => measure !== 'y')))).toBe(
      'there is no reading of the bar up (--y). measure it on the target and give it as --y 164.8mm',
    )
  })
})
