import { beforeAll, describe, expect, test } from 'vitest'
import {
  ZERO,
  assembly,
  bench,
  clearance,
  family,
  full,
  glued,
  interlock,
  model,
  piece,
  plane,
  rectangleFrom,
  single,
  stations,
  tray,
} from '../../lib/index'
import { clashesOf } from '../../lib/fit/clash'
import { fitFindings } from '../../lib/fit/index'
import { type Kernel, prepareFit } from '../../lib/fit/kernel'
import { sceneOf } from '../../lib/fit/scene'
import type { Part } from '../../lib/model/assembly'
import { evaluateModel } from '../../lib/model/evaluate'

let kernel: Kernel
beforeAll(async () => {
  kernel = await prepareFit()
})

const built = (body: () => Part | readonly Part[]) => evaluateModel(model('Probe', { scale: '1:1' }, body), { name: 'probe' })

const said = (body: () => Part | readonly Part[]) =>
  fitFindings(built(body), kernel).map(({ id, severity, text }) => `${severity} ${id}: ${text}`)

const mm = full.mm

/** A wing's bones: three ribs on a spar that stands `low` mm below its place once it has been slotted. */
const wing = (low: number) => () => {
  const ribs = family('R', stations.even(3, mm(10), mm(50)), (y) =>
    piece({ stock: 'divider' }).outline(rectangleFrom(ZERO, mm(-6), mm(60), mm(6))).place(plane.spanwise(y)),
  )
  const spar = single('S', () =>
    piece({ stock: 'divider' }).outline(rectangleFrom(ZERO, mm(-6), mm(60), mm(6))).place(plane.at([mm(20), ZERO, ZERO], [0, 1, 0], [0, 0, 1])),
  )
  const [slotted, spars] = interlock(ribs, spar, { upper: 'second' })
  if (low === 0) return [slotted, spars]
  // Moved after its slots were cut, as a wrong figure in a later step would.
  const moved = spars.pieces.map((one) => ({ ...one, pose: { ...one.pose!, origin: [20, 0, -low] as const } }))
  return [slotted, new (spars.constructor as new (pieces: typeof moved) => typeof spars)(moved)]
}

describe('clashes', () => {
  test('slots that fit are none', () => {
    expect(said(wing(0))).toEqual([])
  })

  test('a spar 2 mm too low is not home in any rib', () => {
    expect(said(wing(2))).toEqual(
      ['R-01', 'R-02', 'R-03'].map(
        (rib) =>
          `warning not-home: S could go 2.16 mm further into the slot of ${rib}, 0.75 mm is allowed: they are not home`,
      ),
    )
  })

  test.each([90, 60, 40])('two slabs at %d° share t1·t2·L/sin a', (angle) => {
    const lean = (angle * Math.PI) / 180
    const square = () => rectangleFrom(mm(-20), mm(-15), mm(20), mm(15))
    const slab = (code: string, right: readonly [number, number, number]) =>
      single(code, () => piece({ stock: 'divider' }).outline(square()).place(plane.at([ZERO, ZERO, ZERO], right, [0, 0, 1])))
    const scene = sceneOf(built(() => [slab('A', [1, 0, 0]), slab('B', [Math.cos(lean), Math.sin(lean), 0])]), kernel)
    const [clash] = clashesOf(scene)
    scene.dispose()
    expect(clash!.volume).toBeCloseTo((0.45 * 0.45 * 30) / Math.sin(lean), 2)
  })

  test('cards that lie on each other are none', () => {
    const card = (code: string, z: number) =>
      single(code, () => piece({ stock: 'folder' }).outline(rectangleFrom(ZERO, ZERO, mm(30), mm(20))).place(plane.level(bench.mm(z))))
    expect(said(() => [card('A', 0), card('B', 0.28)])).toEqual([])
  })
})

describe('contact', () => {
  const card = (code: string, z: number) =>
    single(code, () => piece({ stock: 'folder' }).outline(rectangleFrom(ZERO, ZERO, mm(30), mm(20))).place(plane.level(bench.mm(z))))

  test('what is said to be glued and gapes', () => {
    expect(
      said(() => {
        const [a, b] = [card('A', 0), card('B', 1)]
        glued(a, b)
        return [a, b]
      }),
    ).toEqual([
      'warning gap: A is joined to B but stands 0.72 mm from it, 0.25 mm is allowed',
      'note loose: A touches nothing: 1 pieces are 0.30 mm or more from any other',
      'note loose: B touches nothing: 1 pieces are 0.30 mm or more from any other',
    ])
  })

  test('a clearance that is not kept', () => {
    expect(
      said(() => {
        const [a, b] = [card('A', 0), card('B', 0.5)]
        clearance('door', a, b, { least: bench.mm(0.4) })
        return [a, b]
      }),
    ).toEqual(['warning clearance: door: A is 0.22 mm from B, at least 0.40 mm is wanted'])
  })

  test('slots of one piece that open two ways', () => {
    const plate = (code: string, x: number) =>
      single(code, () =>
        piece({ stock: 'divider' }).outline(rectangleFrom(mm(-10), mm(-8), mm(10), mm(8))).place(plane.frame(mm(x))),
      )
    const found = said(() => {
      const keel = single('K', () =>
        piece({ stock: 'divider' }).outline(rectangleFrom(ZERO, mm(-6), mm(60), mm(6))).place(plane.spanwise(ZERO)),
      )
      const [first, once] = interlock(plate('A', 20), keel, { upper: 'first' })
      const [second, twice] = interlock(plate('B', 40), once, { upper: 'second' })
      return [first, second, twice]
    })
    expect(found).toEqual([
      'warning slide: the slots of K for A and B open 180.0° apart, 2° is allowed: it cannot be slid on to both',
    ])
  })

  test('a model of one piece has nothing to touch', () => {
    expect(said(() => card('A', 0))).toEqual([])
  })

  test('a folded box closes on itself and clashes with nothing', () => {
    const box = single('T', () =>
      tray({ stock: 'folder', length: mm(30), width: mm(20), height: mm(10), measured: 'outside', tab: mm(3) }).place(plane.level(ZERO)),
    )
    expect(said(() => assembly('boxes', box))).toEqual([])
  })
})
