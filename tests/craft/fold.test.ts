import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  bendAllowance,
  checkCurl,
  checkFold,
  foldGain,
  foldedStrip,
  leastCurl,
  scoredBend,
  setBack,
} from '../../lib/craft/fold'
import { hemmedStrip } from '../../lib/craft/hem'
import { catalogue } from '../../lib/stock/catalogue'

describe('bend allowance against published worked examples', () => {
  // Sheet metal workbook, 90° bends (sheetmetalworkbook.com/90bends.htm): BA = (0.01743 R + 0.0078 T) N, so K = 0.4469.
  const workbook = { thickness: 0.05, radius: 0.032, k: 0.0078 / 0.01743 }

  test('T .050, R .032, 90°: BA .085, BD .079', () => {
    expect(bendAllowance(90, workbook)).toBeCloseTo(0.085, 3)
    expect(-foldGain(90, workbook, 'outside')).toBeCloseTo(0.079, 3)
  })

  test('stretch-out of legs .740, .420, 1.050 and 1.000 is 2.973', () => {
    const legs = [0.74, 0.42, 1.05, 1]
    const { length, flat } = foldedStrip({ legs, folds: [90, 90, 90], measured: 'outside', width: 1, bend: workbook })
    expect(length).toBeCloseTo(2.973, 2)
    expect(length).toBeCloseTo(3.21 - 3 * 0.0787, 3)
    expect(flat.scores).toHaveLength(3)
  })

  // A trade article's example: .017453 · 90 · (.020 + .33 · .024) = .0438558984.
  test('R .020, T .024, K .33, 90°: .0438559', () => {
    expect(bendAllowance(90, { thickness: 0.024, radius: 0.02, k: 0.33 })).toBeCloseTo(0.0438558984, 5)
  })

  // FAA AMT Handbook – Airframe vol. 1, fig. 4-124: T .040, R .16, set-back .2, flats .8, 1.6, .8 of a U-channel.
  test('U-channel of the FAA handbook: set-back .2, flats .8, 1.6 and .8', () => {
    const bend = { thickness: 0.04, radius: 0.16, k: 0.5 }
    expect(setBack(90, bend, 'outside')).toBeCloseTo(0.2, 12)
    const strip = { legs: [1, 2, 1], folds: [90, 90], measured: 'outside' as const, width: 1, bend }
    // The handbook's own developed width was not seen; 3.765487 is computed from K = 0.5.
    expect(foldedStrip(strip).length).toBeCloseTo(3.765487, 6)
  })
})

describe('sizes by face', () => {
  const bend = { thickness: 0.28, radius: 0.1, k: 0.5 }

  test('a 90° fold measured inside and outside differ by twice the thickness', () => {
    expect(foldGain(90, bend, 'inside') - foldGain(90, bend, 'outside')).toBeCloseTo(2 * 0.28, 12)
  })

  test('in a joggle the printed face is inside the valley and outside the mountain', () => {
    expect(setBack(90, bend, 'printed')).toBeCloseTo(setBack(90, bend, 'inside'))
    expect(setBack(-90, bend, 'printed')).toBeCloseTo(setBack(-90, bend, 'outside'))
  })

  test('folding the strip up gives the sizes asked for, whatever the angles', () => {
    const angle = fc.double({ min: -135, max: 135, noNaN: true }).filter((a) => Math.abs(a) > 1)
    const leg = fc.double({ min: 5, max: 40, noNaN: true })
    fc.assert(
      fc.property(leg, leg, leg, angle, angle, (a, b, c, first, second) => {
        const strip = { legs: [a, b, c], folds: [first, second], measured: 'printed' as const, width: 3, bend }
        const { length, findings } = foldedStrip(strip)
        expect(findings).toEqual([])
        expect(printedSizes(strip.folds, length, strip)).toEqual([a, b, c].map((size) => expect.closeTo(size, 9)))
      }),
    )
  })

  test('a leg that the folds use up is named with both numbers', () => {
    const thick = { thickness: 1, radius: 1, k: 0.5 }
    const strip = { legs: [10, 3, 10], folds: [90, 90], measured: 'outside' as const, width: 5, bend: thick }
    const { findings } = foldedStrip(strip)
    expect(findings[0]).toMatchObject({ id: 'short-leg', found: 3, wanted: expect.closeTo(4, 9) })
  })

  test('a fold of 180° between apexes is refused', () => {
    expect(() => setBack(180, bend, 'inside')).toThrow(/180/)
  })
})

describe('what a stock takes', () => {
  const { folder } = catalogue

  test('across its grain it curls to a larger radius than along it, and in between at an angle', () => {
    const [along, slanting, across] = [0, 45, 90].map((angle) => leastCurl(angle, folder))
    expect(along).toBeCloseTo(folder.fold.leastCurlAlong.value, 9)
    expect(across).toBeCloseTo(folder.fold.leastCurlAcross.value, 9)
    expect(slanting).toBeCloseTo((along! + across!) / 2, 9)
  })

  test('a tighter curl is a finding with both radii, and turning the piece is the remedy where that is enough', () => {
    const radius = (folder.fold.leastCurlAlong.value + folder.fold.leastCurlAcross.value) / 2
    expect(checkCurl(radius, 0, folder)).toEqual([])
    const [finding] = checkCurl(radius, 90, folder)
    expect(finding).toMatchObject({ id: 'tight-bend', found: radius, wanted: folder.fold.leastCurlAcross.value })
    expect(finding!.remedy).toMatch(/turn the piece/)
    expect(checkCurl(0.5, 0, folder)[0]!.remedy).toMatch(/score it/)
  })

  test('a score folds to its inside radius and no further', () => {
    const { insideRadius } = folder.fold
    expect(checkFold(insideRadius.value, folder)).toEqual([])
    expect(checkFold(insideRadius.value / 2, folder)[0]).toMatchObject({ id: 'tight-bend', wanted: insideRadius.value })
    expect(scoredBend(folder)).toEqual({ thickness: 0.28, radius: insideRadius.value, k: 0.5 })
  })
})

