import { beforeAll, describe, expect, test } from 'vitest'
import {
  type Draft,
  type Pose,
  ZERO,
  assembly,
  circle,
  folded,
  full,
  mirrored,
  panel,
  piece,
  plane,
  rectangle,
  rectangleFrom,
  repeated,
  single,
  tray,
} from '../../lib/index'
import { fitFindings } from '../../lib/fit/index'
import { type Kernel, prepareFit } from '../../lib/fit/kernel'
import { solidsOf } from '../../lib/fit/solid'
import type { Part } from '../../lib/model/assembly'
import { findingOf, modelOf, pieceOf } from '../helpers/model'

let kernel: Kernel
beforeAll(async () => {
  kernel = await prepareFit()
})

const mm = full.mm
const at1 = { at: '1:1' }
const card = (): Draft => piece({ stock: 'folder' }).outline(rectangleFrom(ZERO, ZERO, mm(30), mm(20)))

/** All that evaluation and fit have to say, in full. */
const said = (body: () => Part | readonly Part[]) => {
  const model = modelOf(body, at1)
  return [...model.findings, ...fitFindings(model, kernel)].map(({ severity, id, mark, text, remedy }) => `${severity} ${id} ${mark}: ${text}; ${remedy}`)
}

const bounds = (body: () => Part, mark: string) => {
  const model = modelOf(body, at1)
  const one = pieceOf(model, mark)
  return solidsOf(one, model.stocks.get(one.stock)!).map(({ bounds: { min, max } }) => [min, max].map((corner) => corner.map((value) => Number(value.toFixed(2)) + 0)))
}

describe('mistakes of places', () => {
  const remedy = 'make it with plane.frame, plane.spanwise, plane.level or plane.at'
  const LEVEL: Pose = { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 1, 0] }
  const lean = Math.SQRT1_2

  test.each<[string, Partial<Pose>, string]>([
    ['an axis that is too long', { up: [0, 2, 0] }, 'has its up axis 2.0000 long, 1 is needed'],
    ['axes that are not square', { up: [lean, lean, 0] }, 'has axes at 45.00° to each other, 90° is needed'],
    ['a coordinate that is no number', { origin: [0, Number.NaN, 0] }, 'has a coordinate of NaN, a finite number is needed'],
  ])('%s', (_, odd, text) => {
    expect(said(() => single('A', () => card().place({ ...LEVEL, ...odd })))).toEqual([`error pose-not-rigid A: the place of A ${text}; ${remedy}`])
  })

  test('which of several copies it is', () => {
    const two = () => piece({ stock: 'folder', copies: 2 }).outline(rectangle(mm(5), mm(5)))
    expect(said(() => single('A', () => two().place(LEVEL, { ...LEVEL, right: [0.5, 0, 0] })))).toEqual([
      `error pose-not-rigid A: the place of copy 2 of A has its right axis 0.5000 long, 1 is needed; ${remedy}`,
    ])
  })

  test('directions that settle no plane', () => {
    const text = (right: readonly [number, number, number], up: readonly [number, number, number]) => {
      const finding = findingOf(() => plane.at([ZERO, ZERO, ZERO], right, up))
      return `${finding.text}; ${finding.remedy}`
    }
    const todo = 'give the way the piece’s x runs in the model and the way its y does: plane.at(origin, [0, 1, 0], [0, 0, 1])'
    expect(text([1, 0, 0], [2, 0, 0])).toBe(
      `plane.at was given the directions [1, 0, 0] and [2, 0, 0], which are parallel: at an angle of 0° they settle no plane; ${todo}`,
    )
    expect(text([0, 0, 0], [0, 0, 1])).toBe(`plane.at was given the directions [0, 0, 0] and [0, 0, 1], one of length 0: more is needed; ${todo}`)
  })

  test('none, fewer than copies, and more', () => {
    const boxes = (...poses: Pose[]) => said(() => single('A', () => piece({ stock: 'folder', copies: 2 }).outline(rectangle(mm(5), mm(5))).place(...poses)))
    const missing = (found: number) => `note no-place A: A of family A: ${found} of 2 pieces have a place in the model; say where they stand with .place(…), one pose a copy`
    expect(boxes()).toEqual([missing(0)])
    expect(boxes(LEVEL)).toEqual([missing(1)])
    const three = boxes(LEVEL, { ...LEVEL, origin: [0, 0, 0.28] }, { ...LEVEL, origin: [0, 0, 0.56] })
    expect(three).toEqual([
      'warning more-places A: it has 3 places and is cut 2 times: some would stay empty; ask for 3 of it with copies: 3, or take places away',
    ])
  })

  test('a base that is on no panel', () => {
    const angle = (x: number) => card().valley([mm(15), ZERO], [mm(15), mm(20)]).base([mm(x), mm(10)]).place(plane.level(ZERO))
    expect(said(() => single('A', () => angle(5)))).toEqual([])
    expect(said(() => single('A', () => angle(50)))).toEqual([
      'warning base-outside A: its base (50.00, 10.00) mm is not on the piece: 0 of its panels have it, 1 is needed; ' +
        'give a point in the middle of the panel that is placed',
    ])
  })

  test('mirrored on the centre plane, across it and along it', () => {
    const across = said(() => mirrored(single('A', () => piece({ stock: 'folder' }).outline(rectangle(mm(30), mm(20))).place(plane.frame(mm(5))))))
    expect(across[0]).toBe(
      'warning mirrored-centre A-S: it reaches from -15.00 mm to 15.00 mm of the centre plane, and so does its mirror image A-P: ' +
        'they stand in one place; take mirrored(…) away where one serves both sides, or draw the starboard half of it alone',
    )
    const along = said(() => mirrored(single('A', () => card().place(plane.spanwise(ZERO)))))
    expect(along[0]).toContain('it reaches from 0.00 mm to 0.00 mm of the centre plane')
    const half = said(() => mirrored(single('A', () => card().place(plane.frame(mm(5))))))
    expect(half).toEqual([])
  })

  test('mirrored twice is mirrored once', () => {
    const marks = modelOf(() => mirrored(mirrored(single('A', () => card().place(plane.spanwise(mm(9)))))), at1).pieces.map(({ mark }) => mark)
    expect(marks).toEqual(['A-P', 'A-S'])
  })
})

