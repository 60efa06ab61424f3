import { beforeAll, describe, expect, test } from 'vitest'
import { scoredBend } from '../../lib/craft/fold'
import { tray } from '../../lib/craft/box'
import { unfold } from '../../lib/craft/panelTree'
import { faceNormal, toModel } from '../../lib/craft/space'
import { flatPlace } from '../../lib/fit/flatPlace'
import { foldedUp } from '../../lib/fit/foldedUp'
import { type Kernel, prepareFit } from '../../lib/fit/kernel'
import { sceneOf } from '../../lib/fit/scene'
import { thicknessOf } from '../../lib/fit/solid'
import type { Piece } from '../../lib/model/piece'
import type { Point } from '../../lib/shape/point'
import type { Pose, Vector } from '../../lib/shape/pose'
import { catalogue } from '../../lib/stock/catalogue'
import { testPiece } from '../sheet/pieces'
import { box } from '../helpers/geometry'

let kernel: Kernel
beforeAll(async () => {
  kernel = await prepareFit()
})

const card = catalogue.folder

/** Turned and tilted, so that no axis of the piece is one of the model's. */
const TILTED: Pose = { origin: [30, -12, 7], right: [0.6, 0.8, 0], up: [-0.48, 0.36, 0.8] }

const standing = (given: Partial<Piece>) => {
  const piece = testPiece('A', box(0, 0, 40, 30), { stock: card.id, pose: TILTED, ...given })
  return sceneOf({ pieces: [piece], stocks: new Map([[card.id, card]]) }, kernel).standing[0]!
}

const near = (found: Point | undefined, wanted: Point, within: number) => {
  expect(Math.hypot(found![0] - wanted[0], found![1] - wanted[1])).toBeLessThan(within)
}

describe('a point of the flat comes back from the model', () => {
  const points: Point[] = [[3, 4], [17.5, 21], [39, 1], [12.25, 29]]

  test.each(points)('of a slab, (%d, %d), at either face', (x, y) => {
    for (const out of [-0.14, 0, 0.14]) near(flatPlace(standing({}), toModel(TILTED, [x, y], out)), [x, y], 1e-9)
  })

  // A cylinder of 20 mm radius about the piece's y axis, and a cone of 30° half angle developed by its own formula:
  // a sector of the slant height, its angle the cone's turned by sin 30° (Bronshtein, Handbook of Mathematics, §3.3).
  const half = Math.sin(Math.PI / 6)
  const onCylinder = ([x, y]: Point): Vector => [20 * Math.sin(x / 20), y, 20 * Math.cos(x / 20)]
  const onCone = ([x, y]: Point): Vector => {
    const [slant, turned] = [Math.hypot(x, y), Math.atan2(y, x) / half]
    return [slant * half * Math.cos(turned), slant * half * Math.sin(turned), -slant * Math.cos(Math.PI / 6)]
  }
  const steps = Array.from({ length: 81 }, (_, i) => i / 80)

  test.each(points)('of a strip round a cylinder, (%d, %d)', (x, y) => {
    const rulings = steps.map((t) => {
      const flat = [[40 * t, 0], [40 * t, 30]] as const
      return { flat, model: [onCylinder(flat[0]), onCylinder(flat[1])] as const }
    })
    const one = standing({ form: { kind: 'curved', rulings } })
    const [u, v, out] = onCylinder([x, y])
    near(flatPlace(one, toModel(TILTED, [u, v], out)), [x, y], 0.01)
  })

  test.each([[16, 2], [25, 9], [20, 20], [12, 17]] as Point[])('of a sector round a cone, (%d, %d)', (x, y) => {
    const ray = (t: number, slant: number): Point => [slant * Math.cos((Math.PI * t) / 3), slant * Math.sin((Math.PI * t) / 3)]
    const rulings = steps.map((t) => {
      const flat = [ray(t, 10), ray(t, 30)] as const
      return { flat, model: [onCone(flat[0]), onCone(flat[1])] as const }
    })
    const outline = [...steps.map((t) => ray(t, 30)), ...steps.toReversed().map((t) => ray(t, 10))]
    const one = standing({ outline, form: { kind: 'curved', rulings } })
    const [u, v, out] = onCone([x, y])
    near(flatPlace(one, toModel(TILTED, [u, v], out)), [x, y], 0.01)
  })

  test('of a tray, in the middle of each wall: the pose that its panel has', () => {
    const { tree, style } = tray({ length: 40, width: 25, height: 12, measured: 'outside', bend: { ...scoredBend(card) }, tab: 4, printed: 'outside' })
    const { flat } = unfold(tree, style)
    const form = { kind: 'folded', base: [20, 12] } as const
    const one = standing({ ...flat, form })
    const { panels } = foldedUp(one.piece, form, { ...card.fold, thickness: thicknessOf(one.piece, card) })
    const walls: Point[] = [[20, 12], [20, 31], [20, -6], [-6, 12], [46, 12]]
    for (const wall of walls) {
      // Up by the pose of each panel: only the one that the point is a part of brings it back.
      const back = panels.map((panel) => {
        const inPiece = toModel(panel, wall)
        const found = flatPlace(one, toModel(TILTED, [inPiece[0], inPiece[1]], inPiece[2]))!
        return Math.hypot(found[0] - wall[0], found[1] - wall[1])
      })
      expect(Math.min(...back)).toBeLessThan(0.01)
    }
    expect(panels.length).toBeGreaterThanOrEqual(5)
  })

  test('of what is wound there is none', () => {
    const one = standing({ form: { kind: 'turned', profile: box(3, 0, 4, 10) } })
    expect(flatPlace(one, toModel(TILTED, [3.5, 0], 5))).toBeUndefined()
    expect(faceNormal(TILTED)[2]).toBeCloseTo(0.6, 9)
  })
})
