import { DOMParser, type Element as XmlElement } from '@xmldom/xmldom'
import fc from 'fast-check'
import { makeAbsolute, parseSVG } from 'svg-path-parser'
import { describe, expect, test } from 'vitest'
import type { Piece } from '../../lib/model/piece'
import type { Point } from '../../lib/shape/point'
import { type Drawing, svgOf } from '../../lib/sheet/index'
import { xmlId } from '../../lib/sheet/xml'
import { box, hole, line, moved, rib, seat, testPiece } from './pieces'
import { drawn, stock } from './sheet'

/** Reads SVG as XML, strictly. */
function parse(svg: string): XmlElement {
  const onError = (level: string, message: string) => {
    // It takes the character that stands for what XML cannot hold for a sign of a wrong encoding.
    if (level === 'warning' && message.startsWith('Unicode replacement character')) return
    throw new Error(`${level}: ${message}`)
  }
  return new DOMParser({ onError }).parseFromString(svg, 'image/svg+xml').documentElement!
}

function groups(root: XmlElement): XmlElement[] {
  return [...root.getElementsByTagName('g')].filter((group) => group.getAttribute('class') === 'piece')
}

/** Corners of every run of a group's paths of a class, y up again. */
function runs(group: XmlElement, className: string, height: number): Point[][] {
  const found: Point[][] = []
  for (const path of group.getElementsByTagName('path')) {
    if (!path.getAttribute('class')!.split(' ').includes(className)) continue
    for (const { code, x, y } of makeAbsolute(parseSVG(path.getAttribute('d')!))) {
      if (code === 'M') found.push([])
      if (code !== 'Z') found.at(-1)!.push([x, height - y])
    }
  }
  return found
}

function titles(root: XmlElement): string[] {
  return [...root.getElementsByTagName('title')].map((title) => title.textContent!)
}

/** Both ways: every corner of one has a corner of the other within the distance. */
function expectSame(found: readonly Point[], wanted: readonly Point[], within: number): void {
  expect(found).toHaveLength(wanted.length)
  for (const [i, [x, y]] of wanted.entries()) {
    expect(Math.abs(found[i]![0] - x)).toBeLessThanOrEqual(within)
    expect(Math.abs(found[i]![1] - y)).toBeLessThanOrEqual(within)
  }
}

function svgs(drawings: readonly Drawing[]): XmlElement[] {
  return drawings.map((drawing) => parse(svgOf(drawing)))
}

const AWKWARD = [...'<>&"\'/\\#_-. \n\0A7é中', ']]>']
const ODD = fc.oneof(
  fc.string({ unit: 'binary', minLength: 1, maxLength: 12 }),
  fc.string({ unit: fc.constantFrom(...AWKWARD), minLength: 1, maxLength: 12 }),
)

