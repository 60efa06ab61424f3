import type { Manifold, ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import {
  type Family,
  type Length,
  type Part,
  PieceSet,
  type Pose,
  type Shape,
  ZERO,
  bench,
  between,
  family,
  full,
  interlock,
  laminated,
  lightened,
  lightening,
  mirrored,
  naca,
  piece,
  plane,
  polygon,
  rectangle,
  rectangleFrom,
  single,
  stations,
} from '../../lib'
import type { Fit } from '../../lib/joinery/fit'
import type { Model } from '../../lib/model/model'
import type { Piece } from '../../lib/model/piece'
import { area, distanceToBoundary } from '../../lib/shape/measure'
import type { Loop } from '../../lib/shape/point'
import { findingOf, modelOf, pieceOf } from '../helpers/model'
import { loadSolids, pieceSolid } from './solid'

let wasm: ManifoldToplevel
beforeAll(async () => {
  wasm = await loadSolids()
})

const semiSpan = full.m(9)
const chordAt = (y: Length): Length => between(full.m(3), full.m(2), y.over(semiSpan))

/** Ribs of a tapered wing: raked by dihedral, twisted by wash-out, so that they cross both spars askew. */
const ribs = family('WR', stations.even(6, full.m(1), full.m(8)), (y, { share }) =>
  piece({ stock: 'divider' })
    .outline(naca('4415', chordAt(y)))
    .place(plane.spanwise(y, { x: chordAt(y).times(-0.25), z: y.times(0.05), twist: 2 - 5 * share, cant: -4 })),
)

/** A spar along a share of the chord, as tall as takes every rib from edge to edge and stand out a little. */
const spar = (code: string, share: number, stock = 'divider', plies = 1): Family =>
  single(code, () => {
    const sweep = chordAt(semiSpan).minus(chordAt(ZERO)).times(share - 0.25).over(semiSpan)
    const up = (y: Length, rise: number): Length => y.times(0.05).plus(chordAt(y).times(rise))
    return piece({ stock, plies })
      .outline(
        polygon(
          [ZERO, up(ZERO, 0)],
          [semiSpan, up(semiSpan, 0)],
          [semiSpan, up(semiSpan, 0.07)],
          [ZERO, up(ZERO, 0.07)],
        ),
      )
      .place(plane.at([chordAt(ZERO).times(share - 0.25), ZERO, ZERO], [sweep, 1, 0], [0, 0, 1]))
  })

function both(body: () => readonly Part[]): Model {
  return modelOf(() => body())
}

const ofFamily = (model: Model, code: string, side?: string): Piece[] =>
  model.pieces.filter((one) => one.family === code && (side === undefined || one.side === side))

function overlap(model: Model, first: readonly Piece[], second: readonly Piece[]): number {
  const solids = (list: readonly Piece[]): Manifold[] => list.map((one) => pieceSolid(wasm, model, one))
  const [a, b] = [solids(first), solids(second)]
  return a.reduce((sum, one) => sum + b.reduce((part, other) => part + one.intersect(other).volume(), 0), 0)
}

function gap(model: Model, one: Piece, others: readonly Piece[]): number {
  const solid = pieceSolid(wasm, model, one)
  return Math.min(...others.map((other) => solid.minGap(pieceSolid(wasm, model, other), 2)))
}

describe('a twisted wing on two spars, one swept, both sides, against the solids', () => {
  const layUp = { thickness: bench.mm(1.2), from: ['divider', 'folder'] }
  const frontSpar = () => laminated(mirrored(spar('FS', 0.25)), layUp)
  const spars = () => [frontSpar(), mirrored(spar('RS', 0.6, 'folder'))]
  const uncut = both(() => [...spars(), mirrored(ribs)])
  const model = both(() => interlock(mirrored(ribs), spars(), { upper: 'second' }))

  test('every rib runs through both of its spars before, and through nothing after', () => {
    expect(model.findings.filter(({ severity }) => severity !== 'note')).toEqual([])
    for (const side of ['P', 'S']) {
      const [before, after] = [uncut, model].map((one) => {
        const standing = [...ofFamily(one, 'FS', side), ...ofFamily(one, 'RS', side)]
        return overlap(one, ofFamily(one, 'WR', side), standing)
      })
      expect(before).toBeGreaterThan(5)
      expect(after).toBeLessThan(1e-5)
    }
  })

  test('the gap is half of the fit to either side', () => {
    const { fit } = model.stocks.get('divider')!
    for (const rib of ofFamily(model, 'WR')) {
      for (const code of ['FS', 'RS']) {
        expect(2 * gap(model, rib, ofFamily(model, code, rib.side))).toBeCloseTo(fit.sliding.value, 2)
      }
    }
  })

  test('port is the mirror image of starboard', () => {
    for (const starboard of ofFamily(model, 'WR', 'S')) {
      const port = pieceOf(model, starboard.mark.replace('-S', '-P'))
      expect(area([port.outline])).toBeCloseTo(area([starboard.outline]), 3)
      for (const [x, y] of starboard.outline) expect(distanceToBoundary([port.outline], [-x, y])).toBeLessThan(2e-3)
    }
  })

  test('all plies of a spar are cut alike', () => {
    const plies = ofFamily(model, 'FS', 'S')
    expect(plies.length).toBeGreaterThan(1)
    for (const ply of plies) expect(ply.outline).toEqual(plies[0]!.outline)
    expect(area([plies[0]!.outline])).toBeLessThan(area([ofFamily(uncut, 'FS', 'S')[0]!.outline]) - 1)
  })
})

describe('fit and thickness', () => {
  test.each(['tight', 'sliding', 'loose'] as const)('%s leaves what the stock says', (fit: Fit) => {
    const model = both(() => interlock(cross('A', 0), cross('B', 90), { fit }))
    const [a, b] = [pieceOf(model, 'A'), pieceOf(model, 'B')]
    expect(2 * gap(model, a, [b])).toBeCloseTo(model.stocks.get('divider')!.fit[fit].value, 4)
    expect(overlap(model, [a], [b])).toBeLessThan(1e-9)
  })

  test('a piece of three plies is met as three cards and two lines of glue', () => {
    const model = both(() => interlock(cross('A', 0), cross('B', 90, 3)))
    const { thickness, glueLine, fit } = model.stocks.get('divider')!
    const wide = 3 * thickness.value + 2 * glueLine.value + fit.sliding.value
    expect(slotAcross(pieceOf(model, 'A'))).toBeCloseTo(wide, 3)
    expect(slotAcross(pieceOf(model, 'B'))).toBeCloseTo(thickness.value + fit.sliding.value, 3)
  })

  test('a piece depends on the figures of what goes through it', () => {
    const model = both(() => interlock(cross('A', 0), cross('B', 90, 1, 'folder')))
    expect(pieceOf(model, 'A').reads).toContain('stock:folder.thickness')
    expect(pieceOf(model, 'B').reads).toContain('stock:divider.thickness')
  })
})

describe('sides', () => {
  test('a spar right across takes the ribs of both sides, each of them once', () => {
    const carry = single('CS', () =>
      piece({ stock: 'divider' })
        .outline(rectangle(full.m(17), full.m(0.6)))
        .place(plane.at([full.m(0), ZERO, full.m(0.3)], [0, 1, 0], [0, 0, 1])),
    )
    const upright = family('WR', stations.even(4, full.m(1), full.m(7)), (y) =>
      piece({ stock: 'divider' })
        .outline(rectangle(full.m(2), full.m(0.6)))
        .place(plane.spanwise(y, { z: full.m(0.3) })),
    )
    const model = both(() => interlock(mirrored(upright), carry))
    expect(model.findings).toEqual([])
    expect(overlap(model, ofFamily(model, 'WR'), ofFamily(model, 'CS'))).toBeLessThan(1e-6)
    const { thickness, fit } = model.stocks.get('divider')!
    const whole = (17 * 0.6 * 1e6) / 3600
    // Eight slots, half of the depth and half of the fit deep.
    const slot = (thickness.value + fit.sliding.value) * (5 + fit.sliding.value / 2)
    expect(area([pieceOf(model, 'CS').outline])).toBeCloseTo(whole - 8 * slot, 3)
  })
})

describe('what cannot be slotted', () => {
  test('parallel planes, with the mark, both angles and the line', () => {
    const { findings } = both(() => interlock(cross('A', 0), cross('B', 5)))
    expect(findings[0]).toMatchObject({ id: 'parallel-planes', severity: 'error', mark: 'A', family: 'A', wanted: 15 })
    expect(findings[0]!.found).toBeCloseTo(5, 6)
    expect(findings[0]!.site?.file).toContain('interlock.test.ts')
  })

  test('pieces that only touch', () => {
    const end = upright('B', 90, rectangleFrom(ZERO, bench.mm(-5), bench.mm(30), bench.mm(5)))
    const { findings } = both(() => interlock(cross('A', 0), end))
    expect(findings[0]).toMatchObject({ id: 'touch-only', mark: 'A' })
    expect(findings[0]!.text).toContain('A and B')
  })

  test('three pieces in one place', () => {
    const { findings } = both(() => interlock(cross('A', 0), [new PieceSet([]), cross('B', 90), cross('C', 60)]))
    const meeting = findings.find(({ id }) => id === 'three-meet')!
    expect(meeting).toMatchObject({ severity: 'error', mark: 'A', wanted: 0.9 })
    expect(meeting.text).toContain('B and C')
  })

  test('three pieces in one place, found across two calls', () => {
    const { findings } = both(() => {
      const [once, first] = interlock(cross('A', 0), cross('B', 90))
      const [twice, second] = interlock(once, cross('C', 60))
      return [twice, first, second]
    })
    expect(findings[0]).toMatchObject({ severity: 'error', mark: 'A', found: expect.closeTo(0, 9), wanted: 0.9 })
    expect(findings[0]!.text).toContain('B and C')
  })

  test('a web too thin for the knife is a warning with both numbers', () => {
    const narrow = upright('A', 0, rectangle(bench.mm(60), bench.mm(1.4)))
    const { findings } = both(() => interlock(narrow, cross('B', 90)))
    expect(findings[0]).toMatchObject({ id: 'narrow-web', severity: 'warning', mark: 'A', wanted: 0.9 })
    expect(findings[0]!.found).toBeCloseTo(0.7 - 0.03, 3)
  })

  test('a piece that crosses nothing', () => {
    const far = family('A', stations.even(3, full.m(0), full.m(40)), (y) =>
      piece({ stock: 'divider' }).outline(rectangle(bench.mm(60), bench.mm(10))).place(plane.spanwise(y)),
    )
    const { findings } = both(() => interlock(far, cross('B', 90)))
    expect(findings.map(({ id, mark }) => [id, mark])).toEqual([['no-crossing', 'A-02'], ['no-crossing', 'A-03']])
  })

  test('a piece that stands nowhere', () => {
    const loose = single('L', () => piece({ stock: 'divider' }).outline(rectangle(bench.mm(60), bench.mm(10))))
    const finding = findingOf(() => both(() => interlock(loose, cross('B', 90))))
    expect(finding).toMatchObject({ id: 'no-place', mark: 'L', remedy: 'say where it stands with .place(…)' })
  })

  test('something that is no family', () => {
    const finding = findingOf(() => both(() => interlock(undefined as never, cross('B', 90))))
    expect(finding.text).toBe('interlock was given nothing, pieces are meant')
  })
})

describe('lightening after it', () => {
  const web = 1
  const model = both(() => {
    const standing = [mirrored(spar('FS', 0.25)), mirrored(spar('RS', 0.6))]
    const [cut, spars] = interlock(mirrored(ribs), standing, { upper: 'second' })
    return [lightened(cut, lightening({ count: 5, web: bench.mm(web), to: 0.7 })), spars]
  })

  test('holes keep the web to slots and edge on both sides', () => {
    const holes = ofFamily(model, 'WR').flatMap((rib) => rib.openings.map((opening) => ({ rib, opening })))
    expect(holes.length).toBeGreaterThan(30)
    for (const { rib, opening } of holes) {
      for (const point of opening.loop) expect(distanceToBoundary([rib.outline], point)).toBeGreaterThan(web - 0.011)
    }
  })

  test('port holes are the mirror image of starboard ones', () => {
    for (const starboard of ofFamily(model, 'WR', 'S')) {
      const port = pieceOf(model, starboard.mark.replace('-S', '-P'))
      expect(port.openings.length).toBe(starboard.openings.length)
      port.openings.forEach(({ loop }, i) => expect(-middle(loop)).toBeCloseTo(middle(starboard.openings[i]!.loop), 2))
    }
  })
})

/** A plate 60 by 10 mm, upright on the origin, its x at so many degrees from the model's. */
function cross(code: string, yaw: number, plies = 1, stock = 'divider'): Family {
  return single(code, () =>
    piece({ stock, plies }).outline(rectangle(bench.mm(60), bench.mm(10))).place(turned(yaw)),
  )
}

function upright(code: string, yaw: number, shape: Shape): Family {
  return single(code, () => piece({ stock: 'divider' }).outline(shape).place(turned(yaw)))
}

function turned(yaw: number): Pose {
  const a = (yaw * Math.PI) / 180
  return plane.at([ZERO, ZERO, ZERO], [Math.cos(a), Math.sin(a), 0], [0, 0, 1])
}

function middle(loop: Loop): number {
  const xs = loop.map(([x]) => x)
  return (Math.min(...xs) + Math.max(...xs)) / 2
}

/** Width of a slot at x = 0 of a plate: between its two walls. */
function slotAcross({ outline }: Piece): number {
  const walls = outline.map(([x]) => x).filter((x) => Math.abs(x) < 5)
  return Math.max(...walls) - Math.min(...walls)
}
