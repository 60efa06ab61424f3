import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Piece } from '../../lib/model/piece'
import type { Placement } from '../../lib/nest/nest'
import { boundsOf } from '../../lib/nest/turn'
import { contains } from '../../lib/shape/place'
import type { Bounds, Loop, Point } from '../../lib/shape/point'
import { labelInside, LABEL_SIZES, letters } from '../../lib/sheet/label'
import { labelPlaces } from '../../lib/sheet/places'
import { corners } from '../../lib/sheet/room'
import { type Drawing, type Mark, type PieceGroup, printableArea } from '../../lib/sheet/index'
import { box, hole, line, rib, seat, testPiece } from './pieces'
import { cross, drawn, inRows, letterSegments, segments, segmentsOf, stock } from './sheet'

const CUTS_AND_LINES = ['cut', 'valley', 'mountain', 'datum', 'align', 'glue']

/** Pieces of many forms and sizes: bars, triangles, rings, folded blanks, ribs. */
const piece = (mark: string): fc.Arbitrary<Piece> => {
  const side = fc.double({ min: 1.5, max: 45, noNaN: true })
  return fc.oneof(
    fc.tuple(side, side).map(([w, h]) => testPiece(mark, box(0, 0, w, h))),
    fc.tuple(side, side, side).map(([w, h, x]) => testPiece(mark, [[0, 0], [w, 0], [x, h]])),
    fc.tuple(side, fc.double({ min: 0.2, max: 0.9, noNaN: true })).map(([r, share]) =>
      testPiece(mark, hole(0, 0, r / 2).loop.toReversed(), { openings: [hole(0, 0, (r / 2) * share)] }),
    ),
    fc.tuple(side, side).map(([w, d]) => seat(mark, w / 1.5, d / 3)),
    fc.double({ min: 12, max: 90, noNaN: true }).map((chord) => rib(mark, chord)),
    fc.tuple(side, side, fc.integer({ min: 1, max: 9 })).map(([w, h, n]) =>
      testPiece(mark, box(0, 0, w, h), {
        plies: n,
        lines: [line('datum', [[0, h / 2], [w, h / 2]], false), line('align', [[w / n, 0], [w / n, h]], false)],
        texts: [{ text: 'UP', at: [w / 2, h / 3], size: 1.5, angle: 30 * n }],
      }),
    ),
  )
}

const MARKS = ['WR-P07', 'SE-03-PAN', 'K', 'CTL-HORN-12', 'Ü…/&<', 'FLOAT-BULKHEAD-S04']
const pieces = fc
  .tuple(...MARKS.map(piece))
  .map((list): Piece[] => list)

/** No label touches a line or a text of any piece, nor another label, nor leaves the area for pieces. */
function expectClear(drawing: Drawing, area = printableArea(stock)): void {
  const labels = drawing.pieces.map((group) => letterSegments(group.marks.filter((mark) => isLabel(group, mark))))
  const lines = drawing.pieces.map((group) => [
    ...segmentsOf(group.marks, CUTS_AND_LINES),
    ...letterSegments(group.marks.filter((mark) => !isLabel(group, mark))),
  ])
  const boxes = [labels, lines].map((list) => list.map(boxOf)) as [Bounds[], Bounds[]]
  const meet = (a: Segment[], b: Segment[], what: string) => {
    if (a.some((one) => b.some((other) => cross(one, other)))) expect.fail(what)
  }
  for (const [i, { id }] of drawing.pieces.entries()) {
    const at = boxes[0][i]!
    expect(at.minX >= area.minX && at.minY >= area.minY && at.maxX <= area.maxX && at.maxY <= area.maxY, id).toBe(true)
    for (const [k, other] of drawing.pieces.entries()) {
      if (near(at, boxes[1][k]!)) meet(labels[i]!, lines[k]!, `label of ${id} on a line of ${other.id}`)
      if (k > i && near(at, boxes[0][k]!)) meet(labels[i]!, labels[k]!, `label of ${id} on that of ${other.id}`)
    }
  }
}

type Segment = [number, number, number, number]

function boxOf(list: readonly Segment[]): Bounds {
  return boundsOf(list.flatMap(([ax, ay, bx, by]): Point[] => [[ax, ay], [bx, by]]))
}

