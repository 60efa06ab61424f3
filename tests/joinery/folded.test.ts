import { describe, expect, test } from 'vitest'
import { ZERO } from '../../lib/length/length'
import { bench } from '../../lib/length/unit'
import { channel } from '../../lib/joinery/channel'
import { folded, panel } from '../../lib/joinery/folded'
import { hem } from '../../lib/joinery/hem'
import { sleeve } from '../../lib/joinery/sleeve'
import { lid, tray } from '../../lib/joinery/tray'
import type { Draft } from '../../lib/model/draft'
import { single } from '../../lib/model/family'
import { area, boundsOf } from '../../lib/shape/measure'
import { rectangleFrom } from '../../lib/shape/primitive'
import { catalogue } from '../../lib/stock/catalogue'
import { stock } from '../../lib/stock/stock'
import { findingOf, modelOf } from '../helpers/model'

const rect = (width: number, height: number) => rectangleFrom(ZERO, ZERO, bench.mm(width), bench.mm(height))
const inches = (width: number, height: number) => rectangleFrom(ZERO, ZERO, bench.in(width), bench.in(height))

/** Aluminium of the worked example: K = .4469 in Machinery's Handbook's form (.0078T per degree, .0078·180/π). */
const sheet = stock('sheet', {
  like: 'folder',
  thickness: bench.in(0.05),
  fold: { k: 0.4469, insideRadius: bench.in(0.032) },
})

const made = (draft: () => Draft) => modelOf(() => single('FO', draft), { stocks: [sheet] })
const sizeOf = (draft: () => Draft): [number, number] => {
  const { minX, minY, maxX, maxY } = boundsOf([made(draft).pieces[0]!.outline])
  return [maxX - minX, maxY - minY]
}

/** What a fold of 90° takes off two sizes taken outside: 2(R + t) − π/2·(R + K·t). */
const { value: t } = catalogue.folder.thickness
const { k, insideRadius } = catalogue.folder.fold
const deduction = 2 * (insideRadius.value + t) - (Math.PI / 2) * (insideRadius.value + k.value * t)

describe('folded parts', () => {
  // sheetmetalworkbook.com/90bends.htm, worked example: T .050, R .032; legs .740 .420 1.050 1.000: stretch-out 2.973.
  test('a published stretch-out of four legs', () => {
    const channelOf = () =>
      folded(
        { stock: 'sheet', measured: 'outside' },
        panel('first', inches(0.74, 1), {
          edge: 'right',
          valley: 90,
          onto: 'left',
          panel: panel('second', inches(0.42, 1), {
            edge: 'right',
            valley: 90,
            onto: 'left',
            panel: panel('third', inches(1.05, 1), {
              edge: 'right',
              valley: 90,
              onto: 'left',
              panel: panel('fourth', inches(1, 1)),
            }),
          }),
        }),
      )
    const { pieces } = made(channelOf)
    const { minX, maxX } = boundsOf([pieces[0]!.outline])
    expect((maxX - minX) / 25.4).toBeCloseTo(2.973, 2)
    expect(pieces[0]!.scores.map(({ fold, angle }) => [fold, angle])).toEqual(
      Array.from({ length: 3 }, () => ['valley', 90]),
    )
  })

  test('scores lie in the middle of their bends, across the whole edge', () => {
    const { pieces } = made(() =>
      folded(
        { stock: 'folder' },
        panel('a', rect(20, 10), { edge: 'right', mountain: 90, onto: 'left', panel: panel('b', rect(15, 10)) }),
      ),
    )
    const { line, fold } = pieces[0]!.scores[0]!
    expect(fold).toBe('mountain')
    for (const [x] of line) expect(x).toBeCloseTo(20 - deduction / 2, 6)
    expect(Math.abs(line[0]![1] - line[1]![1])).toBeCloseTo(10, 6)
  })

  test('tabs are mitred and as deep as said', () => {
    const tabbed = () =>
      folded({ stock: 'folder' }, panel('a', rect(20, 10), { edge: 'top', mountain: 90, tab: bench.mm(3) }))
    expect(sizeOf(tabbed)[1]).toBeCloseTo(13 - deduction, 4)
    const { outline } = made(tabbed).pieces[0]!
    // A trapezium of 20 and 20 − 2·3 mm, less the strip its fold saves.
    expect(area([outline])).toBeCloseTo(20 * 10 + ((20 + 14) / 2) * 3 - 20 * deduction, 0)
  })

  test('a seat can stand in a family, placed by its first panel', () => {
    const { pieces } = made(() => folded({ stock: 'folder', grain: 'across' }, panel('a', rect(20, 10))).note('glue'))
    expect(pieces[0]).toMatchObject({ grain: 90, notes: ['glue'], mark: 'FO' })
  })
})