describe('hems', () => {
  test('a sharp hem of thin card takes the two sizes and half a turn round the neutral layer', () => {
    const bend = { thickness: 0.2, radius: 0, k: 0.5 }
    const spec = { kind: 'single' as const, leg: 30, hem: 5, width: 10, bend, fold: 'valley' as const }
    expect(hemmedStrip(spec).length).toBeCloseTo(30 + 5 - 0.4 + Math.PI * 0.1, 12)
  })

  test('the hidden leaf of a double hem stops inside the outer turn', () => {
    const bend = { thickness: 0.28, radius: 0.1, k: 0.5 }
    const spec = { kind: 'double' as const, leg: 30, hem: 5, width: 10, bend, fold: 'valley' as const }
    const { flat, findings, length } = hemmedStrip(spec)
    const hidden = length - flat.scores[1]!.line[0]![0] - bendAllowance(180, bend) / 2
    expect(findings).toEqual([])
    expect(hidden).toBeLessThan(5 - 2 * 0.38)
    expect(flat.scores.map((score) => score.angle)).toEqual([180, 180])
  })

  test('a hem narrower than its folds is an error', () => {
    const bend = { thickness: 1, radius: 0.5, k: 0.5 }
    const spec = { kind: 'single' as const, leg: 30, hem: 1.2, width: 10, bend, fold: 'valley' as const }
    expect(hemmedStrip(spec).findings[0]).toMatchObject({ id: 'narrow-hem', found: 1.2, wanted: 1.5 })
  })
})

/** Bends the flat strip along its neutral layer and measures the printed face between its apexes, in the plane. */
function printedSizes(
  folds: readonly number[],
  length: number,
  strip: { legs: readonly number[]; bend: { thickness: number; radius: number; k: number } },
): number[] {
  const { bend } = strip
  const { flat } = foldedStrip({ ...strip, folds, measured: 'printed', width: 1 })
  const scores = flat.scores.map((score) => score.line[0]![0])
  const lines: { point: [number, number]; angle: number; start: [number, number]; end: [number, number] }[] = []
  let at: [number, number] = [0, 0]
  let angle = 0
  let from = 0
  for (let i = 0; i <= folds.length; i++) {
    const half = i < folds.length ? bendAllowance(Math.abs(folds[i]!), bend) / 2 : 0
    const to = i < folds.length ? scores[i]! - half : length
    const run = to - from
    const end: [number, number] = [at[0] + run * Math.cos(angle), at[1] + run * Math.sin(angle)]
    lines.push({ point: at, angle, start: at, end })
    if (i === folds.length) break
    const turn = (folds[i]! * Math.PI) / 180
    const radius = (bend.radius + bend.k * bend.thickness) * Math.sign(turn)
    const centre = [end[0] - radius * Math.sin(angle), end[1] + radius * Math.cos(angle)]
    angle += turn
    at = [centre[0]! + radius * Math.sin(angle), centre[1]! - radius * Math.cos(angle)]
    from = scores[i]! + half
  }
  // The printed face lies off the neutral layer by a distance that depends on which way the neighbouring fold goes.
  const apexes = folds.map((fold, i) => {
    const off = fold > 0 ? bend.k * bend.thickness : (1 - bend.k) * bend.thickness
    return meet(lines[i]!, lines[i + 1]!, off)
  })
  const first = lines[0]!.start
  const last = lines.at(-1)!.end
  const ends = [along(first, lines[0]!.angle, apexes[0]!), along(last, lines.at(-1)!.angle, apexes.at(-1)!)]
  // Between folds of opposite sense the neutral layers do not line up for K other than 1/2; here K is 1/2.
  const middle = apexes.slice(1).map((apex, i) => Math.hypot(apex[0] - apexes[i]![0], apex[1] - apexes[i]![1]))
  return [ends[0]!, ...middle, ends[1]!]
}

function along(point: [number, number], angle: number, apex: [number, number]): number {
  return Math.abs((apex[0] - point[0]) * Math.cos(angle) + (apex[1] - point[1]) * Math.sin(angle))
}

function meet(
  a: { point: [number, number]; angle: number },
  b: { point: [number, number]; angle: number },
  off: number,
): [number, number] {
  const [ax, ay] = [a.point[0] - off * Math.sin(a.angle), a.point[1] + off * Math.cos(a.angle)]
  const [bx, by] = [b.point[0] - off * Math.sin(b.angle), b.point[1] + off * Math.cos(b.angle)]
  const turn = Math.sin(b.angle - a.angle)
  const t = ((bx - ax) * Math.sin(b.angle) - (by - ay) * Math.cos(b.angle)) / turn
  return [ax + t * Math.cos(a.angle), ay + t * Math.sin(a.angle)]
}
