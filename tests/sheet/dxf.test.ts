import { describe, expect, test } from 'vitest'
import { dxfOf, LAYERS } from '../../lib/sheet/dxf'
import type { Mark } from '../../lib/sheet/index'
import { box, hole, testPiece } from './pieces'
import { drawn } from './sheet'

interface Entity {
  readonly type: string
  readonly layer: string
  readonly shape: boolean
  readonly vertices: readonly { readonly x: number; readonly y: number }[]
}

type Parser = new () => { parseSync(text: string): Dxf }

interface Dxf {
  readonly header: Readonly<Record<string, unknown>>
  readonly tables: { readonly layer: { readonly layers: Readonly<Record<string, { name: string }>> } }
  readonly entities: readonly Entity[]
}

const load = require('dxf-parser') as { default?: Parser } & Parser
const DxfParser = load.default ?? load

const piece = testPiece('FR-01', box(0, 0, 80, 40), {
  openings: [hole(20, 10, 8, 720)],
  scores: [
    { fold: 'valley', line: [[40, 0], [40, 40]], angle: 90 },
    { fold: 'mountain', line: [[60, 0], [60, 40]], angle: 90 },
  ],
  lines: [{ kind: 'datum', line: [[0, 30], [80, 30]], closed: false }],
})
const [drawing] = drawn([piece], { placements: [{ id: 'FR-01', sheet: 0, x: 30, y: 90, turn: 30 }] })

describe('a sheet as DXF, read back by dxf-parser', () => {
  const { header, tables, entities } = new DxfParser().parseSync(dxfOf(drawing!))

  test('is of release 12 and in millimetres', () => {
    expect(header).toMatchObject({ $ACADVER: 'AC1009', $INSUNITS: 4, $LIMMAX: { x: 215.9, y: 279.4 } })
  })

  test('has a layer a kind of line, and everything on one of them', () => {
    expect(Object.keys(tables.layer.layers)).toEqual([...LAYERS])
    expect([...new Set(entities.map(({ layer }) => layer))].toSorted()).toEqual([...LAYERS].toSorted())
  })

  test.each([
    ['CUT', 'cut'],
    ['VALLEY', 'valley'],
    ['MOUNTAIN', 'mountain'],
  ])('has on %s the lengths that were drawn', (layer, role) => {
    const drawnLength = drawing!.pieces.flatMap(({ marks }) => marks).reduce((sum, mark) => sum + lengthIn(mark, role), 0)
    const read = entities.filter((one) => one.layer === layer).reduce((sum, one) => sum + around(one), 0)
    expect(drawnLength).toBeGreaterThan(39)
    // Each of up to 724 corners is rounded to 0.001 mm.
    expect(Math.abs(read - drawnLength)).toBeLessThan(0.05)
  })

  test('puts a point where the sheet has it, y up', () => {
    const outline = entities.filter(({ layer }) => layer === 'CUT').at(-1)!
    const [cos, sin] = [Math.cos(Math.PI / 6), Math.sin(Math.PI / 6)]
    const wanted = piece.outline.map(([x, y]) => ({ x: cos * x - sin * y + 30, y: sin * x + cos * y + 90 }))
    expect(outline.vertices).toHaveLength(4)
    outline.vertices.forEach(({ x, y }, i) => {
      expect(Math.hypot(x - wanted[i]!.x, y - wanted[i]!.y)).toBeLessThan(0.001)
    })
  })

  test('cuts openings before the outline that holds them, and nothing of the key', () => {
    expect(entities.filter(({ layer }) => layer === 'CUT').map(({ vertices }) => vertices.length)).toEqual([720, 4])
  })
})

function lengthIn(mark: Mark, role: string): number {
  if (mark.kind !== 'stroke' || mark.role !== role) return 0
  return mark.lines.reduce((sum, { points, closed }) => sum + along(points.map(([x, y]) => ({ x, y })), closed), 0)
}

function around({ vertices, shape }: Entity): number {
  return along(vertices, shape)
}

function along(points: readonly { readonly x: number; readonly y: number }[], closed: boolean): number {
  return points.reduce((sum, { x, y }, i) => {
    if (i === 0 && !closed) return sum
    const last = points.at(i - 1)!
    return sum + Math.hypot(x - last.x, y - last.y)
  }, 0)
}
