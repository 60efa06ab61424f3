import { describe, expect, test } from 'vitest'
import { loadsOn } from '../../lib/fit/loads'
import { centreOf, massOf, volumeOf } from '../../lib/fit/mass'
import { type SolidPiece, solidsOf } from '../../lib/fit/solid'
import { ZERO, assembly, bench, full, model, piece, plane, rectangleFrom, single } from '../../lib/index'
import { evaluateModel } from '../../lib/model/evaluate'
import type { Loop } from '../../lib/shape/point'
import { catalogue } from '../../lib/stock/catalogue'
import { box } from '../helpers/geometry'

const turned = (profile: Loop) => {
  const given: SolidPiece = {
    mark: 'A',
    plies: 1,
    copies: 1,
    outline: box(0, 0, 1, 1),
    openings: [],
    scores: [],
    pose: { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 1, 0] },
    form: { kind: 'turned', profile },
  }
  return solidsOf(given, catalogue.folder)[0]!
}

describe('bodies with known formulas (Bronshtein, Handbook of Mathematics, §3.3)', () => {
  test('hollow cylinder: V = π(R² − r²)h, centre at h/2', () => {
    const solid = turned(box(8, 0, 10, 30))
    expect(volumeOf(solid) / (Math.PI * (100 - 64) * 30)).toBeCloseTo(1, 2)
    expect(centreOf(solid)[2]).toBeCloseTo(15, 6)
  })

  test('frustum of a cone: centre at h(R² + 2Rr + 3r²)/4(R² + Rr + r²)', () => {
    const [R, r, h] = [10, 4, 12]
    const solid = turned([[0, 0], [R, 0], [r, h], [0, h]])
    expect(volumeOf(solid) / ((Math.PI * h * (R * R + R * r + r * r)) / 3)).toBeCloseTo(1, 2)
    expect(centreOf(solid)[2]).toBeCloseTo((h * (R * R + 2 * R * r + 3 * r * r)) / (4 * (R * R + R * r + r * r)), 6)
  })

  test('shell of a frustum, thin: centre at h(R + 2r)/3(R + r)', () => {
    const [R, r, h, t] = [20, 10, 15, 0.01]
    const wide = (t * Math.hypot(h, R - r)) / h
    const solid = turned([[R - wide / 2, 0], [R + wide / 2, 0], [r + wide / 2, h], [r - wide / 2, h]])
    expect(centreOf(solid)[2]).toBeCloseTo((h * (R + 2 * r)) / (3 * (R + r)), 3)
  })
})

test('mass is area by grammage and plies, with glue between them; centres add up by assembly', () => {
  const card = (code: string, x: number, plies: number) =>
    single(code, () =>
      piece({ stock: 'folder', plies }).outline(rectangleFrom(ZERO, ZERO, full.mm(100), full.mm(50))).place(plane.level(ZERO, { x: full.mm(x) })),
    )
  const made = evaluateModel(
    model('Probe', { scale: '1:1' }, () => assembly('all', assembly('one', card('A', 0, 1)), assembly('two', card('B', 200, 2)))),
    { name: 'probe' },
  )
  const { mass, at, assemblies } = massOf(made)
  const [one, two] = [0.005 * 245, 0.005 * (2 * 245 + 60)]
  expect(mass).toBeCloseTo(one + two, 9)
  expect(at![0]).toBeCloseTo((one * 50 + two * 250) / (one + two), 9)
  expect(assemblies.map(({ assembly: path, mass: own }) => [path, Number(own.toFixed(6))])).toEqual([
    ['all', Number((one + two).toFixed(6))],
    ['all/one', one],
    ['all/two', two],
  ])
})

test('a piece without a place weighs, but has no say in the centre', () => {
  const body = () => single('A', () => piece({ stock: 'folder', copies: 2 }).outline(rectangleFrom(ZERO, ZERO, bench.mm(10), bench.mm(10))))
  const { mass, at, unplaced } = massOf(evaluateModel(model('Probe', { scale: '1:1' }, body), { name: 'probe' }))
  expect([mass, unplaced]).toEqual([0.049, 0.049])
  expect(at).toBeUndefined()
})

describe('loads', () => {
  const support = (name: string, x: number, y: number) => ({ kind: 'support' as const, name, at: [x, y, 0] as const })
  const loads = (list: ReturnType<typeof support>[], centre: readonly [number, number, number]) => {
    const { loads: made, findings } = loadsOn(list, 100, centre)
    return [made.map(({ load }) => Number(load.toFixed(6))), findings.map(({ text }) => text)]
  }
  const three = [support('nose', 0, 0), support('port', 300, -50), support('starboard', 300, 50)]

  test('three by balance of moments', () => {
    expect(loads(three, [240, 0, 30])).toEqual([[20, 40, 40], []])
    expect(loads(three, [240, 20, 30])).toEqual([[20, 20, 60], []])
  })

  test('two as a beam, and only above it', () => {
    expect(loads(three.slice(0, 2), [75, -12.5, 0])).toEqual([[75, 25], []])
    expect(loads([three[0]!, support('tail', 300, 0)], [75, 4, 0])).toEqual([
      [75, 25],
      ['the model tips: its centre of gravity is 4.00 mm beside nose and tail, 0.50 mm is steady'],
    ])
  })

  test('four alike share alike', () => {
    const four = [support('a', 0, 0), support('b', 10, 0), support('c', 10, 10), support('d', 0, 10)]
    expect(loads(four, [5, 5, 0])).toEqual([[25, 25, 25, 25], []])
  })

  test('a centre outside its supports tips the model', () => {
    expect(loads(three, [330, 0, 0])[1]).toEqual([
      'the model tips: nose would have to be held down by 10.00 g, 0 g is needed to stand',
    ])
  })

  test('three in a line hold nothing', () => {
    expect(loads([support('a', 0, 0), support('b', 10, 0), support('c', 20, 0)], [5, 0, 0])).toEqual([
      [],
      ['the 3 supports stand in one line, 3 that do not are needed'],
    ])
  })
})
