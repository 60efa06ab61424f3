import type { ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import {
  type Shape,
  type TabbedOptions,
  ZERO,
  bench,
  circle,
  doublers,
  edgeStrips,
  gusset,
  joiner,
  laminated,
  mirrored,
  path,
  piece,
  plane,
  rectangle,
  rectangleFrom,
  single,
  tabbed,
} from '../../lib'
import { area, boundsOf } from '../../lib/shape/measure'
import { findingOf, modelOf, pieceOf } from '../helpers/model'
import { loadSolids, pieceSolid } from './solid'

let wasm: ManifoldToplevel
beforeAll(async () => {
  wasm = await loadSolids()
})

describe('doublers', () => {
  const floor = single('FL', () =>
    piece({ stock: 'folder', plies: 2 })
      .outline(rectangle(bench.mm(60), bench.mm(30)))
      .openings(
        circle(bench.mm(5)).moved(bench.mm(-12), ZERO),
        rectangle(bench.mm(8), bench.mm(8)).moved(bench.mm(12), ZERO),
      )
      .place(plane.level(bench.mm(20))),
  )
  const model = modelOf(() => [floor, doublers(floor, { stock: 'divider', width: bench.mm(2) })])

  test('a ring round each opening, as wide as asked', () => {
    expect(model.pieces.map(({ mark }) => mark)).toEqual(['FL', 'FL-D1', 'FL-D2'])
    const round = pieceOf(model, 'FL-D1')
    expect(area([round.outline]) + area(round.openings.map(({ loop }) => loop))).toBeCloseTo(Math.PI * (49 - 25), 0)
    expect(boundsOf([pieceOf(model, 'FL-D2').outline])).toMatchObject({ minX: 6, maxX: 18, minY: -6, maxY: 6 })
  })

  test('it lies on the back, a line of glue off', () => {
    const [plate, ring] = ['FL', 'FL-D1'].map((mark) => pieceSolid(wasm, model, pieceOf(model, mark)))
    expect(plate!.minGap(ring!, 1)).toBeCloseTo(model.stocks.get('divider')!.glueLine.value, 6)
    expect(ring!.boundingBox().max[2]).toBeLessThan(plate!.boundingBox().min[2])
  })
})

describe('edge strips', () => {
  test('round a lamination: its girth and half a bend more at each corner, as wide as it is thick', () => {
    const plate = () => rectangle(bench.mm(30), bench.mm(10))
    const block = single('BL', () => piece({ stock: 'divider', plies: 3 }).outline(plate()))
    const model = modelOf(() => edgeStrips(laminated(block), { stock: 'folder' }))
    const { thickness, glueLine } = model.stocks.get('divider')!
    const folder = model.stocks.get('folder')!
    const strip = boundsOf([pieceOf(model, 'BL-E1').outline])
    expect(strip.maxY).toBeCloseTo(3 * thickness.value + 2 * glueLine.value, 9)
    // Bend allowance of the handbooks less the two setbacks on the inside, which lies on the edge.
    const { k, insideRadius } = folder.fold
    const gain = (Math.PI / 2) * (insideRadius.value + k.value * folder.thickness.value) - 2 * insideRadius.value
    expect(strip.maxX).toBeCloseTo(80 + 4 * gain, 6)
    const { scores } = pieceOf(model, 'BL-E1')
    expect(scores.map(({ fold, angle }) => `${fold} ${angle}`)).toEqual(['mountain 90', 'mountain 90', 'mountain 90'])
  })
})

test('a gusset has its legs, its angle and its relief', () => {
  const options = { stock: 'folder', legs: [bench.mm(6), bench.mm(4)] as const, angle: 60, relief: bench.mm(1) }
  const model = modelOf(() => single('GU', () => gusset(options)))
  expect(area([pieceOf(model, 'GU').outline])).toBeCloseTo(((6 * 4 - 1) / 2) * Math.sin(Math.PI / 3), 9)
})

test('a joiner lies half on each side of the joint, its grain across it', () => {
  const joint = [[bench.mm(3), ZERO] as const, [bench.mm(3), bench.mm(20)] as const]
  const made = pieceOf(modelOf(() => single('JO', () => joiner({ stock: 'folder', joint, width: bench.mm(8) }))), 'JO')
  expect(boundsOf([made.outline])).toEqual({ minX: -1, maxX: 7, minY: 0, maxY: 20 })
  expect(made.grain).toBe(0)
  expect(made.lines).toMatchObject([{ kind: 'align', line: [[3, 0], [3, 20]] }])
})

describe('tabs', () => {
  const plate = rectangleFrom(ZERO, ZERO, bench.mm(40), bench.mm(20))
  const with4 = (shape: Shape, options: Partial<TabbedOptions>) =>
    modelOf(() =>
      tabbed(mirrored(single('PL', () => piece({ stock: 'folder' }).outline(shape))), {
        from: [bench.mm(40), bench.mm(20)],
        to: [ZERO, bench.mm(20)],
        depth: bench.mm(4),
        ...options,
      }),
    )

  test('along a straight edge one tab with mitred ends, scored at the edge, and its mirror image to port', () => {
    const model = with4(plate, {})
    expect(model.findings).toEqual([])
    for (const side of ['P', 'S']) {
      const made = pieceOf(model, `PL-${side}`)
      // Ends share the 90 degrees inside the corner, less two of clearance each.
      const slope = 1 / Math.tan((43 * Math.PI) / 180)
      expect(area([made.outline])).toBeCloseTo(800 + 4 * (40 - 4 * slope), 6)
      expect(made.scores).toMatchObject([{ fold: 'mountain', angle: 90 }])
      expect(made.scores[0]!.line.map(([x]) => Math.abs(x)).toSorted((a, b) => a - b)).toEqual([0, 40])
      expect(boundsOf([made.outline]).maxY).toBe(24)
    }
  })

  test('along a curved edge teeth, all within the depth of it', () => {
    const dome = path()
      .from(ZERO, ZERO)
      .line(bench.mm(40), ZERO)
      .line(bench.mm(40), bench.mm(10))
      .spline([bench.mm(20), bench.mm(20)], [ZERO, bench.mm(10)])
      .close()
    const made = pieceOf(with4(dome, { from: [bench.mm(40), bench.mm(10)], to: [ZERO, bench.mm(10)] }), 'PL-S')
    expect(made.scores.length).toBeGreaterThan(5)
    expect(boundsOf([made.outline]).maxY).toBeGreaterThan(22)
    expect(boundsOf([made.outline]).maxY).toBeLessThanOrEqual(24.3)
    expect(area([made.outline])).toBeGreaterThan(area(dome.region) + 100)
  })

  test('deeper than its edge allows is a finding with mark and both numbers', () => {
    const { findings } = with4(plate, { from: [ZERO, bench.mm(20)], to: [ZERO, ZERO], depth: bench.mm(12) })
    const slope = 1 / Math.tan((43 * Math.PI) / 180)
    expect(findings.map(({ mark }) => mark)).toEqual(['PL-P', 'PL-S'])
    expect(findings[0]).toMatchObject({ id: 'deep-tab', severity: 'error', family: 'PL', found: 12 })
    expect(findings[0]!.wanted).toBeCloseTo(19.5 / (2 * slope), 6)
  })

  test('an end that is no corner is an error that names the nearest one', () => {
    const finding = findingOf(() => with4(plate, { from: [bench.mm(38), bench.mm(20)] }))
    expect(finding).toMatchObject({ id: 'tab-edge', mark: 'PL-P', wanted: 0.1 })
    expect(finding.remedy).toBe('the nearest corner is at (-40.00, 20.00) mm')
    expect(finding.found).toBeCloseTo(2, 9)
  })
})
