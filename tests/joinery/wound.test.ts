import { describe, expect, test } from 'vitest'
import { bench } from '../../lib/length/unit'
import { tube } from '../../lib/joinery/tube'
import { tyre } from '../../lib/joinery/tyre'
import { wound } from '../../lib/joinery/wound'
import { family, mirrored, single } from '../../lib/model/family'
import { stations } from '../../lib/model/stations'
import { boundsOf } from '../../lib/shape/measure'
import type { Piece } from '../../lib/model/piece'
import { catalogue } from '../../lib/stock/catalogue'
import { stock } from '../../lib/stock/stock'
import { findingOf, modelOf } from '../helpers/model'

const { thickness, glueLine } = catalogue.folder
const pitch = thickness.value + glueLine.value

const lengthOf = ({ outline }: Piece): number => boundsOf([outline]).maxX - boundsOf([outline]).minX
const widthOf = ({ outline }: Piece): number => boundsOf([outline]).maxY - boundsOf([outline]).minY
const total = (pieces: readonly Piece[]): number => pieces.reduce((sum, piece) => sum + lengthOf(piece), 0)

describe('something wound from strip', () => {
  const roller = () =>
    modelOf(() =>
      single('RO', () => wound({ stock: 'folder', core: bench.mm(6), outside: bench.mm(16), width: bench.mm(5) })),
    )

  // Area formula: mathforum.org/library/drmath/view/67031.html, one turn and its glue for the thickness.
  test('takes π(D² − d²)/4t of strip, in strips that the sheet takes', () => {
    const { pieces } = roller()
    expect(total(pieces)).toBeCloseTo((Math.PI * (16 ** 2 - 6 ** 2)) / (4 * pitch), 6)
    expect(pieces.map(({ mark }) => mark)).toEqual(['RO-1', 'RO-2', 'RO-3', 'RO-4'])
    const room = catalogue.folder.sheet.width - 2 * catalogue.folder.margin.left
    for (const piece of pieces) {
      expect(lengthOf(piece)).toBeLessThan(room)
      expect(widthOf(piece)).toBeCloseTo(5, 9)
    }
  })

  // novacalculator.com/roll-length-calculator: core 2, outside 5, 0.0008 thick: 20,617 in, 1875 wraps. The same roll at a
  // hundredth of the turns (0.08 thick) takes a hundredth of the strip.
  test('a published roll: 206.17 in over 18.75 turns', () => {
    const sheet = stock('belt', {
      like: 'folder',
      thickness: bench.in(0.08),
      glueLine: bench.mm(0),
      sheet: { name: 'roll', width: 6000, height: 6100 },
    })
    const found = modelOf(
      () => single('RO', () => wound({ stock: 'belt', core: bench.in(2), outside: bench.in(5), width: bench.in(1) })),
      {
        stocks: [sheet],
      },
    )
    expect(total(found.pieces) / 25.4).toBeCloseTo(206.17, 1)
    expect(found.pieces[0]!.notes[0]).toContain('18.8 turns in all')
  })

  test('its grain lies along the axis, across the strip', () => {
    for (const { grain } of roller().pieces) expect(grain).toBe(90)
  })

  test('marks every full turn, further apart outwards by 2π·t', () => {
    const [first] = roller().pieces
    const turns = first!.lines
      .filter(({ line }) => line.length === 2 && line[0]![0] === line[1]![0])
      .map(({ line }) => line[0]![0])
    const steps = turns.slice(1).map((x, i) => x - turns[i]!)
    expect(turns[0]).toBeCloseTo(Math.PI * (6 + pitch), 6)
    for (const [i, step] of steps.slice(1).entries()) expect(step - steps[i]!).toBeCloseTo(2 * Math.PI * pitch, 6)
  })

  test('joints lie at different places round the roll, as the notes say', () => {
    const starts = roller().pieces.map(({ notes }) => Number(/starts (\d+)° round/.exec(notes[0]!)![1]))
    expect(starts[0]).toBe(0)
    expect(new Set(starts).size).toBe(4)
  })

  test('on both sides of the model it is wound the other way', () => {
    const wheels = mirrored(
      family('WH', stations.at(bench.mm(5)), () =>
        wound({ stock: 'folder', core: bench.mm(6), outside: bench.mm(9), width: bench.mm(5) }),
      ),
    )
    const { pieces } = modelOf(() => wheels)
    expect(pieces.map(({ mark }) => mark)).toEqual(['WH-P01-1', 'WH-S01-1'])
    expect(boundsOf([pieces[0]!.outline]).maxX).toBeCloseTo(-boundsOf([pieces[1]!.outline]).minX, 9)
  })
})

describe('tyres', () => {
  test('a crowned tread narrows from strip to strip to the tread', () => {
    const size = { core: bench.mm(8), outside: bench.mm(14), width: bench.mm(5) }
    const { pieces } = modelOf(() =>
      single('TY', () => tyre({ stock: 'folder', ...size, tread: bench.mm(3), shoulder: bench.mm(11) })),
    )
    const last = pieces.at(-1)!
    const end = last.outline.filter(([x]) => Math.abs(x - boundsOf([last.outline]).maxX) < 1e-9).map(([, y]) => y)
    expect(widthOf(pieces[0]!)).toBeCloseTo(5, 9)
    expect(Math.max(...end) - Math.min(...end)).toBeCloseTo(3, 6)
    expect(total(pieces)).toBeCloseTo((Math.PI * (14 ** 2 - 8 ** 2)) / (4 * pitch), 6)
  })
})

describe('tubes', () => {
  // One turn is the butted ring: the middle of the wall is π(bore + t) round, glue line counted with the card.
  test('of one turn are as long round as the middle of their wall', () => {
    const { pieces } = modelOf(() =>
      single('TU', () => tube({ stock: 'folder', bore: bench.mm(12), length: bench.mm(40), turns: 1 })),
    )
    expect(lengthOf(pieces[0]!)).toBeCloseTo(Math.PI * (12 + pitch), 9)
    expect(widthOf(pieces[0]!)).toBeCloseTo(40, 9)
  })
})

describe('bad input', () => {
  test('a core as large as the roll', () => {
    const part = () =>
      single('RO', () => wound({ stock: 'folder', core: bench.mm(6), outside: bench.mm(6), width: bench.mm(5) }))
    expect(findingOf(() => modelOf(part))).toMatchObject({ id: 'winding', family: 'RO', found: 6, wanted: 6 })
  })

  test('a core tighter than the card curls dry is said, with the mark', () => {
    const part = () =>
      single('RO', () => wound({ stock: 'folder', core: bench.mm(4), outside: bench.mm(6), width: bench.mm(5) }))
    const said = modelOf(part).findings.find(({ id }) => id === 'tight-bend')!
    expect(said).toMatchObject({ severity: 'note', mark: 'RO-1', family: 'RO', found: 2 })
    expect(said.wanted).toBeCloseTo(catalogue.folder.fold.leastCurlAlong.value, 9)
  })
})
