import { describe, expect, test } from 'vitest'
import { carrier } from '../../lib/craft/develop/carry'
import { frustumSector } from '../../lib/craft/develop/cone'
import { goreGap, goreHalfWidth, gores, petalCrown, petals } from '../../lib/craft/gore'
import { taperedTube } from '../../lib/craft/taperedTube'
import type { Vector } from '../../lib/shape/pose'

describe('sphere gores against published widths', () => {
  // themathdoctors.org, "making a sphere from flat material": half-width (πR/n)·cos φ at arc height Rφ. The figures for
  // R = 1, n = 6 are computed from it.
  test.each([
    [0, 0.523599],
    [30, 0.45345],
    [45, 0.37024],
    [60, 0.261799],
    [75, 0.135517],
  ])('R 1, 6 gores, latitude %d°: half-width %d', (latitude, width) => {
    const phi = (latitude * Math.PI) / 180
    const { petal } = gores({ profile: hemisphere(1), fit: 'round', count: 6 })
    const point = petal.outline.reduce((best, next) =>
      Math.abs(next[1] - phi) < Math.abs(best[1] - phi) ? next : best,
    )
    expect(point[1]).toBeCloseTo(phi, 4)
    expect(Math.abs(point[0])).toBeCloseTo(width, 4)
  })

  // The chord variant r·cos φ·sin(π/n) (physicsforums.com thread 990476): seams on the sphere, flat across.
  test.each([
    [0, 0.5],
    [30, 0.433013],
    [60, 0.25],
  ])('the same, flat across, latitude %d°: half-width %d', (latitude, width) => {
    expect(goreHalfWidth(Math.cos((latitude * Math.PI) / 180), 'under', 6)).toBeCloseTo(width, 6)
  })
})

describe('gap', () => {
  test.each(['over', 'under'] as const)(
    'seams of `%s` petals meet in the plane between them, at the reported distance',
    (fit) => {
      const count = 8
      const half = Math.PI / count
      const { petal, gap } = gores({ profile: hemisphere(20), fit, count })
      const sink = fit === 'under' ? Math.cos(half) : 1
      for (const [i, [x, r]] of hemisphere(20).toReversed().entries()) {
        const across = petal.outline[i]![0]
        const seam = [
          r * sink * Math.cos(half) + across * Math.sin(half),
          -r * sink * Math.sin(half) + across * Math.cos(half),
        ]
        expect(seam[1]).toBeCloseTo(0, 9)
        const off = fit === 'over' ? seam[0]! - r : r - r * sink
        expect(off).toBeLessThanOrEqual(gap + 1e-9)
        expect(x).toBeDefined()
      }
    },
  )

  test('straight across, `round` petals open by the reported gap', () => {
    const [radius, half] = [20, Math.PI / 8]
    const edge = [radius, goreHalfWidth(radius, 'round', 8)]
    const toPlane = edge[0]! * Math.sin(half) - edge[1]! * Math.cos(half)
    expect(goreGap(radius, 'round', 8)).toBeCloseTo(2 * toPlane, 12)
  })

  test('the least number that keeps the wanted gap is chosen', () => {
    const { count, gap, findings } = gores({ profile: hemisphere(20), fit: 'over', count: { gap: 0.4 } })
    expect(gap).toBeLessThanOrEqual(0.4)
    expect(goreGap(20, 'over', count - 1)).toBeGreaterThan(0.4)
    expect(findings).toEqual([])
  })

  test('a gap no number of petals can keep is a finding', () => {
    const { findings } = gores({ profile: hemisphere(500), fit: 'over', count: { gap: 0.01 } })
    expect(findings[0]).toMatchObject({ id: 'gore-gap', wanted: 0.01 })
  })

  test('two petals are refused', () => {
    expect(() => gores({ profile: hemisphere(20), fit: 'over', count: 2 })).toThrow(/takes 3/)
  })

  test('a profile from base to tip is refused', () => {
    expect(() => gores({ profile: hemisphere(20).toReversed(), fit: 'over', count: 8 })).toThrow(/tip to the base/)
  })
})

