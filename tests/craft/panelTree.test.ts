import fc from 'fast-check'
import type { ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import { channel, lidOver, sleeve, tray } from '../../lib/craft/box'
import { rectangleLoop } from '../../lib/craft/flat'
import { bendAllowance, foldGain } from '../../lib/craft/fold'
import { type Panel, type StandingPanel, foldUp, unfold } from '../../lib/craft/panelTree'
import { distance, dot, faceNormal, heightOver, toModel } from '../../lib/craft/space'
import { area, boundsOf } from '../../lib/shape/measure'
import type { Pose, Vector } from '../../lib/shape/pose'
import { loadSolids, plateSolid } from './solid'

let wasm: ManifoldToplevel
beforeAll(async () => {
  wasm = await loadSolids()
})

const BEND = { thickness: 0.28, radius: 0.1, k: 0.5 }
const LEVEL: Pose = { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 1, 0] }
const TRAY = { length: 40, width: 25, height: 10, bend: BEND, tab: 4, printed: 'outside' as const }

describe('a tray by its inside size', () => {
  const { tree, style } = tray({ ...TRAY, measured: 'inside' })
  const standing = foldUp(tree, style, LEVEL)

  test('folded, the ends stand a length apart inside and the sides a width', () => {
    expect(insideGap(standing, 'left end', 'right end')).toBeCloseTo(40, 9)
    expect(insideGap(standing, 'front', 'back')).toBeCloseTo(25, 9)
  })

  test('every wall stands upright on the side away from the print', () => {
    for (const { name, pose } of standing) {
      if (name === 'bottom' || name.endsWith('tab')) continue
      expect(dot(faceNormal(pose), [0, 0, 1])).toBeCloseTo(0, 12)
    }
    const top = Math.min(...corners(standing, 'front').map(([, , z]) => z))
    // Printed outside, it folds away from the printed side: down from a bottom that lies printed side up.
    expect(top).toBeCloseTo(-10 - 0.14, 9)
  })

  test('tabs lie flat behind the ends, a card away from their middle', () => {
    const tab = poseOf(standing, 'front right tab')
    const end = poseOf(standing, 'right end')
    expect(Math.abs(dot(faceNormal(tab), faceNormal(end)))).toBeCloseTo(1, 12)
    expect(Math.abs(heightOver(end, tab.origin))).toBeCloseTo(0.28, 9)
  })

  test('no two panels take the same place, checked by solids', () => {
    const solids = standing.map(({ panel, pose, name }) =>
      plateSolid(wasm, { name, pose, outline: panel.outline, openings: [], thickness: 0.28 }),
    )
    for (const [i, a] of solids.entries()) {
      for (const b of solids.slice(i + 1)) {
        // Panels run on to the apex, so neighbours share the strip that the bend rounds off.
        expect(a.intersect(b).volume()).toBeLessThan(0.28 * 0.28 * 45)
      }
    }
  })

  test('the blank is one piece with a score for each fold and no findings', () => {
    const { flat, findings, panels } = unfold(tree, style)
    expect(findings).toEqual([])
    expect(panels).toHaveLength(9)
    expect(flat.scores.map((score) => score.fold)).toEqual(Array.from({ length: 8 }, () => 'mountain'))
    const gain = foldGain(90, BEND, 'inside')
    const { minX, maxX, minY, maxY } = boundsOf([flat.outline])
    expect(maxX - minX).toBeCloseTo(40 + 2 * (10 + gain), 4)
    expect(maxY - minY).toBeCloseTo(25 + 2 * (10 + gain), 4)
  })
})

