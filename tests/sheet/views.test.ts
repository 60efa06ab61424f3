import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { cutSolids } from '../../lib/fit/section'
import { solidsOf } from '../../lib/fit/solid'
import { spread } from '../../lib/sheet/callout'
import type { Drawing } from '../../lib/sheet/drawing'
import { drawExploded } from '../../lib/sheet/explodedView'
import { hatch, hatchings } from '../../lib/sheet/hatch'
import { drawSection } from '../../lib/sheet/sectionDrawing'
import { svgOf } from '../../lib/sheet/svg'
import { drawThreeView } from '../../lib/sheet/threeView'
import { builtInStock } from '../../lib/stock/catalogue'
import { box, testPiece } from './pieces'

const stockOf = (id: string) => builtInStock(id)
const standing = (mark: string, stock: string, x: number) =>
  solidsOf(testPiece(mark, box(-30, 0, 30, 40), { stock, pose: { origin: [x, 0, 0], right: [0, 1, 0], up: [0, 0, 1] } }), stockOf(stock))
const solids = [...standing('FR-01', 'divider', 0), ...standing('FR-02', 'folder', 50)]

const textsOf = ({ furniture }: Drawing) => furniture.flatMap((mark) => (mark.kind === 'lettering' ? [mark.text] : []))

describe('hatching', () => {
  const length = (lines: ReturnType<typeof hatch>) => lines.reduce((sum, [a, b]) => sum + Math.hypot(b![0] - a![0], b![1] - a![1]), 0)

  test('covers an area with as much line as its pitch asks for, and leaves holes blank', () => {
    const square = box(0, 0, 40, 40)
    for (const way of hatchings(4)) expect(length(hatch([square], way)) * way.pitch).toBeCloseTo(1600, -1.5)
    const [way] = hatchings(1)
    expect(length(hatch([square, box(10, 10, 30, 30)], way!)) * way!.pitch).toBeCloseTo(1200, -1.5)
  })

  test('of several stocks no two are alike', () => {
    expect(new Set(hatchings(6).map(({ angle, pitch }) => `${angle} ${pitch.toFixed(3)}`)).size).toBe(6)
  })
})

test('words beside a drawing keep their distance and their order, and stay level where there is room', () => {
  expect(spread([30, 20, 10], 4)).toEqual([30, 20, 10])
  expect(spread([10, 10], 4)).toEqual([12, 8])
  fc.assert(
    fc.property(fc.array(fc.double({ min: -100, max: 100, noNaN: true }), { minLength: 1, maxLength: 40 }), (heights) => {
      const wanted = heights.toSorted((a, b) => b - a)
      const placed = spread(wanted, 3)
      placed.slice(1).forEach((y, i) => expect(placed[i]! - y).toBeGreaterThanOrEqual(3 - 1e-9))
      const mean = (list: number[]) => list.reduce((a, b) => a + b, 0) / list.length
      expect(mean(placed)).toBeCloseTo(mean(wanted), 6)
    }),
  )
})

test('a section names every piece and keys every stock', () => {
  const cuts = cutSolids(solids, { origin: [0, 0, 20], right: [1, 0, 0], up: [0, 1, 0] })
  const drawing = drawSection({
    title: 'Tug 1:60',
    where: 'section at z = 20mm',
    cuts,
    stockOf: new Map([['FR-01', { id: 'divider', title: 'divider card', plies: 1 }], ['FR-02', { id: 'folder', title: 'folder card', plies: 1 }]]),
  })
  expect(textsOf(drawing)).toEqual(expect.arrayContaining(['FR-01', 'FR-02', 'divider card (divider)', 'folder card (folder)']))
  expect(drawing.pieces.map(({ mark, stock }) => [mark, stock])).toEqual([['FR-01', 'divider'], ['FR-02', 'folder']])
  expect(svgOf(drawing)).toContain('data-mark="FR-02"')
})

test('three views give length, breadth and height at full size and on the model', () => {
  const drawing = drawThreeView({ title: 'Tug 1:60', what: 'whole model', solids, ratio: 60, centre: [25, 0, 20] })
  const length = 50 + 0.45 / 2 + 0.28 / 2
  expect(textsOf(drawing)).toEqual(
    expect.arrayContaining([`${((length * 60) / 1000).toFixed(2)} m (${length.toFixed(1)} mm)`, '3.60 m (60.0 mm)', '2.40 m (40.0 mm)', 'CG']),
  )
  const front = drawing.pieces.filter(({ id }) => id.startsWith('front'))
  expect(front.map(({ mark }) => mark)).toContain('FR-01')
})

test('taken apart, parts are numbered in build order and lie clear of one another', () => {
  const steps = [{ name: 'frames', solids: standing('FR-01', 'divider', 0) }, { name: 'deck', solids: standing('FR-02', 'folder', 0) }]
  const drawing = drawExploded({ title: 'Tug 1:60', what: 'hull', steps, breadth: 160 })
  expect(textsOf(drawing)).toEqual(expect.arrayContaining(['1  frames, 1 piece', '2  deck, 1 piece']))
  expect(() => drawExploded({ title: 'Tug', what: 'hull', steps: [{ name: 'frames', solids: [] }], breadth: 160 })).toThrow('nothing of hull has a place')
})
