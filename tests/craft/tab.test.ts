import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { doubler, edgeStrip, gusset, joinerStrip } from '../../lib/craft/strip'
import { alternatingTabs, cornerMitre, edgeTab, tabbedOutline, toothedTab } from '../../lib/craft/tab'
import { intersect, subtract } from '../../lib/shape/boolean'
import { area } from '../../lib/shape/measure'
import type { Loop, Point } from '../../lib/shape/point'

describe('tabs on straight edges', () => {
  test('ends are mitred', () => {
    expect(edgeTab({ length: 20, depth: 4 }).outline).toEqual(
      [
        [0, 0],
        [20, 0],
        [16, 4],
        [4, 4],
      ].map(([x, y]) => [expect.closeTo(x!, 9), expect.closeTo(y!, 9)]),
    )
  })

  test('a tab deeper than its edge allows is cut to what it does allow, and said so', () => {
    const { outline, findings } = edgeTab({ length: 6, depth: 4 })
    expect(findings[0]).toMatchObject({ id: 'deep-tab', found: 4, wanted: expect.closeTo(2.75, 9) })
    expect(Math.max(...outline.map(([, y]) => y))).toBeCloseTo(2.75, 9)
    expect(area([outline])).toBeGreaterThan(0)
  })

  test('tabs round any polygon clear each other, in the flat and folded in behind it', () => {
    fc.assert(
      fc.property(starOutline, (loop) => {
        const edges = loop.map((_, i) => i)
        const { scores, findings } = tabbedOutline(loop, edges, { depth: 1.5, fold: 'mountain' })
        expect(scores).toHaveLength(loop.length)
        expect(findings.every((finding) => finding.id === 'deep-tab')).toBe(true)
        for (const [i] of loop.entries()) {
          const next = (i + 1) % loop.length
          for (const inward of [false, true]) {
            const [a, b] = [tabOf(loop, i, inward), tabOf(loop, next, inward)]
            expect(area(intersect([a], [b]))).toBeLessThan(1e-3)
          }
        }
      }),
      { numRuns: 60 },
    )
  })

  test('the outline with tabs is the piece and its tabs', () => {
    const square: Loop = [
      [0, 0],
      [20, 0],
      [20, 20],
      [0, 20],
    ]
    const { outline } = tabbedOutline(square, [0, 2], { depth: 4, fold: 'valley' })
    // Corners of 90° share 45° less the slack of 2°.
    const inset = 4 / Math.tan((43 * Math.PI) / 180)
    expect(area([outline])).toBeCloseTo(400 + 2 * (20 - inset) * 4, 9)
  })

  test('a corner shares its angle between two tabs', () => {
    expect(cornerMitre(90)).toBe(43)
    expect(cornerMitre(60)).toBe(28)
    expect(cornerMitre(300)).toBe(28)
    expect(cornerMitre(180)).toBe(45)
  })
})

describe('toothed tabs on curves', () => {
  const disc: Point[] = arc(20, 0, 360)

  test('each fold stays within the sagitta of the curve', () => {
    const { folds, findings } = toothedTab(disc, { depth: 4, widest: 8, sagitta: 0.1 })
    expect(findings).toEqual([])
    for (const fold of folds) {
      const [p, q] = [fold[0]!, fold.at(-1)!]
      const chord = Math.hypot(p[0] - q[0], p[1] - q[1])
      // Sagitta of a chord c on a circle of radius r: r − √(r² − c²/4).
      expect(20 - Math.sqrt(400 - (chord * chord) / 4)).toBeLessThan(0.101)
    }
  })

  test('on a hollow edge neighbouring teeth do not touch in the flat', () => {
    const hollow = arc(12, 180, 0)
    const { tabs } = toothedTab(hollow, { depth: 3, widest: 6 })
    expect(tabs.length).toBeGreaterThan(5)
    for (const [i, tab] of tabs.slice(1).entries()) {
      expect(area([tab])).toBeGreaterThan(1)
      expect(area(intersect([tab], [tabs[i]!]))).toBeLessThan(1e-6)
    }
  })

  test('folded right over behind a round edge, teeth taper by the whole turn', () => {
    const [standing, over] = [90, 180].map((angle) => toothedTab(disc, { depth: 4, widest: 8, angle }).tabs[0]!)
    const turn = 360 / toothedTab(disc, { depth: 4, widest: 8 }).tabs.length
    // Folded over, neighbours meet at a point nearer the middle: the tip is narrower by about the turn over the depth.
    expect(tipWidth(standing!) - tipWidth(over!)).toBeCloseTo((4 * turn * Math.PI) / 180, 0)
  })

  test('teeth lie outside the piece', () => {
    const { tabs } = toothedTab(disc, { depth: 4, widest: 8 })
    const body: Loop = disc.slice(0, -1)
    for (const tab of tabs) expect(area(subtract([tab], [body])) / area([tab])).toBeGreaterThan(0.98)
  })

  test('more teeth where the edge bends', () => {
    const bent: Point[] = [...arc(5, -90, 0), ...Array.from({ length: 20 }, (_, i): Point => [5, 2 * i + 2])]
    const { folds } = toothedTab(bent, { depth: 2, widest: 8 })
    const widths = folds.map((fold) => Math.hypot(fold[0]![0] - fold.at(-1)![0], fold[0]![1] - fold.at(-1)![1]))
    expect(widths[0]).toBeLessThan(widths.at(-1)! / 2)
  })

  test('teeth too deep for their base are a finding', () => {
    expect(toothedTab(arc(3, 180, 0), { depth: 6, widest: 6 }).findings[0]).toMatchObject({ id: 'deep-tab', found: 6 })
  })
})

