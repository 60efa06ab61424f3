import { describe, expect, test } from 'vitest'
import { type AlternatingOptions, ZERO, alternating, bench, mirrored, piece, rectangleFrom, single } from '../../lib'
import { area } from '../../lib/shape/measure'
import { findingOf, modelOf, pieceOf } from '../helpers/model'

const plateOf = (length: number) =>
  piece({ stock: 'folder' }).outline(rectangleFrom(ZERO, ZERO, bench.mm(length), bench.mm(20)))
const plate = (code: string, length: number) => mirrored(single(code, () => plateOf(length)))

/** The top edge of one plate joined to the bottom edge of another. */
const joined = (options: Partial<AlternatingOptions>, length = 40) =>
  modelOf(() =>
    alternating(
      { pieces: plate('LO', 40), from: [bench.mm(40), bench.mm(20)], to: [ZERO, bench.mm(20)] },
      { pieces: plate('UP', length), from: [ZERO, ZERO], to: [bench.mm(length), ZERO] },
      { depth: bench.mm(3), count: 5, ...options },
    ),
  )

const feet = (model: ReturnType<typeof joined>, mark: string) =>
  pieceOf(model, mark)
    .scores.map(({ line }) => line.map(([x]) => Math.abs(x)).toSorted((a, b) => a - b))
    .toSorted((a, b) => a[0]! - b[0]!)

describe.each([4, 5])('%i tabs that take turns', (count) => {
  const model = joined({ count })

  test('share the edge out among them, a gap of 0.4 mm between each two', () => {
    const pitch = 40 / count
    for (const side of ['P', 'S']) {
      const [lower, upper] = [feet(model, `LO-${side}`), feet(model, `UP-${side}`)]
      expect([lower.length, upper.length]).toEqual([Math.ceil(count / 2), Math.floor(count / 2)])
      const all = [...lower, ...upper].toSorted((a, b) => a[0]! - b[0]!)
      for (const [k, [from, to]] of all.entries()) {
        expect(from).toBeCloseTo(k * pitch + 0.2, 9)
        expect(to).toBeCloseTo((k + 1) * pitch - 0.2, 9)
      }
      const owners = all.map((foot) => lower.includes(foot))
      expect(owners.slice(1)).toEqual(owners.slice(0, -1).map((owner) => !owner))
    }
  })

  test('each a trapezium, and on port the mirror image', () => {
    // Area of a trapezium d·(a + b)/2, the sides 5 degrees off square (common practice).
    const tab = 3 * (40 / count - 0.4 - 3 * Math.tan((5 * Math.PI) / 180))
    for (const side of ['P', 'S']) {
      const made = pieceOf(model, `LO-${side}`)
      expect(area([made.outline])).toBeCloseTo(800 + Math.ceil(count / 2) * tab, 6)
    }
    for (const code of ['LO', 'UP']) {
      const [port, starboard] = ['P', 'S'].map((side) => feet(model, `${code}-${side}`))
      expect(port).toEqual(starboard!.map((foot) => foot.map((x) => expect.closeTo(x, 9))))
    }
    expect(model.findings).toEqual([])
  })
})

test('edges of different lengths are a warning with both of them', () => {
  const { findings } = joined({}, 38)
  expect(findings.map(({ mark }) => mark)).toEqual(['LO-P', 'LO-S'])
  expect(findings[0]).toMatchObject({ id: 'joint-length', severity: 'warning', family: 'LO' })
  expect([findings[0]!.wanted, findings[0]!.found]).toEqual([expect.closeTo(40, 9), expect.closeTo(38, 9)])
})

test('tabs deeper than their feet allow are an error on the piece they are on', () => {
  const { findings } = joined({ depth: bench.mm(8), count: 40 })
  expect(findings[0]).toMatchObject({ id: 'deep-tab', severity: 'error', found: 8 })
  // Sides 5 degrees off square that leave a tip of 0.5 mm on a foot of 0.6 mm.
  expect(findings[0]!.wanted).toBeCloseTo(0.05 / Math.tan((5 * Math.PI) / 180), 6)
})

test('fewer than two tabs, or pieces that do not pair off', () => {
  expect(findingOf(() => joined({ count: 1 }))).toMatchObject({ id: 'alternating', found: 1, wanted: 2 })
  const lone = single('UP', () => plateOf(40))
  const unpaired = () =>
    alternating(
      { pieces: plate('LO', 40), from: [bench.mm(40), bench.mm(20)], to: [ZERO, bench.mm(20)] },
      { pieces: lone, from: [ZERO, ZERO], to: [bench.mm(40), ZERO] },
      { depth: bench.mm(3), count: 5 },
    )
  expect(findingOf(() => modelOf(unpaired))).toMatchObject({ id: 'alternating', found: 1, wanted: 2 })
})
