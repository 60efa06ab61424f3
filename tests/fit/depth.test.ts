import type { Manifold, ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import { type CellTree, cellTree } from '../../lib/fit/cellTree'
import { meanDepth } from '../../lib/fit/depth'
import { fitFindings } from '../../lib/fit/index'
import { type Kernel, prepareFit } from '../../lib/fit/kernel'
import { solidsOf } from '../../lib/fit/solid'
import type { Form } from '../../lib/model/form'
import type { Piece } from '../../lib/model/piece'
import type { Relation } from '../../lib/model/relation'
import type { Pose, Vector } from '../../lib/shape/pose'
import { catalogue } from '../../lib/stock/catalogue'
import { loadSolids } from '../craft/solid'
import { box } from '../helpers/geometry'
import { testPiece } from '../sheet/pieces'

let wasm: ManifoldToplevel
let kernel: Kernel
beforeAll(async () => {
  wasm = await loadSolids()
  kernel = await prepareFit()
})

/** Thickness of the card all are of, mm. */
const T = 0.28

const LEVEL: Pose = { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 1, 0] }

/** Card curled round the y axis at a radius: from over the axis onwards by so many degrees, 12 mm wide. */
const curl = (radius: number, degrees: number, at: Vector = [0, 0, 0]): { outline: Piece['outline']; form: Form } => {
  const steps = 30
  const rulings = Array.from({ length: steps + 1 }, (_, i) => {
    const angle = ((degrees * i) / steps) * (Math.PI / 180)
    const [x, z] = [at[0] + radius * Math.sin(angle), at[2] + radius * Math.cos(angle)]
    return { flat: [[radius * angle, 0], [radius * angle, 12]], model: [[x, at[1], z], [x, at[1] + 12, z]] } as const
  })
  return { outline: box(0, 0, (radius * degrees * Math.PI) / 180, 12), form: { kind: 'curved', rulings } }
}

const treeOf = (piece: Piece): CellTree => cellTree(solidsOf(piece, catalogue.folder)[0]!)!

const card = (mark: string, rest: Partial<Piece> = {}): Piece => testPiece(mark, box(-20, -20, 20, 20), { pose: LEVEL, ...rest })

/** Where it stands by its form alone. */
const curled = (mark: string, { outline, form }: ReturnType<typeof curl>): Piece => {
  const { pose: _, ...rest } = card(mark, { outline, form })
  return rest
}

describe('the mean depth of what two bodies share', () => {
  const upright: Pose = { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 0, 1] }
  const depthOf = (shared: Manifold, pieces: readonly Piece[], length: number) => meanDepth(shared, pieces.map(treeOf), length)

  test.each([0.05, 0.14, 0.2, 0.28])('of card %d mm deep, edge-on, in other card', (d) => {
    const shared = wasm.Manifold.cube([8, T, d], true).translate([0, 0, T / 2 - d / 2])
    expect(depthOf(shared, [card('A'), card('B', { pose: upright })], 8)).toBeCloseTo(d, 4)
  })

  test('of a wedge is half its depth at the deepest', () => {
    const wedge = wasm.Manifold.extrude([[[0, 0], [0, -0.2], [0.5, 0]]], 8).rotate([90, 0, 0]).translate([0, 4, T / 2])
    expect(depthOf(wedge, [card('A')], 8)).toBeCloseTo(0.1, 3)
  })

  test.each([90, 60, 35])('of card that goes right through at %d° is its volume by the shadow it throws on the card', (angle) => {
    const lean = (angle * Math.PI) / 180
    const x = T / Math.tan(lean)
    const wide = 0.45 / Math.sin(lean)
    // A parallelogram between both faces.
    const shared = wasm.Manifold.extrude([[[0, -T / 2], [wide, -T / 2], [wide + x, T / 2], [x, T / 2]]], 8).rotate([90, 0, 0])
    expect(depthOf(shared, [card('A')], 8)).toBeCloseTo((T * wide) / (wide + x), 3)
  })

  test('of a layer on curled card is the thickness of the layer', () => {
    // A sector of 20° of a ring from 30 mm outwards, in the middle of card whose middle is there.
    const arc = (radius: number) => Array.from({ length: 81 }, (_, i) => [radius * Math.sin((i * Math.PI) / 720), radius * Math.cos((i * Math.PI) / 720)] as [number, number])
    const shared = wasm.Manifold.extrude([[...arc(30), ...arc(30.1).toReversed()]], 10).rotate([90, 0, 0]).translate([0, 11, 0])
    expect(shared.volume()).toBeCloseTo((Math.PI / 18) * (30.1 ** 2 - 30 ** 2) * 10, 1)
    expect(depthOf(shared, [curled('C', curl(30, 90))], 10)).toBeCloseTo(0.1, 3)
  })
})