describe('a tray by its outside size', () => {
  test('is two cards smaller inside', () => {
    const { tree, style } = tray({ ...TRAY, measured: 'outside' })
    const standing = foldUp(tree, style, LEVEL)
    expect(insideGap(standing, 'left end', 'right end')).toBeCloseTo(40 - 0.56, 9)
    expect(unfold(tree, style).findings).toEqual([])
  })

  test('and inside sizes less two cards give the same blank', () => {
    const outer = unfold(...argumentsOf(tray({ ...TRAY, tab: 0, measured: 'outside' })))
    const inner = unfold(
      ...argumentsOf(
        tray({ ...TRAY, tab: 0, length: 40 - 0.56, width: 25 - 0.56, height: 10 - 0.28, measured: 'inside' }),
      ),
    )
    const [a, b] = [boundsOf([outer.flat.outline]), boundsOf([inner.flat.outline])]
    expect(a.maxX - a.minX).toBeCloseTo(b.maxX - b.minX, 4)
    expect(a.maxY - a.minY).toBeCloseTo(b.maxY - b.minY, 4)
  })

  test('a lid goes over it with the clearance', () => {
    const lid = lidOver({ ...TRAY, measured: 'inside' }, 6, 0.2)
    expect(lid).toMatchObject({ length: expect.closeTo(40.96, 9), width: expect.closeTo(25.96, 9), height: 6 })
  })
})

describe('folding', () => {
  test('not folded at all it lies as the blank does', () => {
    const style = { bend: BEND, measured: 'inside' as const }
    const flap = poseOf(foldUp(tongue(90), style, LEVEL, 0), 'flap')
    const { panels } = unfold(tongue(90), style)
    const flat = panels[1]!.outline
    for (const [i, point] of tongue(90).folds![0]!.panel.outline.entries()) {
      const [x, y, z] = toModel(flap, point)
      expect([x, y, z]).toEqual([expect.closeTo(flat[i]![0], 4), expect.closeTo(flat[i]![1], 4), expect.closeTo(0, 9)])
    }
  })

  test('the card keeps its length through any share of any fold, for any neutral layer', () => {
    const angles = fc.double({ min: -170, max: 170, noNaN: true }).filter((angle) => Math.abs(angle) > 2)
    const share = fc.double({ min: 0.05, max: 1, noNaN: true })
    const k = fc.double({ min: 0.3, max: 0.6, noNaN: true })
    fc.assert(
      fc.property(angles, share, k, (angle, part, layer) => {
        const bend = { thickness: 0.4, radius: 0.2, k: layer }
        const pose = poseOf(foldUp(tongue(angle), { bend, measured: 'printed' }, LEVEL, part), 'flap')
        // The way from panel to panel is an arc of the middle layer; from tangent to tangent its chord is 2r·sin(a/2).
        const turn = (Math.abs(angle) * part * Math.PI) / 180
        expect(Math.acos(Math.max(-1, Math.min(1, faceNormal(pose)[2])))).toBeCloseTo(turn, 6)
        const back = Math.tan((Math.abs(angle) * Math.PI) / 360) * (bend.radius + (angle > 0 ? 0 : bend.thickness))
        const from: Vector = [20 - back, 5, 0]
        const to = toModel(pose, [5, back])
        const radius = distance(from, to) / (2 * Math.sin(turn / 2))
        const neutral = (radius + (layer - 0.5) * bend.thickness) * turn
        expect(neutral).toBeCloseTo(bendAllowance(Math.abs(angle), bend), 6)
      }),
    )
  })

  test('valley towards the printed side, mountain away from it', () => {
    const style = { bend: BEND, measured: 'printed' as const }
    const height = (angle: number): number => toModel(poseOf(foldUp(tongue(angle), style, LEVEL), 'flap'), [5, 15])[2]
    expect(height(90)).toBeGreaterThan(14)
    expect(height(-90)).toBeLessThan(-14)
    expect(unfold(tongue(90), style).flat.scores[0]!.fold).toBe('valley')
    expect(unfold(tongue(-90), style).flat.scores[0]!.fold).toBe('mountain')
  })

  test('a part may stand anywhere: shapes do not depend on where it is folded', () => {
    const { tree, style } = tray({ ...TRAY, measured: 'inside' })
    const leaning: Pose = { origin: [100, -20, 7], right: [0.6, 0, 0.8], up: [0, 1, 0] }
    const standing = foldUp(tree, style, leaning)
    expect(insideGap(standing, 'left end', 'right end')).toBeCloseTo(40, 9)
  })
})

