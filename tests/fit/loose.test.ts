import type { ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import { fitFindings } from '../../lib/fit/index'
import { type Kernel, prepareFit } from '../../lib/fit/kernel'
import type { Piece } from '../../lib/model/piece'
import type { Relation } from '../../lib/model/relation'
import { Random } from '../../lib/nest/search/random'
import type { Vector } from '../../lib/shape/pose'
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

/** A card of 20 by 10 mm that lies level; its middle in the model. */
const card = (mark: string, origin: Vector, rest: Partial<Piece> = {}): Piece =>
  testPiece(mark, box(-10, -5, 10, 5), { pose: { origin, right: [1, 0, 0], up: [0, 1, 0] }, ...rest })

/** Cards that lie on each other. */
const stack = (marks: readonly string[], [x, y, z]: Vector, rest: Partial<Piece> = {}): Piece[] =>
  marks.map((mark, i) => card(mark, [x, y, z + i * T], rest))

const base = stack(['B-01', 'B-02', 'B-03', 'B-04', 'B-05'], [0, 0, 0])

const found = (pieces: readonly Piece[], relations: readonly Relation[] = []) =>
  fitFindings({ pieces, relations, stocks: new Map([['folder', catalogue.folder]]) }, kernel)

const said = (pieces: readonly Piece[], relations: readonly Relation[] = []) =>
  found(pieces, relations).map(({ id, severity, text }) => `${severity} ${id}: ${text}`)

describe('a group of pieces that touch one another alone', () => {
  // From corner to corner 3, 4 and 12 mm: 13 mm.
  test('says how far away the nearest other piece is, and where', () => {
    const [one, ...more] = found([...base, ...stack(['A-01', 'A-02'], [23, 14, 12 + 5 * T])])
    expect(more).toEqual([])
    expect(one).toMatchObject({ id: 'adrift', severity: 'note', mark: 'A-01', wanted: 0.3 })
    expect(one!.text).toBe(
      'A-01 and A-02 touch only one another: nearest to them is B-05, 13.00 mm from A-01 at (13.0, 9.0, 13.3) in the model, ' +
        '3.00 mm forward, 4.00 mm to port and 12.00 mm down; less than 0.30 mm is touching',
    )
    expect(one!.found).toBeCloseTo(13, 6)
    // The corner next to it, on the flat.
    expect(one!.at!.map((value) => Number(value.toFixed(4)))).toEqual([-10, -5])
    expect(one!.inModel!.map((value) => Number(value.toFixed(4)))).toEqual([13, 9, 12 + 4.5 * T])
  })

  test('names the first of many, and is the smaller one', () => {
    const [text, ...more] = said([...base, ...stack(['C-01', 'C-02', 'C-03', 'C-04'], [0, 0, -9 - 4 * T]), ...stack(['D-01', 'D-02'], [0, 30, 0])])
    // Of two faces any place is nearest.
    expect(text).toMatch(
      /^note adrift: C-01, C-02, C-03 and C-04 touch only one another: nearest to them is B-01, 9\.00 mm from C-04 at \(\S+, \S+, -9\.1\) in the model, 9\.00 mm up; less than 0\.30 mm is touching$/,
    )
    expect(more).toHaveLength(1)
    expect(more[0]).toMatch(
      /^note adrift: D-01 and D-02 touch only one another: nearest to them is B-01, 20\.00 mm from D-01 at \(\S+, 25\.0, \S+\) in the model, 20\.00 mm to port; less than 0\.30 mm is touching$/,
    )
    const five = said([...base, ...stack(['B-06'], [0, 0, 5 * T]), ...stack(['C-01', 'C-02', 'C-03', 'C-04', 'C-05'], [30, 0, 0])])
    expect(five[0]).toMatch(/^note adrift: C-01, C-02, C-03 and 2 more touch only one another: nearest to them is B-01, 10\.00 mm from C-01 at .*, 10\.00 mm forward; /)
  })

  test('is told once where port and starboard say the same', () => {
    const hand = (side: 'P' | 'S', y: number) => stack([`A-${side}01`, `A-${side}02`], [0, y, 0], { side, family: 'A' })
    const [text, ...more] = said([...base, ...hand('P', -30), ...hand('S', 30)])
    expect(more).toEqual([])
    expect(text).toMatch(/^note adrift: A-S01 and A-S02 touch .* 20\.00 mm from A-S01 .*, 20\.00 mm to port; less than 0\.30 mm is touching; the same to port$/)
  })

  test('is held by a clearance that keeps it near, not by one that keeps it away', () => {
    const moving = stack(['A-01', 'A-02'], [0, 0, 2 + 5 * T])
    const clearance = (most?: number): Relation => ({ kind: 'clearance', name: 'play', a: ['A-02', 'A-01'], b: ['B-05'], least: 1, ...(most && { most }) })
    expect(said([...base, ...moving], [clearance()])[0]).toMatch(/^note adrift: A-01 and A-02 /)
    expect(said([...base, ...moving], [clearance(2.5)])).toEqual([])
    expect(said([...base, ...moving], [clearance(1.9)]).map((text) => text.split(':')[0])).toEqual(['warning clearance', 'note adrift'])
  })

  test('of two copies each is told', () => {
    const pair = { copies: 2, family: 'A' }
    const twice = (mark: string, z: number) =>
      card(mark, [0, 0, z], { ...pair, also: [{ origin: [0, 60, z], right: [1, 0, 0], up: [0, 1, 0] }] })
    const texts = said([...base, twice('A-01', 4 + 5 * T), twice('A-02', 4 + 6 * T)]).toSorted()
    expect(texts).toHaveLength(2)
    expect(texts[0]).toMatch(/^note adrift: A-01#1 and A-02#1 .* B-05, 4\.00 mm from A-01#1 /)
    expect(texts[1]).toMatch(/^note adrift: A-01#2 and A-02#2 .* 50\.0\d mm from A-01#2 /)
  })

  test('stands as far off as the reference library measures it, and so far along the way that is told', () => {
    const numbers = new Random(11)
    for (let i = 0; i < 40; i++) {
      const away = [0, 1, 2].map(() => 80 * (numbers.unit() - 0.5)) as unknown as Vector
      // Turned about all three axes: the frame of two random directions.
      const u = [0, 1, 2].map(() => numbers.unit() - 0.5)
      const v = [0, 1, 2].map(() => numbers.unit() - 0.5)
      const size = Math.hypot(...u)
      const right = u.map((value) => value / size) as unknown as Vector
      const dot = right.reduce((sum, value, k) => sum + value * v[k]!, 0)
      const off = v.map((value, k) => value - dot * right[k]!)
      const up = off.map((value) => value / Math.hypot(...off)) as unknown as Vector
      const normal = [right[1] * up[2] - right[2] * up[1], right[2] * up[0] - right[0] * up[2], right[0] * up[1] - right[1] * up[0]] as const
      const turned = [0, 1].map((k) =>
        testPiece(`A-0${k + 1}`, box(-10, -5, 10, 5), { pose: { origin: [0, 1, 2].map((n) => away[n]! + k * T * normal[n]!) as unknown as Vector, right, up } }),
      )
      // Columns of the turn, then the place; both stacks as blocks, built by the library alone.
      const block = wasm.Manifold.cube([20, 10, 2 * T], true).translate([0, 0, T / 2]).transform([...right, 0, ...up, 0, ...normal, 0, ...away, 1] as never)
      const ground = wasm.Manifold.cube([20, 10, 5 * T], true).translate([0, 0, 2 * T])
      const gap = block.minGap(ground, 200)
      const [one] = found([...base, ...turned]).filter(({ id }) => id === 'adrift')
      if (gap < 0.31) continue
      expect(Math.abs(one!.found! - gap)).toBeLessThan(1e-4)
      // Moved by what is told, to its two decimals, it touches.
      const told = one!.text.split('in the model, ')[1]!
      const along = (plus: string, minus: string): number =>
        Number(new RegExp(`([\\d.]+) mm ${plus}`).exec(told)?.[1] ?? 0) - Number(new RegExp(`([\\d.]+) mm ${minus}`).exec(told)?.[1] ?? 0)
      const way = [along('aft', 'forward'), along('to starboard', 'to port'), along('up', 'down')] as [number, number, number]
      expect(block.translate(way).minGap(ground, 1)).toBeLessThan(0.02)
    }
  })
})