describe('boxes', () => {
  test('a tray by its outside: bottom and two sides, less the deductions', () => {
    const size = { length: bench.mm(30), width: bench.mm(20), height: bench.mm(10) }
    const [x, y] = sizeOf(() => tray({ stock: 'folder', ...size, measured: 'outside' }))
    expect(x).toBeCloseTo(30 + 20 - 2 * deduction, 4)
    expect(y).toBeCloseTo(20 + 20 - 2 * deduction, 4)
  })

  test('inside is larger by two thicknesses', () => {
    const size = { length: bench.mm(30), width: bench.mm(20), height: bench.mm(10) }
    const outer = sizeOf(() => tray({ stock: 'folder', ...size, measured: 'outside' }))
    const inner = sizeOf(() => tray({ stock: 'folder', ...size, measured: 'inside' }))
    // Two sizes along, each reaching two faces further: the bottom by 2t, each side by t.
    expect(inner[0] - outer[0]).toBeCloseTo(4 * t, 4)
  })

  test('a lid goes over its tray', () => {
    const under = {
      stock: 'folder',
      length: bench.mm(30),
      width: bench.mm(20),
      height: bench.mm(10),
      measured: 'outside',
    } as const
    const [x] = sizeOf(() => lid(under, { depth: bench.mm(4), clearance: bench.mm(0.1) }))
    const inside = sizeOf(() => tray({ ...under, length: bench.mm(30.2), height: bench.mm(4), measured: 'inside' }))
    expect(x).toBeCloseTo(inside[0], 4)
  })

  test('a sleeve goes round: two widths, two heights and the flap', () => {
    const { pieces } = made(() =>
      sleeve({
        stock: 'folder',
        width: bench.mm(12),
        height: bench.mm(8),
        length: bench.mm(30),
        flap: bench.mm(4),
        measured: 'outside',
      }),
    )
    const { minX, maxX } = boundsOf([pieces[0]!.outline])
    expect(pieces[0]!.scores).toHaveLength(4)
    expect(maxX - minX).toBeCloseTo(4 + 8 - t + 12 + 8 + 12 - 4 * deduction, 6)
  })

  test('a channel by its outside', () => {
    const [x] = sizeOf(() =>
      channel({
        stock: 'folder',
        form: 'channel',
        web: bench.mm(10),
        flange: bench.mm(5),
        length: bench.mm(30),
        measured: 'outside',
      }),
    )
    expect(x).toBeCloseTo(20 - 2 * deduction, 4)
  })

  test('a hem is as wide as its half turn and what it turns back', () => {
    const { value: radius } = insideRadius
    const [x] = sizeOf(() => hem({ stock: 'folder', leg: bench.mm(10), hem: bench.mm(4), length: bench.mm(30) }))
    expect(x).toBeCloseTo(14 - 2 * (radius + t) + Math.PI * (radius + k.value * t), 6)
  })
})

describe('bad input', () => {
  test('panels over each other in the flat name both and the piece', () => {
    const part = () =>
      folded(
        { stock: 'folder' },
        panel(
          'a',
          rect(10, 10),
          { edge: 'right', valley: 90, onto: 'left', panel: panel('b', rect(10, 30)) },
          { edge: 'top', valley: 90, panel: panel('c', rect(30, 10)) },
        ),
      )
    const said = made(part).findings.find(({ id }) => id === 'panels-overlap')!
    expect(said).toMatchObject({ severity: 'error', mark: 'FO', family: 'FO', wanted: 0 })
    expect(said.text).toMatch(/panels b and c lie over each other by [\d.]+ mm², 0 is allowed$/)
  })

  test('a tab deeper than its edge allows', () => {
    const said = made(() =>
      folded({ stock: 'folder' }, panel('a', rect(4, 10), { edge: 'top', valley: 90, tab: bench.mm(6) })),
    ).findings
    expect(said).toContainEqual(
      expect.objectContaining({ id: 'deep-tab', mark: 'FO', found: 6, wanted: expect.closeTo(1.75, 9) }),
    )
  })

  test('a tab too shallow to fold', () => {
    const said = made(() =>
      folded({ stock: 'folder' }, panel('a', rect(20, 10), { edge: 'top', valley: 90, tab: bench.mm(0.8) })),
    ).findings
    expect(said.find(({ id }) => id === 'shallow-tab')).toMatchObject({ severity: 'warning', mark: 'FO', found: 0.8 })
  })

  test('an angle that is none', () => {
    const part = () =>
      made(() => folded({ stock: 'folder' }, panel('a', rect(20, 10), { edge: 'top', valley: 180, tab: bench.mm(3) })))
    expect(findingOf(part)).toMatchObject({ id: 'fold-angle', text: 'panel a: a fold through 180°', family: 'FO' })
  })

  test('an edge there is not', () => {
    const part = () =>
      made(() => folded({ stock: 'folder' }, panel('a', rect(20, 10), { edge: 4, valley: 90, tab: bench.mm(3) })))
    expect(findingOf(part)).toMatchObject({ text: 'panel a has no edge 4; its edges run from 0 to 3' })
  })
})
