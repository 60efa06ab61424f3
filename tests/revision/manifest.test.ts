import { describe, expect, test } from 'vitest'
import { FindingError } from '../../lib/finding/finding'
import { parseScale } from '../../lib/length/scale'
import { full } from '../../lib/length/unit'
import type { Model } from '../../lib/model/model'
import { fingerprint } from '../../lib/revision/fingerprint'
import { manifestOf, manifestText, type StockLayout, writeManifest } from '../../lib/revision/manifest'
import { readManifest } from '../../lib/revision/readManifest'
import { builtInStock } from '../../lib/stock/catalogue'
import { dimensions } from '../../lib/survey/dimensions'
import { joinSurveys } from '../../lib/survey/sheet'
import { drawing } from '../../lib/survey/source'
import { surveyTable } from '../../lib/survey/table'
import { hole, rib, seat } from '../sheet/pieces'

const [folder, divider] = [builtInStock('folder'), builtInStock('divider')]
const pieces = [
  { ...seat('SE-02-PAN', 100 / 9, 9), copies: 2, reads: ['scale', 'dimension:pitch'], notes: ['fold the tab first'] },
  {
    ...rib('WR-P01', 200 / 3),
    side: 'P' as const,
    stock: 'divider',
    pose: { origin: [1 / 3, 0, 0] as const, right: [1 / 3, Math.sqrt(8) / 3, 0] as const, up: [0, 0, 1] as const },
  },
  {
    ...seat('A "<&>" 中', 12, 9),
    openings: [hole(4, 4, 1)],
    texts: [{ text: 'UP\n', at: [3, 3] as const, size: 2, angle: 1 / 3 }],
  },
]
const model: Model = {
  name: 'sandpiper',
  title: 'Sandpiper',
  scale: parseScale('1:60'),
  stocks: new Map([folder, divider, builtInStock('index')].map((stock) => [stock.id, stock])),
  pieces,
  assemblies: ['wing', 'wing/ribs'],
  relations: [
    { kind: 'bond', a: ['WR-P01'], b: ['WR-P02', 'WR-P03'] },
    { kind: 'join', a: 'WR-P01', b: 'WR-P02', how: 'glue' },
    { kind: 'seam', a: 'WR-P01', b: 'WR-P02', edges: ['first', 'ends'] },
  ],
  survey: surveyTable(
    joinSurveys([
      dimensions({
        span: { value: full.ftIn(80, 1 / 3), within: full.mm(20), source: drawing('sheet 2'), note: 'over "the" floats' },
        halfSpan: { from: ({ span }) => span.times(1 / 2) },
      }),
    ]),
  ),
  findings: [],
}
const layouts: StockLayout[] = [
  {
    stock: folder,
    sheets: 2,
    placements: [
      { id: 'SE-02-PAN#2', sheet: 1, x: 20, y: 40, turn: 90 },
      { id: 'SE-02-PAN', sheet: 0, x: 10.12345, y: 40, turn: 0 },
      { id: 'A "<&>" 中', sheet: 0, x: 50, y: 40, turn: 100 / 3 },
    ],
  },
  { stock: divider, sheets: 1, placements: [{ id: 'WR-P01', sheet: 0, x: 20, y: 40, turn: 180 }] },
]
const text = manifestText(model, layouts)

function finding(work: () => unknown) {
  try {
    work()
  } catch (error) {
    if (error instanceof FindingError) return error.finding
    throw error
  }
  throw new Error('nothing was thrown')
}

