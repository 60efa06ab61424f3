import { beforeAll, describe, expect, test } from 'vitest'
import { fitFindings } from '../../lib/fit/index'
import { type Kernel, prepareFit } from '../../lib/fit/kernel'
import type { Piece } from '../../lib/model/piece'
import type { Relation } from '../../lib/model/relation'
import type { Pose, Vector } from '../../lib/shape/pose'
import { catalogue } from '../../lib/stock/catalogue'
import { testPiece } from '../sheet/pieces'
import { box, clockwise } from '../helpers/geometry'

let kernel: Kernel
beforeAll(async () => {
  kernel = await prepareFit()
})

const LEVEL: Pose = { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 1, 0] }

const at = (origin: Vector, pose: Pose = LEVEL): Pose => ({ ...pose, origin })

/** Upright, along the model's x axis. */
const upright = (origin: Vector): Pose => ({ origin, right: [1, 0, 0], up: [0, 0, 1] })

const given = (mark: string, rest: Partial<Piece> = {}): Piece => testPiece(mark, box(0, 0, 20, 10), { pose: LEVEL, ...rest })

const found = (pieces: readonly Piece[], relations: readonly Relation[] = []) =>
  fitFindings({ pieces, relations, stocks: new Map([['folder', catalogue.folder]]) }, kernel)

const said = (pieces: readonly Piece[], relations: readonly Relation[] = []) =>
  found(pieces, relations).map(({ id, severity, text }) => `${severity} ${id}: ${text}`)

const glue = (a: string, b: string): Relation => ({ kind: 'join', a, b, how: 'glue' })