test('alternating tabs take turns along a joint', () => {
  const lower: Point[] = [
    [40, 0],
    [0, 0],
  ]
  const upper: Point[] = [
    [0, 0],
    [40, 0],
  ]
  const { first, second } = alternatingTabs(upper, lower, { depth: 3, count: 7 })
  expect(first.tabs).toHaveLength(4)
  expect(second.tabs).toHaveLength(3)
  const spans = [...first.folds, ...second.folds].map((fold) => fold.map(([x]) => x).toSorted((a, b) => a - b))
  for (const [i, [from, to]] of spans.entries()) {
    for (const [start, end] of spans.slice(i + 1)) expect(Math.min(to!, end!) - Math.max(from!, start!)).toBeLessThan(0)
  }
})

describe('strips and plates behind joints', () => {
  test('a joiner strip lies half to either side of its joint', () => {
    const { outline, lines } = joinerStrip(
      [
        [0, 0],
        [30, 0],
      ],
      6,
    )
    expect(area([outline])).toBeCloseTo(180, 3)
    expect(lines[0]!.kind).toBe('align')
  })

  test('a doubler rings its opening and stays on the piece', () => {
    const plate: Loop = [
      [0, 0],
      [30, 0],
      [30, 20],
      [0, 20],
    ]
    const opening: Loop = [
      [12, 8],
      [18, 8],
      [18, 17],
      [12, 17],
    ]
    const { outline, openings } = doubler(plate, opening, { width: 3, inset: 1 })
    expect(Math.max(...outline.map(([, y]) => y))).toBeCloseTo(19, 3)
    expect(openings).toHaveLength(1)
    expect(area([openings[0]!.loop])).toBeCloseTo(-54, 3)
  })

  test('a gusset fits its corner with the tip taken off', () => {
    const { outline } = gusset({ legs: [10, 8], angle: 90, relief: 1 })
    expect(area([outline])).toBeCloseTo(40 - 0.5, 9)
    expect(() => gusset({ legs: [10, 1], angle: 90, relief: 1 })).toThrow(/relief/)
  })

  test('an edge strip round a disc is the circumference at its neutral layer', () => {
    const { length, strips } = edgeStrip(arc(20, 0, 360).slice(0, -1), {
      width: 1.5,
      bend: { thickness: 0.28, radius: 0.1, k: 0.5 },
      longest: 100,
    })
    expect(length).toBeCloseTo(2 * Math.PI * 20.14, 1)
    expect(strips).toHaveLength(2)
  })

  test('round a square it folds at three corners and meets at the fourth', () => {
    const bend = { thickness: 0.3, radius: 0, k: 0.5 }
    const square: Loop = [
      [0, 0],
      [20, 0],
      [20, 20],
      [0, 20],
    ]
    const { strips, length } = edgeStrip(square, { width: 1.5, bend, longest: 200 })
    // Sharp folds: each gains a quarter turn round the neutral layer, π/2 · 0.15.
    expect(length).toBeCloseTo(80 + 4 * (Math.PI / 2) * 0.15, 9)
    expect(strips[0]!.scores.map((score) => score.fold)).toEqual(['mountain', 'mountain', 'mountain'])
  })
})

/** A tab ends with its two outer corners. */
function tipWidth(tab: Loop): number {
  return Math.hypot(tab.at(-1)![0] - tab.at(-2)![0], tab.at(-1)![1] - tab.at(-2)![1])
}

/** Polygons with corners both ways: radii at rising angles. */
const starOutline = fc
  .array(fc.double({ min: 6, max: 20, noNaN: true }), { minLength: 3, maxLength: 8 })
  .map((radii) =>
    radii.map((radius, i): Point => {
      const at = (2 * Math.PI * i) / radii.length
      return [radius * Math.cos(at), radius * Math.sin(at)]
    }),
  )
  .filter((loop) => loop.every((_, i) => interiorOf(loop, i) > 20))

function interiorOf(loop: Loop, i: number): number {
  const n = loop.length
  const [p, q, r] = [loop[(i + n - 1) % n]!, loop[i]!, loop[(i + 1) % n]!]
  const turn = Math.atan2(r[1] - q[1], r[0] - q[0]) - Math.atan2(q[1] - p[1], q[0] - p[0])
  return 180 - (Math.atan2(Math.sin(turn), Math.cos(turn)) * 180) / Math.PI
}

/** The tab on one edge, in the flat or folded in behind the piece. */
function tabOf(loop: Loop, i: number, inward: boolean): Loop {
  const { outline } = tabbedOutline(loop, [i], { depth: 1.5, fold: 'mountain' })
  const [from, tipA, tipB, to] = [outline[i]!, outline[i + 1]!, outline[i + 2]!, outline[(i + 3) % outline.length]!]
  if (!inward) return [from, tipA, tipB, to]
  const [p, q] = [from, to]
  const length = Math.hypot(q[0] - p[0], q[1] - p[1])
  const way = [(q[0] - p[0]) / length, (q[1] - p[1]) / length]
  const mirror = ([x, y]: Point): Point => {
    const along = (x - p[0]) * way[0]! + (y - p[1]) * way[1]!
    const off = (y - p[1]) * way[0]! - (x - p[0]) * way[1]!
    return [p[0] + way[0]! * along + way[1]! * off, p[1] + way[1]! * along - way[0]! * off]
  }
  return [from, to, mirror(tipB), mirror(tipA)]
}

function arc(radius: number, from: number, to: number): Point[] {
  const steps = 180
  return Array.from({ length: steps + 1 }, (_, i) => {
    const at = ((from + ((to - from) * i) / steps) * Math.PI) / 180
    return [radius * Math.cos(at), radius * Math.sin(at)]
  })
}