describe('manifest', () => {
  test('reads back as it was written, and writes the same again', () => {
    const read = readManifest(text)
    expect(read).toEqual(manifestOf(model, layouts))
    expect(writeManifest(read)).toBe(text)
  })

  test('keeps what a tile of something folded was cut out of', () => {
    const of = {
      outline: [[0, 0], [40, 0], [40, 20], [0, 20]] as const,
      openings: [[[2, 2], [2, 4], [4, 4]] as const],
      scores: [{ fold: 'valley' as const, line: [[20, 0], [20, 20]] as const, angle: 90 }],
      base: [5, 5] as const,
      out: -0.29,
    }
    const made = manifestOf({ ...model, pieces: [{ ...pieces[0]!, form: { kind: 'folded', of } }] }, [])
    expect(readManifest(writeManifest(made)).pieces[0]!.form).toEqual({ kind: 'folded', of })
  })

  test('is JSON with a piece on each line, sorted by mark, stocks by id, unused stock left out', () => {
    const data = JSON.parse(text)
    expect(data.schema).toBe(2)
    expect(data.pieces.map(({ mark }: { mark: string }) => mark)).toEqual(['A "<&>" 中', 'SE-02-PAN', 'WR-P01'])
    expect(data.stocks.map(({ id, sheets }: { id: string; sheets: number }) => [id, sheets])).toEqual([
      ['divider', 1],
      ['folder', 2],
    ])
    const lines = text.split('\n').filter((row) => row.startsWith('{"mark"'))
    expect(lines.map((row) => JSON.parse(row.replace(/,$/, '')).mark)).toEqual(['A "<&>" 中', 'SE-02-PAN', 'WR-P01'])
  })

  test('rounds lengths and angles to 0.001, directions to a millionth', () => {
    const [, seats, wing] = readManifest(text).pieces
    expect(seats!.outline[1]).toEqual([11.111, 0])
    expect(seats!.placements[0]).toEqual({ id: 'SE-02-PAN', sheet: 0, x: 10.123, y: 40, turn: 0 })
    expect(wing!.pose).toEqual({ origin: [0.333, 0, 0], right: [0.333333, 0.942809, 0], up: [0, 0, 1] })
    expect(readManifest(text).pieces[0]!.placements[0]!.turn).toBe(33.333333)
  })

  test('copies have their places in order, and names read stand sorted', () => {
    const seats = readManifest(text).pieces[1]!
    expect(seats.placements.map(({ id }) => id)).toEqual(['SE-02-PAN', 'SE-02-PAN#2'])
    expect(seats.reads).toEqual(['dimension:pitch', 'scale'])
  })

  test('the geometry it holds has the fingerprint that stands beside it', () => {
    for (const piece of readManifest(text).pieces) expect(fingerprint(piece)).toBe(piece.fingerprint)
  })

  test('does not hang on the order in which pieces and placements come', () => {
    const turned = layouts.toReversed().map((layout) => ({ ...layout, placements: layout.placements.toReversed() }))
    expect(manifestText({ ...model, pieces: pieces.toReversed() }, turned)).toBe(text)
  })

  test.each([0.1, 0.5, 0.9, 0.9995])('cut off at %d of its length, says so', (share) => {
    const torn = text.slice(0, Math.floor(text.length * share))
    const { text: said, remedy, severity } = finding(() => readManifest(torn, 'out/m/manifest.json'))
    expect(severity).toBe('error')
    expect(said).toMatch(/^out\/m\/manifest.json is cut off after \d+ characters$/)
    expect(remedy).toBe('take it from git, or build the model again')
  })

  test('cut off just after a piece, says so too', () => {
    expect(finding(() => readManifest(text.slice(0, text.indexOf('},\n{"mark"') + 1))).text).toMatch(/is cut off after/)
  })

  test('holds what the survey says, by name, a dimension a line', () => {
    expect(readManifest(text).dimensions).toEqual([
      { name: 'halfSpan', value: 12196.233, unit: 'ftIn', within: 10, worst: 10, note: '', from: ['span'] },
      {
        name: 'span',
        value: 24392.467,
        unit: 'ftIn',
        within: 20,
        worst: 20,
        source: { kind: 'drawing', title: 'sheet 2' },
        note: 'over "the" floats',
        from: [],
      },
    ])
    expect(text).toContain('\n"dimensions":[\n{"name":"halfSpan",')
  })

  test('from version 1, which knew no relations and no survey, is still read', () => {
    const { relations, dimensions, ...old } = JSON.parse(text)
    expect(relations).toHaveLength(3)
    expect(dimensions).toHaveLength(2)
    const read = readManifest(JSON.stringify({ ...old, schema: 1 }))
    expect(read).toEqual({ ...readManifest(text), relations: [], dimensions: [] })
  })

  test('from a newer version, names both versions', () => {
    const newer = text.replace('{"schema":2', '{"schema":7')
    expect(finding(() => readManifest(newer))).toMatchObject({
      text: 'manifest.json is of schema version 7, this program reads up to 2',
      remedy: 'install the version of cardwright that wrote it, or build the model anew',
      found: 7,
      wanted: 2,
    })
  })

  test.each([
    ['', 'manifest.json is not JSON: Unexpected end of JSON input'],
    ['<svg/>', /^manifest.json is not JSON: Unexpected token/],
    ['[]', 'is not a manifest: it names no schema'],
    ['null', 'is not a manifest: at the top expected Object, found null'],
    ['{"schema":"1"}', 'is not a manifest: at schema expected 2, found "1"'],
    [text.replace('"plies":1', '"plies":-1'), 'is not a manifest: at pieces.0.plies expected >=0, found -1'],
    [
      text.replace('"outline":[[0,0]', '"outline":[[0,"0"]'),
      'is not a manifest: at pieces.0.outline expected a list of points, found Array',
    ],
    [
      text.replace('"fold":"valley"', '"fold":"ridge"'),
      'is not a manifest: at pieces.0.scores.0.fold expected ("valley" | "mountain"), found "ridge"',
    ],
  ])('of other content %#, says what is wrong where', (content, said) => {
    expect(finding(() => readManifest(content)).text).toMatch(said)
  })

  test('a placement of a piece that the model does not have is refused', () => {
    const stray = [{ ...layouts[0]!, placements: [{ id: 'WR-S01', sheet: 0, x: 0, y: 0, turn: 0 }] }]
    expect(() => manifestOf(model, stray)).toThrow('placement of "WR-S01", a piece that the model does not have')
  })
})
