import type { ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import { type CellTree, cellTree, roundTree } from '../../lib/fit/cellTree'
import { cellsApart } from '../../lib/fit/cellsApart'
import { convexDistance } from '../../lib/fit/convex'
import { roundSection } from '../../lib/fit/revolved'
import { type Solid, type SolidPiece, solidsOf } from '../../lib/fit/solid'
import type { Loop } from '../../lib/shape/point'
import type { Pose, Vector } from '../../lib/shape/pose'
import { catalogue } from '../../lib/stock/catalogue'
import { loadSolids } from '../craft/solid'
import { box } from '../helpers/geometry'
import { Random } from '../../lib/nest/search/random'

let wasm: ManifoldToplevel
beforeAll(async () => {
  wasm = await loadSolids()
})

/** A plate like an L, .28 mm thick: no convex body. */
const L: Loop = [[0, 0], [20, 0], [20, 6], [7, 6], [7, 15], [0, 15]]

const slab = (pose: Pose, outline: Loop = L): Solid => {
  const piece: SolidPiece = { mark: 'A', plies: 1, copies: 1, outline, openings: [], scores: [], pose }
  return solidsOf(piece, catalogue.folder)[0]!
}

const treeOf = (solid: Solid): CellTree => cellTree(solid)!

const whole = (solid: Solid) => ({ tree: treeOf(solid), share: 1 })

const body = ({ vertices, triangles }: Solid) =>
  new wasm.Manifold(new wasm.Mesh({ numProp: 3, vertProperties: Float32Array.from(vertices), triVerts: triangles }))

/** A turn from four numbers as a quaternion (K. Shoemake, 1985), about any point near the origin. */
const anywhere = (random: () => number): Pose => {
  const four = [0, 1, 2, 3].map(() => random() - 0.5)
  const size = Math.hypot(...four)
  const [w, x, y, z] = four.map((value) => value / size) as [number, number, number, number]
  const origin = [0, 1, 2].map(() => 30 * (random() - 0.5)) as unknown as Vector
  return {
    origin,
    right: [1 - 2 * (y * y + z * z), 2 * (x * y + w * z), 2 * (x * z - w * y)],
    up: [2 * (x * y - w * z), 1 - 2 * (x * x + z * z), 2 * (y * z + w * x)],
  }
}

describe('how near two bodies come', () => {
  test('of plates at any angle, as the reference library measures it', () => {
    const numbers = new Random(7)
    const random = () => numbers.unit()
    const measured = Array.from({ length: 200 }, () => {
      const [a, b] = [slab(anywhere(random)), slab(anywhere(random))]
      return [cellsApart(whole(a), whole(b), 100), body(a).minGap(body(b), 100)] as const
    })
    // It works with single precision.
    for (const [ours, theirs] of measured) expect(Math.abs(ours - theirs)).toBeLessThan(1e-4)
    expect(measured.filter(([ours]) => ours === 0).length).toBeGreaterThan(10)
    expect(measured.filter(([ours]) => ours > 1).length).toBeGreaterThan(10)
  })

  test('what is further than asked is told as that, and what is near enough ends the search', () => {
    const [a, b] = [slab({ origin: [0, 0, 0], right: [1, 0, 0], up: [0, 1, 0] }), slab({ origin: [0, 0, 5], right: [1, 0, 0], up: [0, 1, 0] })]
    expect(cellsApart(whole(a), whole(b), 3)).toBe(3)
    expect(cellsApart(whole(a), whole(b), 9)).toBeCloseTo(5 - 0.28, 9)
    expect(cellsApart(whole(a), whole(b), 9, 8)).toBeLessThanOrEqual(8)
  })

  test('of two rods that cross is the way between their axes less both radii', () => {
    const rod = (pose: Pose) => roundTree(roundSection({ kind: 'turned', profile: box(0, -30, 10, 30) }), pose)
    const [a, b] = [
      rod({ origin: [0, 0, 0], right: [1, 0, 0], up: [0, 1, 0] }),
      rod({ origin: [25, 0, 0], right: [0, 0, 1], up: [1, 0, 0] }),
    ]
    // Flats of round things lie up to 0.02 mm inside the circle.
    expect(cellsApart({ tree: a, share: 1 }, { tree: b, share: 1 }, 9)).toBeCloseTo(5, 1)
  })

  test('of corner, edge and face, by hand', () => {
    const cube = (x: number, y: number, z: number) => ({
      xyz: Float64Array.from([0, 1].flatMap((i) => [0, 1].flatMap((j) => [0, 1].flatMap((k) => [x + i, y + j, z + k])))),
      count: 8,
    })
    expect(convexDistance(cube(0, 0, 0), cube(2, 3, 3), 9)).toBeCloseTo(Math.sqrt(1 + 4 + 4), 9)
    expect(convexDistance(cube(0, 0, 0), cube(0.3, 3, 2), 9)).toBeCloseTo(Math.sqrt(4 + 1), 9)
    expect(convexDistance(cube(0, 0, 0), cube(0.3, 0.2, 2), 9)).toBeCloseTo(1, 9)
    expect(convexDistance(cube(0, 0, 0), cube(0.9, 0.9, 0.9), 9)).toBe(0)
  })
})

describe('shaved card', () => {
  const level = (z: number): Pose => ({ origin: [0, 0, z], right: [1, 0, 0], up: [0, 1, 0] })

  test('from both faces lies further off by half of what was taken', () => {
    const [a, b] = [slab(level(0)), slab(level(1))]
    expect(cellsApart({ tree: treeOf(a), share: 0.5 }, whole(b), 9)).toBeCloseTo(1 - 0.14 - 0.07, 9)
  })

  test('a square shares nothing with what reaches into its margin alone', () => {
    const square = slab(level(0), box(0, 0, 10, 10))
    const reaching = (depth: number) => slab({ origin: [10 - depth, 2, -5], right: [0, 0, 1], up: [0, 1, 0] }, box(0, 0, 10, 6))
    // Upright, half its thickness to either side.
    const shares = (depth: number) => cellsApart({ tree: treeOf(square), share: 1, margin: 1 }, whole(reaching(depth)), 1e-6) < 1e-6
    expect([0.5, 0.85, 0.87, 3].map(shares)).toEqual([false, false, true, true])
  })
})
