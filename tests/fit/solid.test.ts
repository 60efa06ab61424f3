import type { ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import { type Solid, type SolidPiece, solidsOf } from '../../lib/fit/solid'
import { tray, sleeve } from '../../lib/craft/box'
import { unfold } from '../../lib/craft/panelTree'
import { scoredBend } from '../../lib/craft/fold'
import { catalogue } from '../../lib/stock/catalogue'
import type { Loop } from '../../lib/shape/point'
import type { Pose } from '../../lib/shape/pose'
import { box, clockwise } from '../helpers/geometry'
import { loadSolids } from '../craft/solid'

let wasm: ManifoldToplevel
beforeAll(async () => {
  wasm = await loadSolids()
})

const LEVEL: Pose = { origin: [10, 20, 30], right: [1, 0, 0], up: [0, 1, 0] }
const card = catalogue.folder

const pieceOf = (piece: Partial<SolidPiece>): SolidPiece => ({
  mark: 'A',
  plies: 1,
  copies: 1,
  outline: box(0, 0, 10, 5),
  openings: [],
  scores: [],
  pose: LEVEL,
  ...piece,
})

const solid = (piece: Partial<SolidPiece>): Solid => solidsOf(pieceOf(piece), card)[0]!

/** Measured by the reference library, which refuses what is not closed. */
const measured = ({ vertices, triangles }: Solid) => {
  const mesh = new wasm.Mesh({ numProp: 3, vertProperties: Float32Array.from(vertices), triVerts: triangles })
  const body = new wasm.Manifold(mesh)
  const { min, max } = body.boundingBox()
  return { volume: body.volume(), size: max.map((value, i) => value - min[i]!), min }
}

describe('slabs', () => {
  test('stand at their pose, half the card to either side, plies and glue lines included', () => {
    const { volume, size, min } = measured(solid({ plies: 3 }))
    const thick = 3 * 0.28 + 2 * 0.02
    expect(size[0]).toBeCloseTo(10, 5)
    expect(size[2]).toBeCloseTo(thick, 5)
    expect(min[2]).toBeCloseTo(30 - thick / 2, 5)
    expect(volume).toBeCloseTo(50 * thick, 3)
  })

  test('have their openings', () => {
    const openings = [{ kind: 'opening' as const, loop: clockwise(box(2, 1, 4, 3)) }]
    expect(measured(solid({ openings })).volume).toBeCloseTo(46 * 0.28, 3)
  })

  test('close where corners of an opening and of the outline are in line', () => {
    // A frame with cut-off corners, level with those of its opening.
    const outline: Loop = [[0, 2], [2, 0], [8, 0], [10, 2], [10, 6], [8, 8], [2, 8], [0, 6]]
    const openings = [{ kind: 'opening' as const, loop: clockwise(box(2, 2, 8, 6)) }]
    expect(measured(solid({ outline, openings })).volume).toBeCloseTo((80 - 8 - 24) * 0.28, 3)
  })

  test('come once a copy', () => {
    const also = [{ ...LEVEL, origin: [0, 0, 0] as const }]
    const all = solidsOf(pieceOf({ copies: 2, also }), card)
    expect(all.map(({ copy, bounds }) => [copy, bounds.min[0]])).toEqual([
      [1, 10],
      [2, 0],
    ])
  })
})

describe('folded', () => {
  const bend = { ...scoredBend(card) }

  test.each(['outside', 'inside'] as const)('a tray comes out at its %s size', (measure) => {
    const { tree, style } = tray({ length: 40, width: 25, height: 12, measured: measure, bend, tab: 4, printed: 'outside' })
    const { flat } = unfold(tree, style)
    const { volume, size } = measured(solid({ ...flat, form: { kind: 'folded', base: [20, 12] }, pose: LEVEL }))
    const wall = measure === 'inside' ? 2 * 0.28 : 0
    expect(size[0]).toBeCloseTo(40 + wall, 2)
    expect(size[1]).toBeCloseTo(25 + wall, 2)
    expect(size[2]).toBeCloseTo(12 + wall / 2, 2)
    expect(volume).toBeGreaterThan(0)
  })

  test('a sleeve closes: its flap lies against its last side', () => {
    const { flat } = sleeve({ width: 10, height: 8, length: 30, measured: 'outside', bend, flap: 3, printed: 'outside' })
    const { size } = measured(solid({ ...flat, form: { kind: 'folded' }, pose: LEVEL }))
    expect(size.map((value) => Number(value.toFixed(2))).toSorted((a, b) => a - b)).toEqual([8, 10, 30])
  })
})

describe('turned', () => {
  test('a tube has the volume of a hollow cylinder within its flats', () => {
    const profile = box(3, 0, 4, 10)
    const { volume } = measured(solid({ form: { kind: 'turned', profile } }))
    const exact = Math.PI * (16 - 9) * 10
    expect(volume).toBeLessThan(exact)
    expect(volume).toBeGreaterThan(exact * 0.985)
  })

  test('a cone runs to a point on the axis', () => {
    const { volume } = measured(solid({ form: { kind: 'turned', profile: [[0, 0], [5, 0], [0, 12]] } }))
    expect(volume / ((Math.PI * 25 * 12) / 3)).toBeCloseTo(1, 1)
  })
})

describe('curved', () => {
  test('a strip rolled round a cylinder keeps its volume, and its opening', () => {
    const radius = 20
    const rulings = Array.from({ length: 25 }, (_, i) => {
      const angle = (i * Math.PI) / 24
      const x = radius * angle
      const [y, z] = [radius * Math.cos(angle), radius * Math.sin(angle)]
      return { flat: [[x, 0], [x, 30]] as const, model: [[30, y, z], [0, y, z]] as const }
    })
    const outline = box(0, 0, radius * Math.PI, 30)
    const openings = [{ kind: 'opening' as const, loop: clockwise(box(20, 10, 30, 20)) }]
    const { pose: _, ...rest } = pieceOf({ outline, openings, form: { kind: 'curved', rulings } })
    const { volume, size } = measured(solidsOf(rest, card)[0]!)
    expect(volume / ((radius * Math.PI * 30 - 100) * 0.28)).toBeCloseTo(1, 2)
    expect(size[0]).toBeCloseTo(30, 4)
    expect(size[2]).toBeCloseTo(radius + 0.14, 1)
  })

  // What is rolled back is as much card as was cut: its area times its thickness, for the middle of the card keeps its size.
  test.each([20, 90, 180])('a fan from one corner, turned by %d°, is its area times the thickness of the card', (turned) => {
    // A part of a cone of 30° half angle whose sector in the flat is half as wide as it turns (sin 30°).
    const steps = Array.from({ length: 41 }, (_, i) => (turned * Math.PI * i) / (40 * 180))
    const rim = steps.map((angle): [number, number] => [30 * Math.cos(angle / 2), 30 * Math.sin(angle / 2)])
    const rulings = steps.map((angle, i) => {
      const [x, y, z] = [15 * Math.cos(angle), 15 * Math.sin(angle), -30 * Math.cos(Math.PI / 6)]
      return { flat: [[0, 0], rim[i]!] as const, model: [[0, 0, 0], [x, y, z]] as const }
    })
    const { pose: _, ...rest } = pieceOf({ outline: [[0, 0], ...rim], form: { kind: 'curved', rulings } })
    const area = (30 * 30 * turned * Math.PI) / (180 * 4)
    expect(Math.abs(measured(solidsOf(rest, card)[0]!).volume / (area * 0.28) - 1)).toBeLessThan(0.01)
  })
})
