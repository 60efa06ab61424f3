import type { ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import { ZERO, bench, laminated, mirrored, piece, plane, rectangle, single } from '../../lib'
import type { Piece } from '../../lib/model/piece'
import { findingOf, modelOf } from '../helpers/model'
import { loadSolids, pieceSolid } from './solid'

let wasm: ManifoldToplevel
beforeAll(async () => {
  wasm = await loadSolids()
})

const beam = (plies: number) =>
  single('BM', () =>
    piece({ stock: 'divider', plies, grain: 'along' })
      .outline(rectangle(bench.mm(40), bench.mm(6)))
      .place(plane.spanwise(bench.mm(10), { twist: 12, cant: 7 })),
  )

describe('plies', () => {
  const model = modelOf(() => laminated(mirrored(beam(3))))

  test('each is a piece with a mark of its own, the grain of every other one across', () => {
    expect(model.pieces.map(({ mark, plies }) => [mark, plies])).toEqual(
      ['P', 'S'].flatMap((side) => [1, 2, 3].map((n) => [`BM-${side}-L${n}`, 1])),
    )
    expect(model.pieces.map(({ grain }) => grain)).toEqual([0, 90, 0, 0, 90, 0])
    expect(model.findings).toEqual([])
  })

  test('they lie a line of glue apart, and as solids make the whole', () => {
    const { thickness, glueLine } = model.stocks.get('divider')!
    const plies = model.pieces.slice(3).map((ply) => pieceSolid(wasm, model, ply))
    expect(plies[0]!.minGap(plies[1]!, 1)).toBeCloseTo(glueLine.value, 6)
    expect(plies[1]!.minGap(plies[2]!, 1)).toBeCloseTo(glueLine.value, 6)
    expect(plies[0]!.minGap(plies[2]!, 1)).toBeCloseTo(thickness.value + 2 * glueLine.value, 6)
    const whole = modelOf(() => mirrored(beam(3)))
    const solid = pieceSolid(wasm, whole, whole.pieces[1]!)
    const inside = plies.reduce((sum, ply) => sum + solid.intersect(ply).volume(), 0)
    expect(inside).toBeCloseTo(3 * 40 * 6 * thickness.value, 3)
  })
})

describe('a thickness to reach', () => {
  const reach = (thickness: number, from: string[]) =>
    modelOf(() => laminated(beam(1), { thickness: bench.mm(thickness), from }))

  test('by the fewest plies of the stock at hand, and the error is shown', () => {
    // 0.45 + 0.02 + 0.28 + 0.02 + 0.45 = 1.22
    const { pieces, findings } = reach(1.2, ['divider', 'folder'])
    expect(pieces.map(({ stock }) => stock)).toEqual(['divider', 'folder', 'divider'])
    expect(findings[0]).toMatchObject({ id: 'lamination', severity: 'note', mark: 'BM', wanted: 1.2 })
    expect(findings[0]!.found).toBeCloseTo(1.22, 9)
    expect(findings[0]!.text).toContain('(+0.02 mm)')
    expect(pieces[1]!.notes.at(-1)).toBe('Ply 2 of 3: 1.22 mm, +0.02 mm')
  })

  test('that cannot be reached is an error with both numbers and the line', () => {
    const { findings } = reach(0.7, ['divider'])
    expect(findings[0]).toMatchObject({ id: 'ply-thickness', severity: 'error', mark: 'BM', wanted: 0.7 })
    expect(findings[0]!.found).toBeCloseTo(0.92, 9)
    expect(findings[0]!.site?.file).toContain('laminated.test.ts')
  })

  test('from no stock at all, or one that there is not', () => {
    expect(findingOf(() => reach(1, [])).remedy).toBe("name one: from: ['divider']")
    const mistyped = findingOf(() => reach(1, ['devider']))
    expect(mistyped).toMatchObject({ text: 'there is no stock "devider"', remedy: 'did you mean "divider"?' })
  })
})

test('a spar keeps its grain in all plies where that is asked for', () => {
  const { pieces } = modelOf(() => laminated(beam(4), { grain: 'same' }))
  expect(pieces.map(({ grain }) => grain)).toEqual([0, 0, 0, 0])
})

test('grain that is turned the other way on port is turned the other way in its plies too', () => {
  const slanted = single('BM', () =>
    piece({ stock: 'divider', plies: 3, grain: 30 }).outline(rectangle(bench.mm(40), bench.mm(6))),
  )
  const grains = (pieces: readonly Piece[]) => pieces.map(({ grain }) => grain)
  expect(grains(modelOf(() => laminated(mirrored(slanted))).pieces)).toEqual([150, 60, 150, 30, 120, 30])
})

test('ZERO thickness comes to the thinnest there is, and says so', () => {
  const { findings } = modelOf(() => laminated(beam(1), { thickness: ZERO }))
  expect(findings[0]).toMatchObject({ id: 'ply-thickness', found: 0.45, wanted: 0 })
})
