import type { ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import { cradle, dihedralTemplate, sweepTemplate } from '../../lib/craft/jig'
import type { Plate } from '../../lib/craft/plate'
import { toModel } from '../../lib/craft/space'
import { area, boundsOf } from '../../lib/shape/measure'
import type { Loop, Point } from '../../lib/shape/point'
import type { Vector } from '../../lib/shape/pose'
import { loadSolids, plateSolid } from './solid'

let wasm: ManifoldToplevel
beforeAll(async () => {
  wasm = await loadSolids()
})

const SPEC = {
  board: -20,
  clearance: 0.4,
  rise: 8,
  wall: 3,
  rails: [-8, 8],
  railHeight: 6,
  overhang: 5,
  thickness: 0.46,
  fit: 0.1,
  web: 0.8,
}

describe('cradle', () => {
  const frames = [hullFrame('F-01', 0, 10), hullFrame('F-02', 20, 12, 10), hullFrame('F-03', 40, 11)]
  const { saddles, rails, findings } = cradle({ ...SPEC, frames })

  test('a saddle for each frame, in its plane, and the rails asked for', () => {
    expect(findings).toEqual([])
    expect(saddles.map((saddle) => saddle.name)).toEqual(['F-01 saddle', 'F-02 saddle', 'F-03 saddle'])
    expect(saddles[1]!.pose).toEqual(frames[1]!.pose)
    expect(rails.map((rail) => rail.slots!.length)).toEqual([3, 3])
  })

  test('everything stands on the board', () => {
    for (const plate of [...saddles, ...rails]) {
      const lowest = Math.min(...plate.outline.map((point) => toModel(plate.pose, point)[2]))
      expect(lowest).toBeCloseTo(-20, 4)
    }
  })

  test('frames lie in it with the clearance and can be lifted straight out', () => {
    for (const [i, saddle] of saddles.entries()) {
      const [a, b] = [plateSolid(wasm, frames[i]!), plateSolid(wasm, saddle)]
      expect(a.intersect(b).volume()).toBeLessThan(1e-6)
      expect(a.minGap(b, 2)).toBeCloseTo(0.4, 2)
      const { up } = frames[i]!.pose
      for (const lift of [1, 4, 9]) {
        const lifted = a.translate([up[0] * lift, up[1] * lift, up[2] * lift])
        expect(lifted.intersect(b).volume()).toBeLessThan(1e-6)
      }
    }
  })

  test('saddles and rails go together', () => {
    for (const saddle of saddles) {
      for (const rail of rails)
        expect(plateSolid(wasm, saddle).intersect(plateSolid(wasm, rail)).volume()).toBeLessThan(1e-6)
    }
  })

  test('a hull that bulges above the saddle is not locked in', () => {
    const bulged = ['F-01', 'F-02'].map((name, i) => ({
      ...frames[0]!,
      name,
      outline: bulb(),
      pose: { ...frames[0]!.pose, origin: [20 * i, 0, 0] as Vector },
    }))
    const held = cradle({ ...SPEC, frames: bulged, rise: 16 }).saddles[0]!
    const top = boundsOf([held.outline]).maxY
    const widths = [-6, -2, 0].map((y) => gapAt(held.outline, Math.min(y, top - 0.5)))
    expect(widths[0]).toBeLessThanOrEqual(widths[1]! + 1e-6)
    expect(widths[1]).toBeLessThanOrEqual(widths[2]! + 1e-6)
  })

  test('a hull too near the board is named with both figures', () => {
    const low = cradle({ ...SPEC, board: -10.6, frames })
    expect(low.findings.find((finding) => finding.id === 'cradle-low')).toMatchObject({ mark: 'F-01', wanted: 0.8 })
  })

  test('one rail is refused', () => {
    expect(() => cradle({ ...SPEC, frames, rails: [0] })).toThrow(/2 of each/)
  })
})

describe('angle templates', () => {
  test('dihedral: the top rises by its tangent', () => {
    const { outline } = dihedralTemplate({ angle: 5, from: 20, to: 80, height: 6 })
    expect(outline[3]![1]).toBeCloseTo(6 + 20 * Math.tan((5 * Math.PI) / 180), 12)
    expect((Math.atan2(outline[2]![1] - outline[3]![1], 60) * 180) / Math.PI).toBeCloseTo(5, 9)
  })

  test('sweep: the edge falls back by its tangent', () => {
    const { outline } = sweepTemplate({ angle: 30, from: 0, to: 50, width: 10 })
    expect((Math.atan2(outline[0]![1] - outline[1]![1], 50) * 180) / Math.PI).toBeCloseTo(30, 9)
    expect(area([outline])).toBeGreaterThan(0)
    const forward = sweepTemplate({ angle: -30, from: 0, to: 50, width: 10 }).outline
    expect(area([forward])).toBeCloseTo(area([outline]), 9)
  })

  test('an anhedral that runs into the board is refused', () => {
    expect(() => dihedralTemplate({ angle: -10, from: 0, to: 80, height: 6 })).toThrow(/thinnest/)
  })
})

/** A round frame across the hull, its top leaned aft by so many degrees. */
function hullFrame(name: string, x: number, radius: number, rake = 0): Plate {
  const outline = Array.from({ length: 180 }, (_, i): Point => {
    const at = (i * Math.PI) / 90
    return [radius * Math.cos(at), radius * Math.sin(at)]
  })
  const r = (rake * Math.PI) / 180
  const pose = { origin: [x, 0, 0] as Vector, right: [0, 1, 0] as Vector, up: [Math.sin(r), 0, Math.cos(r)] as Vector }
  return { name, pose, outline, openings: [], thickness: 0.46 }
}

/** A section widest a third of the way up, drawn in above. */
function bulb(): Loop {
  return Array.from({ length: 120 }, (_, i): Point => {
    const at = (i * Math.PI) / 60
    return [(9 - 4 * Math.sin(at)) * Math.cos(at), 12 * Math.sin(at)]
  })
}

/** Width of the open mouth of a saddle at a height. */
function gapAt(loop: Loop, y: number): number {
  const xs: number[] = []
  for (const [i, [x0, y0]] of loop.entries()) {
    const [x1, y1] = loop[(i + 1) % loop.length]!
    if (y0 < y !== y1 < y) xs.push(x0 + ((y - y0) / (y1 - y0)) * (x1 - x0))
  }
  xs.sort((a, b) => a - b)
  return xs.length >= 4 ? xs[2]! - xs[1]! : 0
}