describe('findings', () => {
  test('panels that lie over each other in the flat', () => {
    const tree: Panel = {
      name: 'base',
      outline: rectangleLoop(10, 10),
      folds: [
        { edge: 0, angle: 90, panel: wide('one') },
        { edge: 1, angle: 90, panel: wide('two') },
      ],
    }
    const { findings } = unfold(tree, { bend: BEND, measured: 'inside' })
    expect(findings[0]).toMatchObject({ id: 'panels-overlap', wanted: 0 })
    expect(findings[0]!.text).toMatch(/one and two/)
  })

  test('a fold on an edge that a panel does not have', () => {
    const tree: Panel = { ...tongue(90), folds: [{ ...tongue(90).folds![0]!, edge: 4 }] }
    expect(() => unfold(tree, { bend: BEND, measured: 'inside' })).toThrow(
      /edge 4 of panel base, which has edges 0 to 3/,
    )
  })

  test('tabs that come to lie in the same place when folded', () => {
    // Two opposite walls turn a deep tab each onto the same end, where no wall stands between them.
    const tree: Panel = {
      name: 'base',
      outline: rectangleLoop(10, 10),
      folds: [
        { edge: 0, angle: 90, panel: wall('front', 1) },
        { edge: 2, angle: 90, panel: wall('back', 3) },
      ],
    }
    const { findings } = unfold(tree, { bend: BEND, measured: 'inside' })
    expect(findings[0]).toMatchObject({ id: 'panels-collide' })
    expect(findings[0]!.text).toMatch(/front tab and back tab/)
  })
})

describe('sleeves and channels', () => {
  test('a sleeve by inside and by outside size is the same strip', () => {
    const spec = { width: 30, height: 12, length: 50, bend: BEND, flap: 5, printed: 'outside' as const }
    const t = BEND.thickness
    const inside = sleeve({ ...spec, measured: 'inside' })
    const outside = sleeve({ ...spec, width: 30 + 2 * t, height: 12 + 2 * t, flap: 5 + t, measured: 'outside' })
    expect(inside.length).toBeCloseTo(outside.length, 9)
    expect(inside.findings).toEqual([])
  })

  test.each([
    ['angle', 1],
    ['channel', 2],
    ['joggle', 2],
    ['hat', 4],
  ] as const)('a %s has %d folds', (form, folds) => {
    const { flat } = channel({ form, web: 20, flange: 8, length: 60, measured: 'outside', bend: BEND })
    expect(flat.scores).toHaveLength(folds)
    expect(area([flat.outline])).toBeGreaterThan(0)
  })
})

/** A base with a flap on its right edge. */
function tongue(angle: number): Panel {
  const flap = { name: 'flap', outline: rectangleLoop(10, 15) }
  return { name: 'base', outline: rectangleLoop(20, 10), folds: [{ edge: 1, angle, panel: flap }] }
}

/** A panel that spreads from its fold. */
function wide(name: string): Panel {
  return {
    name,
    outline: [
      [0, 0],
      [10, 0],
      [30, 15],
      [-20, 15],
    ],
  }
}

/** A wall with a tab folded in from one of its ends. */
function wall(name: string, edge: number): Panel {
  const tab = { name: `${name} tab`, outline: rectangleLoop(10, 6) }
  return { name, outline: rectangleLoop(10, 10), folds: [{ edge, angle: 90, panel: tab }] }
}

function argumentsOf({ tree, style }: ReturnType<typeof tray>): Parameters<typeof unfold> {
  return [tree, style]
}

function poseOf(standing: readonly StandingPanel[], name: string): Pose {
  return standing.find((panel) => panel.name === name)!.pose
}

function corners(standing: readonly StandingPanel[], name: string): Vector[] {
  const { panel, pose } = standing.find((one) => one.name === name)!
  return panel.outline.map((point) => toModel(pose, point))
}

/** Distance between the inner faces of two parallel panels. */
function insideGap(standing: readonly StandingPanel[], a: string, b: string): number {
  return Math.abs(heightOver(poseOf(standing, a), corners(standing, b)[0]!)) - BEND.thickness
}