describe('folds', () => {
  test('.base says which panel the place is of', () => {
    const angle = (base?: number) => () =>
      single('A', () => {
        const bent = card().valley([mm(20), ZERO], [mm(20), mm(20)])
        return (base === undefined ? bent : bent.base([mm(base), mm(10)])).place(plane.level(ZERO))
      })
    // A valley turns the other panel up: the longer one lies level, or the shorter one where it is said.
    const [long] = bounds(angle(), 'A')
    const [short] = bounds(angle(25), 'A')
    expect([long![0]![0], long![1]![2]! > 9]).toEqual([0, true])
    expect([short![1]![0], short![1]![2]! > 19]).toEqual([30, true])
  })

  test('that meet in one point and do not close', () => {
    const cross = () => card().valley([mm(15), ZERO], [mm(15), mm(20)]).valley([ZERO, mm(10)], [mm(30), mm(10)]).place(plane.level(ZERO))
    const found = said(() => single('A', () => cross())).filter((text) => text.includes('fold-open'))
    expect(found).toHaveLength(1)
    expect(found[0]).toMatch(
      /^warning fold-open A: A does not close when folded: along one score its sides end up \d+\.\d\d mm apart, 0\.05 mm is allowed; mend the angles of its folds, or cut it open along one of them and glue it with a tab$/,
    )
  })

  test('of a box, whose corners are open, close', () => {
    expect(said(() => single('A', () => tray({ stock: 'folder', length: mm(30), width: mm(20), height: mm(8), measured: 'outside' }).place(plane.level(ZERO))))).toEqual([])
    const bracket = () => folded({ stock: 'folder' }, panel('foot', rectangle(mm(20), mm(10)), { edge: 'right', valley: 60, onto: 'left', panel: panel('arm', rectangle(mm(15), mm(10))) }))
    expect(said(() => single('A', () => bracket().place(plane.level(ZERO))))).toEqual([])
  })
})

describe('repeated', () => {
  const truck = () => assembly('truck', single('PL', () => card().place(plane.level(mm(2), { x: mm(1) }))), single('DI', () => piece({ stock: 'folder', copies: 2 }).outline(circle(mm(3))).place(plane.level(ZERO), plane.level(mm(6)))))
  const turned = () => plane.at([mm(100), ZERO, mm(5)], [-1, 0, 0], [0, -1, 0])

  test('stands at each place, turned as it is, every copy cut as often', () => {
    const body = () => repeated(truck(), plane.level(ZERO), turned())
    const { pieces, assemblies } = modelOf(body, at1)
    expect(pieces.map(({ mark, copies, assembly: path }) => [mark, copies, path])).toEqual([['DI', 4, 'truck'], ['PL', 2, 'truck']])
    expect(assemblies).toEqual(['truck'])
    expect(bounds(body, 'PL')).toEqual([
      [[1, 0, 1.86], [31, 20, 2.14]],
      [[69, -20, 6.86], [99, 0, 7.14]],
    ])
    expect(bounds(body, 'DI').map(([min]) => min![2])).toEqual([-0.14, 5.86, 4.86, 10.86])
  })

  test('without a place', () => {
    const { text, remedy, site } = findingOf(() => modelOf(() => repeated(truck())))
    expect(`${text}; ${remedy}`).toBe('repeated was given no places, 1 or more are needed; give it the places of the parts: plane.level(height, { x })')
    expect(site?.file).toContain('standing.test.ts')
  })
})