function near(a: Bounds, b: Bounds): boolean {
  return a.minX <= b.maxX && b.minX <= a.maxX && a.minY <= b.maxY && b.minY <= a.maxY
}

function isLabel({ mark }: PieceGroup, of: Mark): boolean {
  return of.kind === 'lettering' && of.text.startsWith(mark)
}

/** The letters of the label, without the texts the author put on the piece. */
function labelOf(group: PieceGroup): Point[] {
  const label = group.marks.find((mark) => isLabel(group, mark))
  return label?.kind === 'lettering' ? label.loops.flat() : []
}

describe('labels', () => {
  test('inside a piece: in the card, clear of every cut, fold, line and text', () => {
    fc.assert(
      fc.property(piece('SE-03-PAN'), (one) => {
        const label = labelInside(one)
        if (!label) return
        const region = [one.outline, ...one.openings.map(({ loop }) => loop)]
        const lettering = letters(label, one.mark)
        for (const point of lettering.loops.flat()) expect(contains(region, point)).toBe(true)
        const lines = [
          ...region.flatMap((loop) => segments(loop, true)),
          ...one.scores.flatMap(({ line: folded }) => segments(folded, false)),
          ...one.lines.flatMap(({ line: points, closed }) => segments(points, closed)),
        ]
        for (const a of letterSegments([lettering])) for (const b of lines) expect(cross(a, b)).toBe(false)
        expect(LABEL_SIZES).toContain(label.size)
      }),
      { numRuns: 300 },
    )
  })

  test('on a sheet: no letter of any piece touches a line or the letters of any other', () => {
    fc.assert(
      fc.property(pieces, fc.constantFrom(0.2, 1, 3), fc.constantFrom(0, 90, 180, 37), (list, gap, turn) => {
        const area = printableArea(stock)
        // Turned as a whole about a point in the middle of the sheet, so that nothing overlaps.
        const radians = (turn * Math.PI) / 180
        const [cx, cy] = [(area.minX + area.maxX) / 2, (area.minY + area.maxY) / 2]
        const small = { minX: cx - 60, minY: cy - 60, maxX: cx + 60, maxY: cy + 60 }
        const placements = inRows(list, small, gap).map((at) => ({
          ...at,
          x: cx + (at.x - cx) * Math.cos(radians) - (at.y - cy) * Math.sin(radians),
          y: cy + (at.x - cx) * Math.sin(radians) + (at.y - cy) * Math.cos(radians),
          turn,
        }))
        for (const drawing of drawn(list, { placements })) {
          expectClear(drawing)
          for (const group of drawing.pieces) expect(labelOf(group), group.id).not.toHaveLength(0)
        }
      }),
      { numRuns: 80 },
    )
  })

  test('a piece that is too small stands alone: its label at the place that is wanted first, an arrow on the cut', () => {
    fc.assert(
      fc.property(piece('AR-02'), fc.constantFrom(0, 90, 180, 270), (one, turn) => {
        const [first] = labelPlaces(one)
        if (!first) return
        const [drawing] = drawn([one], { placements: [{ id: one.mark, sheet: 0, x: 110, y: 150, turn }] })
        const group = drawing!.pieces[0]!
        const cos = Math.round(Math.cos((turn * Math.PI) / 180))
        const sin = Math.round(Math.sin((turn * Math.PI) / 180))
        const to = ([x, y]: Point): Point => [cos * x - sin * y + 110, sin * x + cos * y + 150]
        const placed = boundsOf(corners(first.box).map(to))
        for (const [x, y] of labelOf(group)) {
          expect(x >= placed.minX && x <= placed.maxX && y >= placed.minY && y <= placed.maxY).toBe(true)
        }
        const [tip] = segmentsOf(group.marks, ['leader'])
        const outline = segmentsOf(group.marks, ['cut'])
        expect(Math.min(...outline.map((cut) => distance([tip![0], tip![1]], cut)))).toBeLessThan(1e-6)
        expectClear(drawing!)
      }),
      { numRuns: 200 },
    )
  })

  test('every place for a label beside a piece is off its card and near to its cuts', () => {
    fc.assert(
      fc.property(piece('AR-02'), (one) => {
        const places = labelPlaces(one)
        if (labelInside(one)) expect(places).toEqual([])
        else expect(places.length).toBeGreaterThan(0)
        const cuts = [one.outline, ...one.openings.map(({ loop }) => loop)].flatMap(edges)
        for (const { box } of places) {
          const around = edges(corners(box))
          expect(around.some((edge) => cuts.some((cut) => cross(edge, cut)))).toBe(false)
          expect(contains([one.outline, ...one.openings.map(({ loop }) => loop)], box.centre)).toBe(false)
          const near = Math.min(
            ...cuts.flatMap((cut) => corners(box).map((corner) => distance(corner, cut))),
            ...around.flatMap((edge) => cuts.map(([x, y]) => distance([x, y], edge))),
          )
          expect(near).toBeLessThan(2)
        }
      }),
    )
  })

  test('a label is never read upside down: from below or from the right', () => {
    for (const turn of [0, 45, 90, 135, 180, 225, 270, 315]) {
      const one = testPiece('KEEL', box(0, 0, 60, 10))
      const [drawing] = drawn([one], { placements: [{ id: 'KEEL', sheet: 0, x: 110, y: 150, turn }] })
      const label = drawing!.pieces[0]!.marks.find((mark) => mark.kind === 'lettering')
      const angle = label?.kind === 'lettering' ? label.glyphs[0]!.angle : Number.NaN
      expect(angle).toBeGreaterThan(-90)
      expect(angle).toBeLessThanOrEqual(90)
    }
  })

  test('takes the largest size that fits: 2.5 mm in a large piece, none inside one of 2 mm by 5', () => {
    expect(labelInside(testPiece('WR-P07', box(0, 0, 60, 20)))?.size).toBe(2.5)
    expect(labelInside(testPiece('WR-P07', box(0, 0, 2, 5)))).toBeUndefined()
  })

  test('on a long oblique strip the label runs along it', () => {
    const strip: Loop = [[0, 0], [60, 60], [57, 63], [-3, 3]]
    expect(labelInside(testPiece('STRINGER-07', strip))?.box.angle).toBeCloseTo(45, 0)
  })

  test('where a sheet has no room at all, the piece is listed with its place at the edge', () => {
    // A small sheet full of bars of 3.8 mm a fifth of a millimetre apart: no label fits in or between them.
    const small = { ...stock, sheet: { name: 'offcut', width: 130, height: 130 } }
    const area = printableArea(small)
    const one = testPiece('CTL-HORN-12', box(0, 0, 3.8, 3.8))
    const placements: Placement[] = []
    for (let x = area.minX; x + 3.8 <= area.maxX; x += 4) {
      for (let y = area.minY; y + 3.8 <= area.maxY; y += 4) {
        placements.push({ id: `CTL-HORN-12#${placements.length + 1}`, sheet: 0, x, y, turn: 0 })
      }
    }
    const [drawing] = drawn([one], { stock: small, placements })
    for (const group of drawing!.pieces) expect(labelOf(group)).toEqual([])
    const words = drawing!.furniture.flatMap((mark) => (mark.kind === 'lettering' ? [mark.text] : []))
    const note = words.find((text) => text.includes('no room for labels'))
    const [first] = placements
    const where = `CTL-HORN-12 at ${first!.x.toFixed(0)}, ${first!.y.toFixed(0)}`
    expect(note).toContain(where)
  })

  test('pieces with grain and room show it', () => {
    const arrows = (one: Piece) => segmentsOf(drawn([one])[0]!.pieces[0]!.marks, ['arrow'])
    const [shaft] = arrows(testPiece('FR-01', box(0, 0, 50, 40), { grain: 90 }))
    expect(shaft![0]).toBeCloseTo(shaft![2], 6)
    expect(arrows(testPiece('FR-01', box(0, 0, 50, 40)))).toEqual([])
    expect(arrows(testPiece('FR-01', box(0, 0, 12, 5), { grain: 90 }))).toEqual([])
  })
})

function edges(loop: Loop): Segment[] {
  return loop.map(([bx, by], i) => {
    const [ax, ay] = loop.at(i - 1)!
    return [ax, ay, bx, by]
  })
}

function distance([x, y]: Point, [ax, ay, bx, by]: readonly number[]): number {
  const [ux, uy] = [bx! - ax!, by! - ay!]
  const t = Math.max(0, Math.min(1, ((x - ax!) * ux + (y - ay!) * uy) / (ux * ux + uy * uy)))
  return Math.hypot(x - ax! - t * ux, y - ay! - t * uy)
}