test('card laid outside moves the petals out to its neutral layer', () => {
  const bare = gores({ profile: hemisphere(20), fit: 'round', count: 8 }).petal
  const card = gores({ profile: hemisphere(20), fit: 'round', count: 8, out: 0.14 }).petal
  expect(Math.max(...card.outline.map(([x]) => x))).toBeCloseTo((Math.PI * 20.14) / 8, 2)
  expect(top(card.outline)).toBeCloseTo((20.14 * Math.PI) / 2, 2)
  expect(top(bare.outline)).toBeCloseTo((20 * Math.PI) / 2, 2)
})

test('a crown of petals is as long as the base is round', () => {
  const set = gores({ profile: hemisphere(20), fit: 'round', count: 8 })
  const crown = petalCrown(set, 5)
  const xs = crown.outline.map(([x]) => x)
  expect(Math.max(...xs) - Math.min(...xs)).toBeCloseTo(2 * Math.PI * 20, 9)
  expect(crown.outline.filter(([, y]) => Math.abs(y - top(set.petal.outline)) < 1e-9)).toHaveLength(8)
  expect(crown.scores).toEqual([])
  const cone = gores({
    profile: [
      [0, 0],
      [10, 10],
    ],
    fit: 'over',
    count: 8,
  })
  expect(petalCrown(cone, 5).scores[7]!.angle).toBeCloseTo(45, 9)
})

describe('petals of a bow that is not round', () => {
  test('neighbours share a seam of the same length', () => {
    const { panels } = petals({ meridian: bow, from: 0, to: 180, count: 5 })
    expect(panels).toHaveLength(5)
    for (const [i, panel] of panels.slice(1).entries()) {
      const before = panels[i]!.development
      expect(pathLength(panel.development.flatA)).toBeCloseTo(pathLength(before.flatB), 9)
    }
  })

  test('the reported gap is how far the body stands off the petals', () => {
    const { panels, gap, count } = petals({ meridian: bow, from: 0, to: 180, count: { gap: 0.3 } })
    expect(gap).toBeLessThanOrEqual(0.3)
    expect(petals({ meridian: bow, from: 0, to: 180, count: count - 1 }).gap).toBeGreaterThan(0.3)
    const middle = 180 / count / 2
    const offs = bow(middle).map((point) => carrier(panels[0]!.development).toFlat(point).off)
    expect(Math.max(...offs)).toBeLessThanOrEqual(gap + 1e-9)
  })
})

test('each ply of a tapered tube is the cone at its own middle', () => {
  const plies = taperedTube({ bottom: 10, top: 6, length: 40, plies: 3, thickness: 0.28, glueLine: 0.02, k: 0.5 })
  const outers = plies.map(({ flat }) => Math.max(...flat.outline.map(([x, y]) => Math.hypot(x, y))))
  const wanted = [0.14, 0.44, 0.74].map((out) => frustumSector({ bottom: 5, top: 3, height: 40, out }).outer)
  expect(outers).toEqual(wanted.map((outer) => expect.closeTo(outer, 6)))
  expect(plies.map((ply) => ply.seamAt)).toEqual([0, 180, 0])
})

/** Meridian of half an ellipsoid, from its tip aft. */
function bow(angle: number): Vector[] {
  const phi = (angle * Math.PI) / 180
  return Array.from({ length: 41 }, (_, i) => {
    const s = (i * Math.PI) / 80
    return [-30 * Math.cos(s), 12 * Math.sin(s) * Math.sin(phi), 16 * Math.sin(s) * Math.cos(phi)]
  })
}

function hemisphere(radius: number): [number, number][] {
  return Array.from({ length: 181 }, (_, i) => {
    const s = (i * Math.PI) / 360
    return [-radius * Math.cos(s), i === 0 ? 0 : radius * Math.sin(s)]
  })
}

function top(outline: readonly (readonly [number, number])[]): number {
  return Math.max(...outline.map(([, y]) => y))
}

function pathLength(line: readonly (readonly [number, number])[]): number {
  return line.slice(1).reduce((sum, [x, y], i) => sum + Math.hypot(x - line[i]![0], y - line[i]![1]), 0)
}
