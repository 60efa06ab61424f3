import type { ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import { checkModel } from '../../lib/check/index'
import {
  type Draft,
  ZERO,
  bench,
  channel,
  circle,
  cone,
  cylinder,
  doublers,
  family,
  glued,
  mirrored,
  piece,
  placed,
  plane,
  rectangleFrom,
  sections,
  single,
  skin,
  split,
  stations,
  taperedTube,
  tray,
  tube,
} from '../../lib/index'
import { area, boundsOf } from '../../lib/shape/measure'
import { printableArea } from '../../lib/sheet/index'
import type { Model } from '../../lib/model/model'
import type { Part } from '../../lib/model/assembly'
import { fitFindings } from '../../lib/fit/index'
import { findingOf, modelOf, pieceOf } from '../helpers/model'
import { catalogue } from '../../lib/stock/catalogue'
import { loadSolids } from './solid'
import { solidsOf } from '../../lib/fit/solid'

let wasm: ManifoldToplevel
beforeAll(async () => {
  wasm = await loadSolids()
})

const bodyOf = (model: Model, mark: string) => {
  const one = pieceOf(model, mark)
  const { vertices, triangles } = solidsOf(one, model.stocks.get(one.stock)!)[0]!
  return new wasm.Manifold(new wasm.Mesh({ numProp: 3, vertProperties: Float32Array.from(vertices), triVerts: triangles }))
}

const mm = bench.mm
const at = (x: number, y: number) => [mm(x), mm(y)] as const
const keel = () =>
  single('KE', () =>
    piece({ stock: 'folder', grain: 'along' })
      .outline(rectangleFrom(mm(0), mm(0), mm(400), mm(60)))
      .openings(circle(mm(10)).moved(mm(100), mm(30)))
      .datum(at(0, 30), at(400, 30))
      .mountain(at(0, 50), at(400, 50))
      .text('bow', at(390, 20), { size: mm(3) }),
  )
const tiled = () => modelOf(() => split(keel(), { at: [mm(180)], joiner: mm(20) }))
const cardOf = (found: ReturnType<typeof tiled>, mark: string) => {
  const { outline, openings } = pieceOf(found, mark)
  return area([outline, ...openings.map(({ loop }) => loop)])
}

describe('a piece larger than its sheet', () => {
  test('is an error as it is, and none once it is split', () => {
    const rules = (found: ReturnType<typeof tiled>) =>
      checkModel(found, { area: printableArea }).filter(({ severity }) => severity !== 'note').map(({ id }) => id)
    expect(rules(modelOf(keel))).toContain('too-large')
    expect(rules(tiled())).toEqual([])
  })

  test('loses no card: the tiles are the whole, where it was', () => {
    const found = tiled()
    expect(cardOf(found, 'KE-1') + cardOf(found, 'KE-2')).toBeCloseTo(cardOf(modelOf(keel), 'KE'), 3)
    expect(boundsOf([pieceOf(found, 'KE-1').outline])).toEqual({ minX: 0, minY: 0, maxX: 180, maxY: 60 })
    expect(boundsOf([pieceOf(found, 'KE-2').outline])).toEqual({ minX: 180, minY: 0, maxX: 400, maxY: 60 })
    expect([pieceOf(found, 'KE-1').openings.length, pieceOf(found, 'KE-2').openings.length]).toEqual([1, 0])
  })

  test('keeps its grain, folds, lines and words, each on its tile', () => {
    const [first, second] = ['KE-1', 'KE-2'].map((mark) => pieceOf(tiled(), mark))
    expect([first!.grain, second!.grain]).toEqual([0, 0])
    expect([first!, second!].map(({ scores }) => scores.map(({ line }) => line))).toEqual([
      [[[0, 50], [180, 50]]],
      [[[180, 50], [400, 50]]],
    ])
    expect(first!.lines.filter(({ kind }) => kind === 'datum').map(({ line }) => line)).toEqual([[[0, 30], [180, 30]]])
    expect([first!.texts.length, second!.texts.length]).toEqual([0, 1])
  })

  test('has ticks that meet across the joint, and are on the joiner behind it', () => {
    const found = tiled()
    const ticks = (mark: string) =>
      pieceOf(found, mark).lines.filter(({ kind }) => kind === 'align').map(({ line }) => line)
    expect(ticks('KE-1')).toEqual([[[176, 20], [180, 20]], [[176, 40], [180, 40]]])
    expect(ticks('KE-2')).toEqual([[[180, 20], [184, 20]], [[180, 40], [184, 40]]])
    expect(ticks('KE-J1')).toEqual([[[180, 1], [180, 49]], [[176, 20], [184, 20]], [[176, 40], [184, 40]]])
    // 1 mm from the edges and from the fold at 50 mm, beyond which there is another.
    expect(boundsOf([pieceOf(found, 'KE-J1').outline])).toEqual({ minX: 170, minY: 1, maxX: 190, maxY: 49 })
    expect(boundsOf([pieceOf(found, 'KE-J2').outline])).toEqual({ minX: 170, minY: 51, maxX: 190, maxY: 59 })
  })

  test('says that it was split', () => {
    expect(tiled().findings.map(({ severity, mark, text }) => [severity, mark, text])).toEqual([
      ['note', 'KE', 'split into 2 tiles at 180.00 mm of its axis, joiners behind: 2'],
    ])
  })

  test('is warned of where the joint meets an opening, and the joiner keeps clear of it', () => {
    const found = modelOf(() => split(keel(), { at: [mm(100)], joiner: mm(16) }))
    expect(found.findings.map(({ text }) => text)).toContain(
      'the joint at x 100.00 mm runs through an opening from 90.00 mm to 110.00 mm',
    )
    const joiners = found.pieces.filter(({ mark }) => mark.startsWith('KE-J'))
    expect(joiners.map(({ outline }) => boundsOf([outline]).maxY <= 30 || boundsOf([outline]).minY >= 30)).toEqual([true, true, true])
  })

  test('is split alike on both sides', () => {
    const found = modelOf(() => split(mirrored(keel()), { at: [mm(180)], joiner: mm(20) }))
    const lengths = (side: string) =>
      ['1', '2'].map((n) => {
        const { minX, maxX } = boundsOf([pieceOf(found, `KE-${side}-${n}`).outline])
        return Math.round(maxX - minX)
      })
    expect([lengths('S'), lengths('P').toReversed()]).toEqual([[180, 220], [180, 220]])
  })
})

test('a joint outside the piece is an error with both numbers', () => {
  const { text, remedy } = findingOf(() => modelOf(() => split(keel(), { at: [mm(450)], joiner: mm(20) })))
  expect(`${text}; ${remedy}`).toBe(
    'a joint at 450.00 mm, KE is 400.00 mm long; give a place between its ends, above 0 and below 400.00 mm',
  )
})

describe('tiles of what is folded or curled stand where they did', () => {
  const bodies = (model: Model, marks: readonly string[]) => marks.map((mark) => bodyOf(model, mark))

  /** How much of the whole is not in its tiles, and of the tiles not in the whole, mm³; and the volume of the whole. */
  const missing = (body: () => Part, tiles: (part: Part) => Part, marks: readonly string[]) => {
    const whole = modelOf(body, { at: '1:1' })
    const [mark] = whole.pieces.map((one) => one.mark)
    const [one] = bodies(whole, [mark!])
    const parted = modelOf(() => tiles(body()), { at: '1:1' })
    const both = bodies(parted, marks).reduce((sum, tile) => sum.add(tile))
    return { parted, left: one!.subtract(both).volume() + both.subtract(one!).volume(), volume: one!.volume() }
  }

  /** Farthest corner of a body from the x axis, mm. */
  const farthest = (body: ReturnType<typeof bodyOf>) => {
    const { vertProperties, numProp } = body.getMesh()
    let most = 0
    for (let i = 0; i < vertProperties.length; i += numProp) most = Math.max(most, Math.hypot(vertProperties[i + 1]!, vertProperties[i + 2]!))
    return most
  }

  const gutter = () =>
    single('CH', () =>
      channel({ stock: 'folder', form: 'channel', web: mm(12), flange: mm(8), length: mm(100), measured: 'outside' }).place(
        plane.at([mm(5), mm(7), mm(9)], [0, 0, 1], [1, 0, 0]),
      ),
    )
  const boxOf = () =>
    single('BX', () =>
      tray({ stock: 'folder', length: mm(60), width: mm(30), height: mm(14), measured: 'outside' }).place(plane.level(mm(20), { x: mm(3) })),
    )

  test('a channel across its folds', () => {
    const { parted, left, volume } = missing(gutter, (part) => split(part as never, { at: [mm(40)], axis: 'y', joiner: mm(10) }), ['CH-1', 'CH-2'])
    expect(left / volume).toBeLessThan(1e-3)
    // A joiner behind each of its three panels, clear of the folds between them.
    expect(parted.pieces.map((one) => one.mark)).toEqual(['CH-1', 'CH-2', 'CH-J1', 'CH-J2', 'CH-J3'])
    expect(fitFindings(parted, wasm)).toEqual([])
  })

  test('a box, with one tile on a wall alone, far from the panel its place is of', () => {
    const { parted, left, volume } = missing(boxOf, (part) => split(part as never, { at: [mm(7), mm(40)], joiner: mm(6) }), ['BX-1', 'BX-2', 'BX-3'])
    // Its mitred edges are divided into other triangles.
    expect(left / volume).toBeLessThan(1e-2)
    expect(pieceOf(parted, 'BX-1').form).toMatchObject({ kind: 'folded', of: { out: 0 } })
    expect(fitFindings(parted, wasm)).toEqual([])
  })

  test('a skin round a cylinder, whose place is in its lines', () => {
    const ring = () => sections('FR', stations.pitch(2, ZERO, mm(60)), () => circle(mm(20)), plane.frame)
    const body = () => skin('SK', ring(), { stock: 'folder', from: 'bottom', to: 'top' })
    const parted = modelOf(() => split(body(), { at: [mm(25)], joiner: mm(8) }), { at: '1:1' })
    const tiles = bodies(parted, ['SK-1', 'SK-2'])
    const whole = bodyOf(modelOf(body, { at: '1:1' }), 'SK').volume()
    expect(tiles.reduce((sum, tile) => sum + tile.volume(), 0) / whole).toBeCloseTo(1, 3)
    // Half a ring of 20.14 mm in the middle of the card, from the bottom on: the joint is 25 mm along it.
    const joint = -20.14 * Math.cos(25 / 20.14)
    const heights = tiles.map((tile) => tile.boundingBox()).map(({ min, max }) => [min[2]!, max[2]!])
    expect(heights[0]![1]).toBeCloseTo(joint, 0)
    expect(heights[1]![0]).toBeCloseTo(joint, 0)
    expect([heights[0]![0], heights[1]![1]].map((z) => Number(z!.toFixed(2)))).toEqual([-20.28, 20.28])
    expect(tiles.map((tile) => Number(tile.boundingBox().max[1]!.toFixed(1)))).toEqual([19.2, 20.3])
    expect(fitFindings(parted, wasm)).toEqual([])
    // The joiner is curled as much, a line of glue inside both: a flat one would stand 0.4 mm off at its edges.
    const [joiner] = bodies(parted, ['SK-J1'])
    for (const tile of tiles) expect(tile.minGap(joiner!, 1)).toBeLessThan(0.03)
    expect(farthest(joiner!)).toBeLessThan(20)
    expect(farthest(joiner!)).toBeGreaterThan(19.96)
  })

  test('keeps what it is joined to: one tile of it is met', () => {
    const model = modelOf(() => {
      const frames = family('FR', stations.at(mm(20), mm(80)), (x) => piece({ stock: 'divider' }).outline(circle(mm(5))).place(plane.frame(x)))
      const long = single('LO', () => piece({ stock: 'folder' }).outline(rectangleFrom(ZERO, mm(-4), mm(100), mm(4))).place(plane.level(mm(5.14))))
      glued(frames, long)
      return [frames, split(long, { at: [mm(50)], joiner: mm(8) })]
    }, { at: '1:1' })
    expect(fitFindings(model, wasm)).toEqual([])
    expect(model.relations).toContainEqual({ kind: 'bond', a: ['FR-01'], b: ['LO-1', 'LO-2'] })
  })

})

describe('tiles of what is rolled round stand where they did', () => {
  const T = 0.28
  /** The wall of a round thing on its end, by its outside radii, made by the library alone. */
  const wall = (height: number, bottom: number, top = bottom, across = T) => {
    const body = (off: number) => wasm.Manifold.cylinder(height, bottom - off, top - off, 256)
    return body(0).subtract(body(across))
  }
  /** What lies from one angle to another round the z axis, degrees; less than 180. */
  const wedge = (from: number, to: number) => {
    const far = (angle: number) => [200 * Math.cos((angle * Math.PI) / 180), 200 * Math.sin((angle * Math.PI) / 180)] as [number, number]
    return wasm.Manifold.extrude([[[0, 0], far(from), far((from + to) / 2), far(to)]], 400, 0, 0, [1, 1], true)
  }
  const off = (one: ReturnType<typeof bodyOf>, other: ReturnType<typeof bodyOf>) => one.subtract(other).add(other.subtract(one)).volume() / other.volume()
  const on = (body: () => Draft | Record<string, Draft>, at: number, axis: 'x' | 'y' = 'x') =>
    modelOf(() => split(single('FU', body), { at: [mm(at)], axis, joiner: mm(8) }), { at: '1:1' })
  // Flats lie up to 0.02 mm inside the round, of a wall of 0.28 mm, on both its faces: a seventh at the very most.
  const NEAR = 0.12

  /** Both tiles against what of the wall they are, and the joiner against both. */
  const stands = (model: Model, first: ReturnType<typeof bodyOf>, second: ReturnType<typeof bodyOf>) => {
    const [one, other, joiner] = ['FU-1', 'FU-2', 'FU-J1'].map((mark) => bodyOf(model, mark)) as [typeof first, typeof first, typeof first]
    expect(off(one, first)).toBeLessThan(NEAR)
    expect(off(other, second)).toBeLessThan(NEAR)
    expect(one.volume() / first.volume()).toBeCloseTo(1, 1)
    for (const tile of [one, other]) expect(tile.minGap(joiner, 1)).toBeLessThan(0.04)
    expect(fitFindings(model, wasm)).toEqual([])
  }

  const pipe = () => cylinder({ stock: 'folder', diameter: mm(30), top: { height: mm(25) } }).place(plane.level(ZERO))

  test('a cylinder cut along its axis, a third of the way round', () => {
    const round = boundsOf([modelOf(() => single('FU', pipe), { at: '1:1' }).pieces[0]!.outline])
    const body = wall(25, 15)
    const third = body.intersect(wedge(0, 120))
    stands(on(pipe, (round.maxX - round.minX) / 3), third, body.subtract(wedge(0, 120)))
  })

  test('and across it', () => {
    const body = wall(25, 15)
    const low = wasm.Manifold.cube([100, 100, 10], false).translate([-50, -50, 0])
    stands(on(pipe, 10, 'y'), body.intersect(low), body.subtract(low))
  })

  test('a cone cut down its middle line: half a cone each', () => {
    const funnel = () => cone({ stock: 'folder', bottom: mm(30), top: mm(20), height: mm(40) }).place(plane.level(ZERO))
    const { minX, maxX } = boundsOf([modelOf(() => single('FU', funnel), { at: '1:1' }).pieces[0]!.outline])
    const body = wall(40, 15, 10, (T * Math.hypot(40, 5)) / 40)
    stands(on(funnel, (maxX - minX) / 2), body.intersect(wedge(0, 179.999)), body.intersect(wedge(180, 359.999)))
  })

  test('to port as to starboard', () => {
    const model = modelOf(() => {
      const lamps = single('FU', () => cylinder({ stock: 'folder', diameter: mm(30), top: { height: mm(25) } }).place(plane.level(ZERO, { y: mm(40) })))
      return split(mirrored(lamps), { at: [mm(20)], joiner: mm(8) })
    }, { at: '1:1' })
    expect(fitFindings(model, wasm).filter(({ id }) => id !== 'adrift')).toEqual([])
    // Tiles are counted from the left, and the flat is the mirror image.
    for (const [tile, other] of [['1', '2'], ['2', '1'], ['J1', 'J1']]) {
      const [port, starboard] = [bodyOf(model, `FU-P-${tile}`), bodyOf(model, `FU-S-${other}`)]
      expect(off(port, starboard.mirror([0, 1, 0]))).toBeLessThan(1e-3)
    }
  })

  test('plies of a tapered tube, their seams half a turn apart', () => {
    const mast = () => taperedTube({ stock: 'folder', bottom: mm(24), top: mm(16), length: mm(50), plies: 2 })
    const model = modelOf(() => split(single('FU', () => placed(mast(), plane.level(ZERO))), { at: [mm(20)], joiner: mm(6) }), { at: '1:1' })
    const parts = ['FU-1-1', 'FU-1-2', 'FU-2-1', 'FU-2-2'].map((mark) => bodyOf(model, mark))
    const across = Math.hypot(50, 4) / 50
    for (const [i, [one, other]] of [parts.slice(0, 2), parts.slice(2)].entries()) {
      const inside = i * (T + catalogue.folder.glueLine.value)
      expect(off(one!.add(other!), wall(50, 12 + (inside + T) * across, 8 + (inside + T) * across, T * across))).toBeLessThan(NEAR)
    }
    // The seam of the first is at 0°, of the second at 180°: what is cut off begins there.
    expect(parts[0]!.boundingBox().max[0]!).toBeGreaterThan(12)
    expect(parts[2]!.boundingBox().min[0]!).toBeLessThan(-12)
    expect(parts[0]!.boundingBox().min[0]!).toBeGreaterThan(-11)
  })

  test('a strip wound to a tube: shorter tubes, or the inner turns and the outer', () => {
    const bush = () => placed(tube({ stock: 'folder', bore: mm(6), length: mm(20), turns: 4 }), plane.level(ZERO))
    const parted = (at: number, axis: 'x' | 'y') => modelOf(() => split(single('FU', bush), { at: [mm(at)], axis, joiner: mm(4) }), { at: '1:1' })
    const pitch = T + catalogue.folder.glueLine.value
    const across = parted(8, 'y')
    expect(off(bodyOf(across, 'FU-1-1'), wall(8, 3 + 4 * pitch, 3 + 4 * pitch, 4 * pitch))).toBeLessThan(NEAR)
    expect(bodyOf(across, 'FU-1-2').boundingBox().min[2]!).toBeCloseTo(8, 3)
    // What is wound on first fills the ring by its area: π(r² − 3²) = 30 mm · pitch.
    const between = Math.sqrt(3 ** 2 + (30 * pitch) / Math.PI)
    const along = parted(30, 'x')
    expect(bodyOf(along, 'FU-1-1').boundingBox().max[0]!).toBeCloseTo(between, 2)
    expect(off(bodyOf(along, 'FU-1-2'), wall(20, 3 + 4 * pitch, 3 + 4 * pitch, 3 + 4 * pitch - between))).toBeLessThan(NEAR)
    // Its joiner has no room between the turns, and fit says so.
    expect(fitFindings(along, wasm).map(({ id, text }) => `${id}: ${text}`)).toEqual(['no-place: FU-1-J1 of family FU: 0 of 1 pieces have a place in the model'])
  })
})

describe('doublers lie on what is folded or curled', () => {
  test('round a window in a curled skin, and in a wall of a box', () => {
    const window = { shape: circle(mm(5)).moved(mm(30), ZERO), place: plane.spanwise(mm(60)) }
    const ring = () => sections('FR', stations.pitch(2, ZERO, mm(60)), () => circle(mm(20)), plane.frame)
    const model = modelOf(() => {
      const hull = skin('SK', ring(), { stock: 'folder', from: 'bottom', to: 'top', openings: [window] })
      const box = single('BX', () =>
        piece({ stock: 'folder' })
          .outline(rectangleFrom(ZERO, ZERO, mm(60), mm(40)))
          .openings(circle(mm(4)).moved(mm(50), mm(20)))
          .mountain([mm(40), ZERO], [mm(40), mm(40)])
          .place(plane.level(mm(100))),
      )
      return [hull, box, doublers(hull, { stock: 'folder', width: mm(3) }), doublers(box, { stock: 'folder', width: mm(3) })]
    }, { at: '1:1' })
    // The box is nowhere near the hull.
    expect(fitFindings(model, wasm).filter(({ id }) => id !== 'adrift')).toEqual([])
    const wall = bodyOf(model, 'BX-D1').boundingBox()
    // The wall is folded down at 40 mm, the middle of its window 10 mm below.
    expect((wall.min[2]! + wall.max[2]!) / 2).toBeCloseTo(90, 0)
    expect(wall.max[0]! - wall.min[0]!).toBeCloseTo(0.28, 2)
  })
})