describe('a clash', () => {
  test('of two cards that cross tells how deep, how long, how much, and where on both', () => {
    const [clash] = found([given('A'), given('B', { pose: upright([0, 4, -5]) })])
    // 0.28 by 0.28 mm by 20 mm.
    expect(clash!.text).toBe(
      "A and B are in each other's way by 0.28 mm over 20.00 mm (1.57 mm³, 0.10 is allowed) at (10.0, 4.0, 0.0) in the model, " +
        'on B at (10.00, 5.00) mm',
    )
    expect(clash!.at!.map((value) => Number(value.toFixed(6)))).toEqual([10, 4])
    expect(clash!.inModel!.map((value) => Number(value.toFixed(6)))).toEqual([10, 4, 0])
  })

  test('with a folded piece tells where on its flat: in the middle of the wall', () => {
    const wall = given('F', {
      outline: box(0, 0, 20, 20),
      scores: [{ fold: 'valley', line: [[0, 10], [20, 10]], angle: 90 }],
      form: { kind: 'folded', base: [10, 5] },
    })
    const through = given('S', { outline: box(0, 0, 6, 40), pose: at([7, 0, 5]) })
    const [clash, ...more] = found([wall, through])
    expect(more).toEqual([])
    expect(clash!.text).toMatch(
      /^F and S are in each other's way by 0\.28 mm over 6\.00 mm \(0\.47 mm³, 0\.10 is allowed\) at \(10\.0, \d+\.\d, 5\.0\) in the model, on S at \(3\.00, \d+\.\d\d\) mm$/,
    )
    // Glue explains faces that touch, not card that goes through card.
    expect(found([wall, through], [glue('F', 'S')]).map(({ text }) => text)).toEqual([clash!.text])
    // The wall stands where its fold is; 5 mm up it, less than the bend takes up.
    expect(clash!.at![0]).toBeCloseTo(10, 2)
    expect(Math.abs(clash!.at![1] - 15)).toBeLessThan(0.5)
  })

  test('with a wound piece says why there is no place on it', () => {
    const rod = given('W', { form: { kind: 'turned', profile: box(0, -10, 2, 10) } })
    const [text] = said([given('A', { outline: box(-10, -10, 10, 10) }), rod])
    expect(text).toMatch(
      /^warning clash: A and W are in each other's way by 0\.\d\d mm over 4\.00 mm \(3\.\d\d mm³, 0\.10 is allowed\) at \(-?0\.0, -?0\.0, 0\.0\) in the model; where on the strip of W cannot be told, as it is wound$/,
    )
  })

  test('of two curled cards that cross, right through each other', () => {
    // Both nearly plane, and square to each other.
    const sheet = (mark: string, z: readonly [number, number], turned: boolean) => {
      const line = (x: number, up: number) => {
        const ends = [[x, 0], [x, 12]] as const
        const to = (y: number): Vector => (turned ? [10 + up, x, y - 6] : [x, y, up])
        return { flat: ends, model: [to(0), to(12)] as const }
      }
      const { pose: _, ...rest } = given(mark, { outline: box(0, 0, 20, 12), form: { kind: 'curved', rulings: [line(0, 0), line(10, z[0]), line(20, z[1])] } })
      return rest
    }
    const [text, ...more] = said([sheet('A', [0.01, 0], false), sheet('B', [0.01, 0], true)])
    expect(more).toEqual([])
    expect(text).toMatch(/^warning clash: A and B are in each other's way by 0\.28 mm over 12\.0\d mm \(0\.94 mm³, 0\.10 is allowed\) at \(10\.0, 6\.0, -?0\.0\)/)
  })

  test('is told once where port and starboard say the same', () => {
    const handed = (y: number, side: 'P' | 'S') => [
      given(`A-${side}01`, { side, pose: at([0, y, 0]) }),
      given(`B-${side}01`, { side, pose: upright([0, y + 4, -5]) }),
    ]
    expect(said([...handed(100, 'S'), ...handed(-100, 'P')]).filter((text) => text.includes(' clash: '))).toEqual([
      "warning clash: A-S01 and B-S01 are in each other's way by 0.28 mm over 20.00 mm (1.57 mm³, 0.10 is allowed) " +
        'at (10.0, 104.0, 0.0) in the model, on B-S01 at (10.00, 5.00) mm; the same to port',
    ])
  })

  test('of cards less than half of one deep is none, of those deeper is one', () => {
    const over = (depth: number) => said([given('A'), given('B', { pose: upright([0, 5, 0.14 - depth]) })])
    expect(over(0.13)).toEqual([])
    expect(over(0.16)).toEqual([
      "warning clash: A and B are in each other's way by 0.16 mm over 20.00 mm (0.90 mm³, 0.10 is allowed) " +
        'at (10.0, 5.0, 0.1) in the model, on B at (10.00, 0.08) mm',
    ])
  })
})

describe('contact', () => {
  test('a gap that is too wide to be measured', () => {
    expect(said([given('A'), given('B', { pose: at([0, 0, 90]) })], [glue('A', 'B')])[0]).toBe(
      'warning gap: A is joined to B but stands 20 mm or more from it, 0.25 mm is allowed',
    )
  })

  test('several of one family that touch nothing are one note', () => {
    const far = [0, 50, 100].map((z, i) => given(`A-0${i + 1}`, { pose: at([0, 0, z]) }))
    expect(said(far)).toEqual([
      'note loose: A-01 and 2 more of its family touch nothing: 3 pieces are 0.30 mm or more from any other',
    ])
  })

  test('a clearance that is too wide', () => {
    const wide: Relation = { kind: 'clearance', name: 'door', a: ['A'], b: ['B'], least: 0.2, most: 1 }
    expect(said([given('A'), given('B', { pose: at([0, 0, 3.28]) })], [wide])[0]).toBe(
      'warning clearance: door: A is 3.00 mm from B, at most 1.00 mm is wanted',
    )
  })

  test('a slot into which nothing ever comes', () => {
    const slot: Relation = { kind: 'join', a: 'A', b: 'B', how: 'slot', opens: [0, 0, 1] }
    // One lies beside the other: pushed along, they never meet.
    expect(said([given('A'), given('B', { pose: at([20.1, 0, 0]) })], [slot])).toEqual([
      'warning not-home: B could go 16 mm or more further into the slot of A, 0.75 mm is allowed: they are not home',
    ])
  })
})

describe('pieces that cannot be looked at, or do not stand', () => {
  test('a ring of panels that does not close', () => {
    const ring = (angle: number) =>
      given('R', {
        outline: box(0, 0, 30, 30),
        openings: [{ kind: 'opening', loop: clockwise(box(10, 10, 20, 20)) }],
        scores: [
          { fold: 'valley', line: [[15, 0], [15, 10]], angle: 90 },
          { fold: 'valley', line: [[15, 20], [15, 30]], angle },
        ],
        form: { kind: 'folded' },
      })
    expect(said([ring(90)])).toEqual([])
    const [text] = said([ring(60)])
    expect(text).toMatch(
      /^warning fold-open: R does not close when folded: along one score its sides end up \d+\.\d\d mm apart, 0\.05 mm is allowed$/,
    )
  })

  test('curled card whose lines are nowhere', () => {
    const line = (x: number, z: number) => ({ flat: [[x, 0], [x, 10]] as const, model: [[x, 0, z], [x, 10, z]] as const })
    const { pose: _, ...curled } = given('C', { form: { kind: 'curved', rulings: [line(0, 0), line(10, Number.NaN), line(20, 0)] } })
    expect(said([curled])).toHaveLength(1)
    expect(said([curled])[0]).toMatch(
      /^warning not-solid: the \d+ faces of C do not close to a body, so that its fit cannot be looked at$/,
    )
  })

  test('a copy whose place would stretch it', () => {
    const bent: Pose = { ...LEVEL, up: [0, 1.2, 0] }
    expect(said([given('A', { copies: 2, also: [bent] })])).toEqual([
      'error pose-not-rigid: the place of copy 2 of A has its up axis 1.2000 long, 1 is needed',
    ])
  })

  test('jigs are gone by the time the model stands', () => {
    expect(said([given('A'), given('J', { pose: upright([0, 4, -5]), notes: ['Jig: holds A'] })])).toEqual([])
  })
})