describe('curled card that sticks in other card', () => {
  const said = (pieces: readonly Piece[], relations: readonly Relation[] = []) =>
    fitFindings({ pieces, relations, stocks: new Map([['folder', catalogue.folder]]) }, kernel)
  const clashes = (pieces: readonly Piece[], relations: readonly Relation[] = []) =>
    said(pieces, relations).filter(({ id }) => id === 'clash')

  /** Its last line, where it comes down square to the floor, `d` mm deep in the floor. */
  const edgeOn = (d: number) => curled('C', curl(30, 90, [-30, -6, T / 2 - d]))
  /** Curled round an upright axis, all of its lower edge so deep in the floor. */
  const arcOn = (d: number) => {
    const { outline, form } = curl(15, 60)
    const { pose: _, ...rest } = card('C', { outline, form })
    return { ...rest, pose: { origin: [0, 10, T / 2 - d], right: [1, 0, 0], up: [0, 0, 1] } as const } satisfies Piece
  }
  const way = { 'along a line': { stand: edgeOn, length: 12 }, 'along a curve': { stand: arcOn, length: (15 * Math.PI) / 3 } }

  for (const [name, { stand, length }] of Object.entries(way)) {
    test.each([0.08, 0.12])(`${name}, %d mm deep: the card gives by so much`, (d) => {
      expect(clashes([card('F'), stand(d)])).toEqual([])
    })

    test.each([0.16, 0.2, 0.24, 0.27])(`${name}, %d mm deep: so it is found and told`, (d) => {
      const [clash, ...more] = clashes([card('F'), stand(d)])
      expect(more).toEqual([])
      // Its faces are not quite upright all the way down.
      expect(Math.abs(clash!.found! - d)).toBeLessThan(0.03 * d)
      const [, volume] = /\(([\d.]+) mm³/.exec(clash!.text)!
      expect(Math.abs(Number(volume) - d * T * length)).toBeLessThan(0.02)
    })
  }

  test('that is curled itself', () => {
    const floor = curled('F', curl(40, 90, [0, -6, -40]))
    // It comes down 10 mm from the crown.
    const found = (d: number) => clashes([floor, curled('C', curl(30, 90, [-20, -6, Math.sqrt((40 + T / 2) ** 2 - 10 ** 2) - 40 - d]))])
    expect(found(0.1)).toEqual([])
    expect(found(0.24)).toHaveLength(1)
  })

  test('and is said to be glued there is in it none the less, further than a joint was allowed to be open', () => {
    const join = (within?: number): Relation => ({ kind: 'join', a: 'C', b: 'F', how: 'glue', ...(within && { within }) })
    const told = clashes([card('F'), edgeOn(0.2)])
    expect(told).toHaveLength(1)
    expect(clashes([card('F'), edgeOn(0.2)], [join()])).toEqual(told)
    expect(clashes([card('F'), edgeOn(0.2)], [{ kind: 'bond', a: ['C'], b: ['F'] }])).toEqual(told)
    expect(clashes([card('F'), edgeOn(0.2)], [join(0.25)])).toEqual([])
    expect(clashes([card('F'), edgeOn(0.27)], [join(0.25)])).toHaveLength(1)
    // A joint that may be open by more than the card is thick does not let it through.
    expect(clashes([card('F'), edgeOn(0.27)], [join(0.35)])).toHaveLength(1)
    expect(clashes([card('F'), edgeOn(0.24)], [join(0.35)])).toEqual([])
  })

  test('along edges that were to meet is none, elsewhere is one', () => {
    const seam: Relation = { kind: 'seam', a: 'C', b: 'D', edges: ['last', 'first'] }
    // From where C ends, D goes on level: outer corner on outer corner.
    const end = curled('C', curl(30, 90, [-30, -6, 0]))
    const flat = (x: number, z: number) => {
      const line = (i: number) => ({ flat: [[10 * i, 0], [10 * i, 12]], model: [[x + 10 * i, -6, z], [x + 10 * i, 6, z]] }) as const
      return curled('D', { outline: box(0, 0, 20, 12), form: { kind: 'curved', rulings: [line(0), line(1), line(2)] } })
    }
    const corner = flat(-T / 2, T / 2)
    expect(clashes([end, corner])).toHaveLength(1)
    expect(clashes([end, corner], [seam])).toEqual([])
    // Three millimetres further in, and higher up, it goes through.
    const through = flat(-3, 4)
    expect(clashes([end, through], [seam])).toHaveLength(1)
  })
})