describe('SVG of a sheet', () => {
  test('has its size in mm, and a viewBox in mm', () => {
    const [root] = svgs(drawn([rib('WR-P01', 60)]))
    expect(root!.getAttribute('width')).toBe(`${stock.sheet.width}mm`)
    expect(root!.getAttribute('height')).toBe(`${stock.sheet.height}mm`)
    expect(root!.getAttribute('viewBox')).toBe(`0 0 ${stock.sheet.width} ${stock.sheet.height}`)
  })

  test('every piece is measured back within 0.002 mm, wherever it lies and however it is turned', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 30, max: 90, noNaN: true }),
        fc.oneof(fc.constantFrom(0, 90, 180, 270), fc.double({ min: 0, max: 360, noNaN: true })),
        fc.double({ min: 100, max: 120, noNaN: true }),
        fc.double({ min: 130, max: 170, noNaN: true }),
        (chord, turn, x, y) => {
          const piece = { ...rib('WR-P01', chord), scores: seat('S', chord / 6, chord / 6).scores }
          const height = stock.sheet.height
          const [root] = svgs(drawn([piece], { placements: [{ id: piece.mark, sheet: 0, x, y, turn }] }))
          const group = groups(root!)[0]!
          const cuts = [piece.outline, ...piece.openings.map(({ loop }) => loop)]
          const found = runs(group, 'cut', height)
          expect(found).toHaveLength(cuts.length)
          cuts.forEach((loop, i) => expectSame(found[i]!, moved(loop, turn, x, y), 0.002))
          for (const fold of ['valley', 'mountain'] as const) {
            const wanted = piece.scores.filter((score) => score.fold === fold)
            wanted.forEach(({ line: folded }, i) =>
              expectSame(runs(group, fold, height)[i]!, moved(folded, turn, x, y), 0.002),
            )
          }
          expectSame(runs(group, 'datum', height)[0]!, moved(piece.lines[0]!.line, turn, x, y), 0.002)
        },
      ),
      { numRuns: 60 },
    )
  })

  test('groups carry id, stock, layers and fingerprint, one for each copy, sorted by mark', () => {
    const pieces = [seat('SE-02', 12, 9), { ...seat('SE-01', 12, 9), copies: 11, plies: 2 }]
    const ids = ['SE-02', ...Array.from({ length: 11 }, (_, i) => (i === 0 ? 'SE-01' : `SE-01#${i + 1}`))]
    const placements = ids.map((id, i) => ({ id, sheet: 0, x: 15 + 14 * i, y: 60, turn: 0 }))
    const [root] = svgs(drawn(pieces, { placements, fingerprints: new Map([['SE-01', 'ab12']]) }))
    const found = groups(root!)
    expect(found.map((group) => group.getAttribute('id'))).toEqual([
      'SE-01',
      ...Array.from({ length: 10 }, (_, i) => `SE-01.${i + 2}`),
      'SE-02',
    ])
    expect(found[1]!.getAttribute('data-mark')).toBe('SE-01')
    expect(found[1]!.getAttribute('data-stock')).toBe('folder')
    expect(found[1]!.getAttribute('data-plies')).toBe('2')
    expect(found[1]!.getAttribute('data-fingerprint')).toBe('ab12')
    expect(titles(found[1]!)).toEqual(['SE-01 ×2'])
  })

  test('paths of a piece are of the classes cut, valley, mountain and mark', () => {
    const lines = (['datum', 'align', 'glue'] as const).map((kind) => line(kind, box(1, 1, 3, 3)))
    const piece = { ...seat('SE-01', 12, 9), lines }
    const [root] = svgs(drawn([piece]))
    const classes = [...groups(root!)[0]!.getElementsByTagName('path')].map((path) => path.getAttribute('class'))
    const drawnLines = ['mark align', 'mark datum', 'mark glue', 'mark text']
    expect(classes.toSorted()).toEqual(['cut', ...drawnLines, 'mountain', 'valley'])
  })

  test('coordinates have three decimals at most', () => {
    const [drawing] = drawn([rib('WR-P01', 100 / 3)])
    expect(svgOf(drawing!)).not.toMatch(/\.\d{4}/)
    expect(svgOf(drawing!)).not.toMatch(/NaN|undefined|Infinity|e-\d/)
  })

  test('the same drawing gives the same text', () => {
    const pieces = [rib('WR-P01', 60), seat('SE-01', 12, 9)]
    expect(drawn(pieces).map(svgOf)).toEqual(drawn(pieces).map(svgOf))
  })

  test('any mark gives valid XML with an id of its own, and the mark can be read back', () => {
    fc.assert(
      fc.property(fc.uniqueArray(ODD, { minLength: 1, maxLength: 6 }), (marks) => {
        const pieces = marks.map((mark) => testPiece(mark, box(0, 0, 30, 12)))
        const found = svgs(drawn(pieces)).flatMap(groups)
        const ids = found.map((group) => group.getAttribute('id')!)
        expect(new Set(ids).size).toBe(marks.length)
        // NCName of Namespaces in XML 1.0, the ASCII part of it.
        for (const id of ids) expect(id).toMatch(/^[A-Za-z_][A-Za-z0-9_.-]*$/)
        // XML turns white space in an attribute into spaces (XML 1.0, 3.3.3).
        const readable = (text: string) => text.replace(/[\t\n\r]/g, ' ')
        const possible = (text: string) =>
          // oxlint-disable-next-line no-control-regex
          readable(text.replace(/[\u0000-\u0008\u000B\u000C\u000E-\u001F\uD800-\uDFFF\uFFFE\uFFFF]/gu, '\uFFFD'))
        expect(found.map((group) => readable(group.getAttribute('data-mark')!)).toSorted()).toEqual(
          marks.map(possible).toSorted(),
        )
      }),
      { numRuns: 200 },
    )
  })

  test('a mark of 10,000 characters is whole in id and title, and short on the sheet', () => {
    const mark = `WR-${'X<&"/'.repeat(2000)}-P07`
    const [drawing] = drawn([testPiece(mark, box(0, 0, 60, 20))])
    const group = groups(parse(svgOf(drawing!)))[0]!
    expect(group.getAttribute('id')).toBe(xmlId(mark))
    expect(titles(group)).toEqual([mark])
    expect(svgOf(drawing!).length).toBeLessThan(300_000)
    for (const [x] of runs(group, 'text', stock.sheet.height).flat()) expect(x).toBeLessThan(75)
  })

  test('ids of different marks differ, those of copies too', () => {
    const marks = ['A', 'A.2', 'A#2', 'A_', 'A__', 'A_23_2', '_', '', '7', '-7', 'é', 'Wr', 'wr', '.', '#']
    expect(new Set(marks.map(xmlId)).size).toBe(marks.length)
    expect(xmlId('WR-P07')).toBe('WR-P07')
  })

  test('openings of a piece in the same path run the other way, so that the card between can be filled', () => {
    const [root] = svgs(drawn([testPiece('FR-01', box(0, 0, 40, 40), { openings: [hole(20, 20, 10)] })]))
    const [outline, opening] = runs(groups(root!)[0]!, 'cut', stock.sheet.height)
    const area = (loop: readonly Point[]) =>
      loop.reduce((sum, [x, y], i) => sum + loop.at(i - 1)![0] * y - x * loop.at(i - 1)![1], 0) / 2
    // The disc as a 48-gon: n r² sin(2π/n) / 2.
    expect(area(outline!)).toBeCloseTo(1600, 2)
    expect(area(opening!)).toBeCloseTo((-48 * 100 * Math.sin((2 * Math.PI) / 48)) / 2, 1)
  })
})

test('a placement of a piece that was not given is refused', () => {
  const piece: Piece = testPiece('A', box(0, 0, 20, 20))
  expect(() => drawn([piece], { placements: [{ id: 'B', sheet: 0, x: 20, y: 60, turn: 0 }] })).toThrow(
    'placement of "B", a piece that was not given',
  )
  expect(() => drawn([piece], { placements: [{ id: 'A', sheet: 3, x: 20, y: 60, turn: 0 }], sheets: 2 })).toThrow(
    '"A" is placed on sheet 4 of 2',
  )
})
