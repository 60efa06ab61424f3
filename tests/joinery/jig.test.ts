import type { ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import {
  type CradleOptions,
  ZERO,
  angleTemplate,
  bench,
  circle,
  cradle,
  family,
  piece,
  plane,
  stations,
} from '../../lib'
import { toModel } from '../../lib/craft/space'
import { findingOf, modelOf, pieceOf } from '../helpers/model'
import { loadSolids, pieceSolid } from './solid'

let wasm: ManifoldToplevel
beforeAll(async () => {
  wasm = await loadSolids()
})

const frames = family('HF', stations.pitch(5, ZERO, bench.mm(20)), (x, { share }) =>
  piece({ stock: 'divider' })
    .outline(circle(bench.mm(15 - 4 * share)))
    .place(plane.frame(x, { z: bench.mm(25), rake: 10 * share })),
)

const OPTIONS: CradleOptions = {
  stock: 'divider',
  plies: 2,
  board: bench.mm(-3),
  clearance: bench.mm(0.5),
  rise: bench.mm(8),
  gauge: bench.mm(14),
  railHeight: bench.mm(6),
}

describe('cradle', () => {
  const model = modelOf(() => [frames, cradle('JC', frames, { ...OPTIONS, stations: [1, 3, 5] })])
  const solid = (mark: string) => pieceSolid(wasm, model, pieceOf(model, mark))
  const jig = model.pieces.filter(({ family: code }) => code === 'JC')

  test('a saddle for each frame asked for and two rails, all on the board', () => {
    expect(model.findings).toEqual([])
    expect(jig.map(({ mark }) => mark)).toEqual(['JC-01', 'JC-03', 'JC-05', 'JC-RP', 'JC-RS'])
    expect(pieceOf(model, 'JC-03').notes).toEqual(['Jig: saddle under HF-03.'])
    for (const { outline, pose } of jig) {
      expect(Math.min(...outline.map((point) => toModel(pose!, point)[2]))).toBeCloseTo(-3, 3)
    }
  })

  test('frames rest in it with the clearance; saddles and rails go together', () => {
    for (const n of ['01', '03', '05']) {
      const [frame, saddle] = [solid(`HF-${n}`), solid(`JC-${n}`)]
      expect(frame.minGap(saddle, 2)).toBeCloseTo(0.5, 2)
      for (const rail of ['JC-RP', 'JC-RS']) {
        expect(saddle.intersect(solid(rail)).volume()).toBeLessThan(1e-6)
      }
    }
  })

  test('a station that there is not, and one frame alone', () => {
    const build = (numbers: number[]) => () => modelOf(() => cradle('JC', frames, { ...OPTIONS, stations: numbers }))
    const missing = findingOf(build([1, 9]))
    expect(missing).toMatchObject({ id: 'cradle', family: 'JC', remedy: 'its frames stand at stations 1 to 5' })
    const alone = findingOf(build([2]))
    expect(alone).toMatchObject({ id: 'cradle', family: 'JC', found: 1, wanted: 2 })
    expect(alone.site?.file).toContain('jig.test.ts')
  })

  test('a hull too near the board', () => {
    const { findings } = modelOf(() => cradle('JC', frames, { ...OPTIONS, board: bench.mm(9.4) }))
    expect(findings[0]).toMatchObject({ id: 'cradle-low', mark: 'HF-01', family: 'JC', wanted: 0.9 })
    expect(findings[0]!.found).toBeCloseTo(0.1, 2)
  })
})

describe('angle templates', () => {
  const span = { stock: 'divider', from: bench.mm(20), to: bench.mm(120), at: bench.mm(300), board: bench.mm(-7) }

  test('dihedral rises by the tangent', () => {
    const model = modelOf(() => angleTemplate('JD', { ...span, dihedral: 5, height: bench.mm(4) }))
    const tops = pieceOf(model, 'JD').outline.filter(([, y]) => y > 0).toSorted((a, b) => a[0] - b[0])
    const slope = (tops[1]![1] - tops[0]![1]) / (tops[1]![0] - tops[0]![0])
    expect((Math.atan(slope) * 180) / Math.PI).toBeCloseTo(5, 9)
    expect(tops[0]![1]).toBeCloseTo(4 + 20 * Math.tan((5 * Math.PI) / 180), 9)
    expect(pieceOf(model, 'JD').notes[0]).toContain('Jig: dihedral of 5°, 20.0 to 120.0 mm from the centre line.')
  })

  test('sweep falls back by it', () => {
    const model = modelOf(() => angleTemplate('JS', { ...span, sweep: 12, width: bench.mm(6) }))
    const [a, b] = pieceOf(model, 'JS').outline
    expect((Math.atan2(a![1] - b![1], b![0] - a![0]) * 180) / Math.PI).toBeCloseTo(12, 9)
  })

  // The wing's underside rises from 4 mm over the board by tan 5°: worked out here, not by the template.
  test('the first stands to starboard under the wing, the second to port', () => {
    const model = modelOf(() => angleTemplate('JD', { ...span, copies: 2, dihedral: 5, height: bench.mm(4) }))
    const { outline, pose, also } = pieceOf(model, 'JD')
    for (const [stand, side] of [[pose!, 1], [also![0]!, -1]] as const) {
      const corners = outline.map((point) => toModel(stand, point))
      expect(corners.every(([x]) => x === 300)).toBe(true)
      const top = corners.filter(([, , z]) => z > -6).map(([, y, z]) => [side * y, z] as const)
      expect(top.map(([y]) => y).toSorted((a, b) => a - b)).toEqual([20, 120])
      for (const [y, z] of top) expect(z).toBeCloseTo(-7 + 4 + y * Math.tan((5 * Math.PI) / 180), 9)
      expect(Math.min(...corners.map(([, , z]) => z))).toBe(-7)
    }
  })

  test('a template for sweep lies on the board along the leading edge', () => {
    const model = modelOf(() => angleTemplate('JS', { ...span, sweep: 12, width: bench.mm(6) }))
    const { outline, pose } = pieceOf(model, 'JS')
    const corners = outline.map((point) => toModel(pose!, point))
    const edge = corners.filter(([x, y]) => Math.abs(x - 300 - y * Math.tan((12 * Math.PI) / 180)) < 1e-9)
    expect(edge.map(([, y]) => y)).toEqual([20, 120])
    expect(corners.every(([x, y]) => x <= 300 + y * Math.tan((12 * Math.PI) / 180) + 1e-9)).toBe(true)
    expect(corners.map(([, , z]) => z)).toEqual(outline.map(() => -7 + 0.45 / 2))
  })

  test('an end before the start is said with the code and the line', () => {
    const backwards = { ...span, to: bench.mm(10), dihedral: 5, height: bench.mm(4) }
    const finding = findingOf(() => modelOf(() => angleTemplate('JD', backwards)))
    expect(finding).toMatchObject({ id: 'angle-template', family: 'JD' })
    expect(finding.site?.file).toContain('jig.test.ts')
  })
})
