import fc from 'fast-check'
import type { ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import { interlock } from '../../lib/craft/interlock'
import type { Plate } from '../../lib/craft/plate'
import { slotWidth } from '../../lib/craft/slot'
import { cross, dot, faceNormal, unit } from '../../lib/craft/space'
import type { Loop, Point } from '../../lib/shape/point'
import type { Pose, Vector } from '../../lib/shape/pose'
import { loadSolids, plateSolid } from './solid'

let wasm: ManifoldToplevel
beforeAll(async () => {
  wasm = await loadSolids()
})

const OPTIONS = { fit: 0.1, web: 0.8 }

describe('slot width', () => {
  test('at a right angle it is the other card and the fit', () => {
    expect(slotWidth(0.46, 0.28, 90, 0.1)).toBeCloseTo(0.38, 12)
  })

  test('agrees with the overlap of the two slabs, sampled over the thickness', () => {
    const card = fc.double({ min: 0.1, max: 2, noNaN: true })
    fc.assert(
      fc.property(card, card, fc.double({ min: 15, max: 90, noNaN: true }), (own, through, angle) => {
        const a = (angle * Math.PI) / 180
        let [low, high] = [Infinity, -Infinity]
        for (const h of [-own / 2, own / 2]) {
          for (const face of [-through / 2, through / 2]) {
            const u = (face + h * Math.cos(a)) / Math.sin(a)
            ;[low, high] = [Math.min(low, u), Math.max(high, u)]
          }
        }
        expect(slotWidth(own, through, angle, 0)).toBeCloseTo(high - low, 9)
      }),
    )
  })
})

describe('cut plates against the solids', () => {
  test.each([
    ['square on', 0, 0],
    ['oblique', 35, 0],
    ['leaning', 0, 25],
    ['oblique and leaning', -40, 20],
  ])('%s: no overlap, and the gap across the card is the fit', (_, yaw, lean) => {
    const rib = plate('R', poseAt([0, 0, 0], 0, 0), rectangle(60, 12), 0.46)
    const spar = plate('S', poseAt([0, 0, 0], 90 + yaw, lean), rectangle(60, 10), 0.28)
    const { first, second, crossings, findings } = interlock([rib], [spar], OPTIONS)
    expect(findings).toEqual([])
    expect(crossings).toHaveLength(1)
    const [a, b] = [plateSolid(wasm, first[0]!), plateSolid(wasm, second[0]!)]
    expect(plateSolid(wasm, rib).intersect(plateSolid(wasm, spar)).volume()).toBeGreaterThan(0.5)
    expect(a.intersect(b).volume()).toBeLessThan(1e-6)
    // Centred, half of the fit lies to either side.
    expect(2 * a.minGap(b, 1)).toBeCloseTo(OPTIONS.fit, 3)
  })

  test('any two plates that cross are free of each other after', () => {
    const turn = fc.double({ min: -60, max: 60, noNaN: true })
    const shift = fc.double({ min: -8, max: 8, noNaN: true })
    const card = fc.double({ min: 0.2, max: 1, noNaN: true })
    fc.assert(
      fc.property(turn, turn, shift, card, card, (yaw, lean, by, own, through) => {
        const rib = plate('R', poseAt([0, 0, 0], 0, 0), rectangle(80, 14), own)
        const spar = plate('S', poseAt([by, by / 2, by / 4], 90 + yaw, lean / 2), rectangle(80, 11), through)
        const cut = interlock([rib], [spar], OPTIONS)
        expect(cut.crossings).toHaveLength(1)
        const [a, b] = [plateSolid(wasm, cut.first[0]!), plateSolid(wasm, cut.second[0]!)]
        expect(a.intersect(b).volume()).toBeLessThan(1e-5)
        expect(2 * a.minGap(b, 1)).toBeCloseTo(OPTIONS.fit, 2)
      }),
      { numRuns: 40 },
    )
  })

  test('a twisted run of ribs on two spars, one of them swept, fits throughout', () => {
    const ribs = Array.from({ length: 8 }, (_, i) =>
      plate(`R-0${i + 1}`, ribPose(10 * i, i - 4), lens(60 - 2 * i, 9), 0.46),
    )
    const spars = [sparPlate('S-01', -12, 0), sparPlate('S-02', 8, 8)]
    const cut = interlock(ribs, spars, OPTIONS)
    expect(cut.crossings).toHaveLength(16)
    expect(cut.findings).toEqual([])
    for (const rib of cut.first) {
      for (const spar of cut.second) {
        expect(plateSolid(wasm, rib).intersect(plateSolid(wasm, spar)).volume()).toBeLessThan(1e-5)
      }
    }
  })
})

describe('openings on the line of a crossing', () => {
  test('a spar through a lightening hole halves the whole crossing, rim to rim', () => {
    const hole = Array.from({ length: 48 }, (_, i): Point => [
      3 * Math.cos((-i * Math.PI) / 24),
      3 * Math.sin((-i * Math.PI) / 24),
    ])
    const rib: Plate = {
      ...plate('R', poseAt([0, 0, 0], 0, 0), rectangle(60, 14), 0.46),
      openings: [{ kind: 'opening', loop: hole }],
    }
    const spar = plate('S', poseAt([0, 0, 0], 75, 0), rectangle(60, 12), 0.28)
    const { first, second, crossings, findings } = interlock([rib], [spar], OPTIONS)
    expect(findings).toEqual([])
    expect(crossings[0]!.length).toBeCloseTo(12, 9)
    const [a, b] = [plateSolid(wasm, first[0]!), plateSolid(wasm, second[0]!)]
    expect(a.intersect(b).volume()).toBeLessThan(1e-6)
    expect(a.decompose()).toHaveLength(1)
  })

  test('a keel through the lower rim of a ring frame leaves the ring above alone', () => {
    const inner = Array.from({ length: 90 }, (_, i): Point => [
      16 * Math.cos((-i * Math.PI) / 45),
      16 * Math.sin((-i * Math.PI) / 45),
    ])
    const outer = Array.from({ length: 90 }, (_, i): Point => [
      20 * Math.cos((i * Math.PI) / 45),
      20 * Math.sin((i * Math.PI) / 45),
    ])
    const ring: Plate = {
      ...plate('F', poseAt([0, 0, 0], 0, 0), outer, 0.46),
      openings: [{ kind: 'opening', loop: inner }],
    }
    const keel = plate('K', poseAt([0, 0, -18], 90, 0), rectangle(60, 8), 0.46)
    const { first, second, findings } = interlock([ring], [keel], { ...OPTIONS, upper: 'second' })
    expect(findings).toEqual([])
    expect(Math.max(...first[0]!.outline.map(([, y]) => y))).toBeCloseTo(20, 1)
    expect(first[0]!.slots![0]!.depth).toBeCloseTo(2.05, 1)
    expect(plateSolid(wasm, first[0]!).intersect(plateSolid(wasm, second[0]!)).volume()).toBeLessThan(1e-6)
  })
})

describe('halving', () => {
  const rib = plate('R', poseAt([0, 0, 0], 0, 0), rectangle(60, 12), 0.46)
  const spar = plate('S', poseAt([0, 0, 0], 90, 0), rectangle(60, 10), 0.28)

  test('slots end at the middle of the true crossing, half the fit beyond it', () => {
    const { first, second, crossings } = interlock([rib], [spar], OPTIONS)
    expect(crossings[0]!.length).toBeCloseTo(10, 9)
    expect(first[0]!.slots![0]).toMatchObject({ takes: 'S', depth: expect.closeTo(6 + 0.05, 9) })
    expect(second[0]!.slots![0]).toMatchObject({ takes: 'R', depth: expect.closeTo(5 + 0.05, 9) })
    expect(first[0]!.slots![0]!.towards[1]).toBeCloseTo(1, 12)
    expect(second[0]!.slots![0]!.towards[1]).toBeCloseTo(-1, 12)
  })

  test('which family opens upwards is one option', () => {
    const { first } = interlock([rib], [spar], { ...OPTIONS, upper: 'second' })
    expect(first[0]!.slots![0]!.towards[1]).toBeCloseTo(-1, 12)
  })

  test('a relief hole is round, below the slot and wider than it', () => {
    const square = interlock([rib], [spar], OPTIONS).first[0]!.outline
    const relief = interlock([rib], [spar], { ...OPTIONS, end: 'relief' }).first[0]!.outline
    expect(relief.length).toBeGreaterThan(square.length + 4)
    expect(slotEnd(square) - slotEnd(relief)).toBeCloseTo(0.38 * 0.625, 2)
  })

  test('the place in the model does not matter', () => {
    const angle = fc.double({ min: 0, max: 360, noNaN: true })
    fc.assert(
      fc.property(angle, angle, fc.double({ min: -500, max: 500, noNaN: true }), (yaw, roll, by) => {
        const move = turning(yaw, roll, by)
        const up = move.direction([0, 0, 1])
        const { first, crossings } = interlock([moved(rib, move)], [moved(spar, move)], { ...OPTIONS, up })
        expect(crossings[0]!.length).toBeCloseTo(10, 6)
        expect(first[0]!.slots![0]!.depth).toBeCloseTo(6.05, 6)
      }),
    )
  })

  test('openings that no slot touches stay what they were', () => {
    const holed: Plate = {
      ...rib,
      openings: [
        {
          kind: 'slot',
          loop: rectangle(4, 4)
            .map(([x, y]): Point => [x + 15, y])
            .toReversed(),
        },
      ],
    }
    expect(interlock([holed], [spar], OPTIONS).first[0]!.openings).toMatchObject([{ kind: 'slot' }])
  })
})

describe('what cannot be slotted is said, with marks', () => {
  const rib = plate('R', poseAt([0, 0, 0], 0, 0), rectangle(60, 12), 0.46)

  test('parallel planes', () => {
    const { findings, first } = interlock(
      [rib],
      [plate('S', poseAt([0, 5, 0], 4, 0), rectangle(60, 10), 0.28)],
      OPTIONS,
    )
    expect(findings[0]).toMatchObject({ id: 'parallel-planes', mark: 'R', found: expect.closeTo(4, 9), wanted: 15 })
    expect(first[0]).toBe(rib)
  })

  test('a plate that ends within the other card only touches', () => {
    const ending = plate(
      'S',
      poseAt([0, 0, 0], 90, 0),
      rectangle(60, 10).map(([x, y]): Point => [x + 30, y]),
      0.28,
    )
    const { findings, crossings } = interlock([rib], [ending], OPTIONS)
    expect(findings[0]).toMatchObject({ id: 'touch-only', mark: 'R' })
    expect(crossings).toEqual([])
  })

  test('edges that graze each other only touch', () => {
    const above = plate('S', poseAt([0, 0, 10.98], 90, 0), rectangle(60, 10), 0.28)
    const { findings } = interlock([rib], [above], OPTIONS)
    expect(findings[0]).toMatchObject({ id: 'touch-only', found: expect.closeTo(0.02, 6) })
  })

  test('three plates in one place', () => {
    const spars = [
      plate('S-01', poseAt([0, 0, 0], 90, 0), rectangle(60, 10), 0.28),
      plate('S-02', poseAt([0, 0, 0], 60, 0), rectangle(60, 10), 0.28),
    ]
    const { findings } = interlock([rib], spars, OPTIONS)
    const meeting = findings.find((finding) => finding.id === 'three-meet')!
    expect(meeting.mark).toBe('R')
    expect(meeting.text).toContain('S-01 and S-02')
  })

  test('three plates in one place, cut one after the other', () => {
    const [one, two] = [90, 60].map((yaw, i) =>
      plate(`S-0${i + 1}`, poseAt([0, 0, 0], yaw, 0), rectangle(60, 12), 0.46),
    )
    const before = interlock([rib], [one!], OPTIONS).first
    const meeting = interlock(before, [two!], OPTIONS).findings.find((finding) => finding.id === 'three-meet')
    expect(meeting).toMatchObject({ mark: 'R', severity: 'error' })
  })

  test('a web between slot and opening that the knife cannot leave', () => {
    const holed: Plate = {
      ...rib,
      openings: [
        {
          kind: 'opening',
          loop: rectangle(4, 6)
            .map(([x, y]): Point => [x + 2.5, y])
            .toReversed(),
        },
      ],
    }
    const { findings } = interlock([holed], [plate('S', poseAt([0, 0, 0], 90, 0), rectangle(60, 10), 0.28)], OPTIONS)
    expect(findings[0]).toMatchObject({
      id: 'narrow-web',
      mark: 'R',
      found: expect.closeTo(0.5 - 0.19, 6),
      wanted: 0.8,
    })
  })

  test('a later interlock keeps clear of the slots of an earlier one', () => {
    const one = interlock([rib], [plate('S', poseAt([0, 0, 0], 90, 0), rectangle(60, 10), 0.28)], OPTIONS).first
    const { findings } = interlock(one, [plate('K', poseAt([0.6, 0, 0], 90, 0), rectangle(60, 10), 0.28)], OPTIONS)
    expect(findings.map((finding) => finding.id)).toContain('narrow-web')
  })

  test('a slot that cuts a piece in two', () => {
    // A frame open at its right: the spar meets both its arms, and the upper slot would take the upper arm off.
    const arms: Loop = [
      [-20, -10],
      [10, -10],
      [10, -6],
      [-16, -6],
      [-16, 6],
      [10, 6],
      [10, 10],
      [-20, 10],
    ]
    const tall = plate('S', poseAt([0, 0, 0], 90, 0), rectangle(60, 40), 0.28)
    const { findings } = interlock([plate('R', poseAt([0, 0, 0], 0, 0), arms, 0.46)], [tall], OPTIONS)
    expect(findings[0]).toMatchObject({ id: 'slot-severs', mark: 'R', found: 2, wanted: 1 })
  })
})

/** Height of the closed end of a slot that comes down at x = 0. */
function slotEnd(loop: Loop): number {
  return Math.min(...loop.filter(([x]) => Math.abs(x) < 1).map(([, y]) => y))
}

interface Move {
  direction(v: Vector): Vector
  point(v: Vector): Vector
}

function turning(yaw: number, roll: number, by: number): Move {
  const [c, s] = [Math.cos((yaw * Math.PI) / 180), Math.sin((yaw * Math.PI) / 180)]
  const [d, e] = [Math.cos((roll * Math.PI) / 180), Math.sin((roll * Math.PI) / 180)]
  const direction = ([x, y, z]: Vector): Vector => {
    const [u, v] = [c * x - s * y, s * x + c * y]
    return [u, d * v - e * z, e * v + d * z]
  }
  const point = (v: Vector): Vector => {
    const [x, y, z] = direction(v)
    return [x + by, y - by, z + by / 2]
  }
  return { direction, point }
}

function moved(given: Plate, move: Move): Plate {
  const { origin, right, up } = given.pose
  return { ...given, pose: { origin: move.point(origin), right: move.direction(right), up: move.direction(up) } }
}

function plate(name: string, pose: Pose, outline: Loop, thickness: number): Plate {
  return { name, pose, outline, openings: [], thickness }
}

function rectangle(width: number, height: number): Loop {
  const [x, y] = [width / 2, height / 2]
  return [
    [-x, -y],
    [x, -y],
    [x, y],
    [-x, y],
  ]
}

/** A standing plate whose x runs at `yaw` degrees from the model's x, leaned over by `lean` about it. */
function poseAt(origin: Vector, yaw: number, lean: number): Pose {
  const [c, s] = [Math.cos((yaw * Math.PI) / 180), Math.sin((yaw * Math.PI) / 180)]
  const l = (lean * Math.PI) / 180
  return { origin, right: [c, s, 0], up: [s * Math.sin(l), -c * Math.sin(l), Math.cos(l)] }
}

/** A rib standing fore and aft at a distance y out, its leading edge turned down by `twist`. */
function ribPose(y: number, twist: number): Pose {
  const t = (twist * Math.PI) / 180
  const right: Vector = unit([Math.cos(t), 0, Math.sin(t)])
  const up: Vector = [-Math.sin(t), 0, Math.cos(t)]
  const pose = { origin: [0, y, 0] as Vector, right, up }
  expect(dot(cross(right, up), faceNormal(pose))).toBeCloseTo(1, 12)
  return pose
}

/** A spar from root to tip, swept back by so many degrees. */
function sparPlate(name: string, x: number, sweep: number): Plate {
  const s = (sweep * Math.PI) / 180
  const pose: Pose = { origin: [x, 35, 0], right: [Math.sin(s), Math.cos(s), 0], up: [0, 0, 1] }
  return plate(name, pose, rectangle(90, 6), 0.46)
}

/** A symmetric section, pointed at both ends. */
function lens(chord: number, depth: number): Loop {
  const half = Array.from({ length: 41 }, (_, i): Point => {
    const t = i / 40
    return [chord * (t - 0.5), 2 * depth * t * (1 - t)]
  })
  return [...half.map(([x, y]): Point => [x, -y]), ...half.slice(1, -1).toReversed()]
}
