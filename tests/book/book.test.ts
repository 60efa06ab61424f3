import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import type { Book } from '../../lib/book/book'
import { tolerance } from '../../lib/book/checks'
import { bookHtml } from '../../lib/book/html'
import { layOutBook } from '../../lib/book/layout'
import { bookOf } from '../../lib/book/make'
import { bookPdf } from '../../lib/book/pdf'
import { solidsOf } from '../../lib/fit/solid'
import { parseScale } from '../../lib/length/scale'
import type { Piece } from '../../lib/model/piece'
import type { Relation } from '../../lib/model/relation'
import { type Manifest, manifestOf } from '../../lib/revision/manifest'
import { ratesOf } from '../../lib/revision/rate'
import { builtInStock } from '../../lib/stock/catalogue'
import { NO_SURVEY } from '../../lib/survey/table'
import { box, hole, testPiece } from '../sheet/pieces'

const stocks = new Map(['folder', 'divider'].map((id) => [id, builtInStock(id)]))
const standing = (x: number) => ({ pose: { origin: [x, 0, 0], right: [0, 1, 0], up: [0, 0, 1] } }) as const
const LETTER = { width: 215.9, height: 279.4 }

const pieces: Piece[] = [
  testPiece('FR-01', box(-20, 0, 20, 30), { family: 'FR', assembly: 'hull/frames', stock: 'divider', openings: [hole(0, 15, 6)], ...standing(0) }),
  testPiece('FR-02', box(-20, 0, 20, 30), { family: 'FR', assembly: 'hull/frames', stock: 'divider', plies: 2, ...standing(40) }),
  testPiece('KE-01', box(0, 0, 60, 8), { family: 'KE', assembly: 'hull', stock: 'divider', notes: ['Bevel <both> ends & try.'], grain: 0 }),
  testPiece('SE-01', box(0, 0, 20, 30), {
    family: 'SE',
    assembly: 'cabin',
    copies: 3,
    scores: [
      { fold: 'valley', line: [[0, 10], [20, 10]], angle: 90 },
      { fold: 'mountain', line: [[0, 20], [20, 20]], angle: 78 },
    ],
  }),
]

function build(relations: Relation[] = [], more: Piece[] = []): Manifest {
  const all = [...pieces, ...more]
  return manifestOf(
    {
      name: 'tug',
      title: 'Tug',
      scale: parseScale('1:60'),
      stocks,
      pieces: all,
      assemblies: ['hull', 'hull/frames', 'cabin'],
      families: ['KE', 'FR', 'SE'],
      relations,
      survey: NO_SURVEY,
      findings: [],
    },
    [],
  )
}

const made = (manifest: Manifest): Book =>
  bookOf({
    manifest,
    solids: manifest.pieces.flatMap((piece) => solidsOf(piece, stocks.get(piece.stock)!)),
    rates: ratesOf([], new Map()),
  })

const words = (book: Book, chapter: string) => JSON.stringify(book.chapters.find(({ title }) => title === chapter)!.blocks)

describe('the build book', () => {
  test('has a chapter an assembly, those within another before it, cautions first', () => {
    const { chapters } = made(build())
    expect(chapters.map(({ title }) => title)).toEqual(['Before you start', 'hull/frames', 'hull', 'cabin'])
    expect(chapters[0]!.blocks[0]).toMatchObject({ kind: 'caution' })
    expect(JSON.stringify(chapters[0]!.blocks[0])).toMatch(/away from the hand.*eye protection.*makers’ instructions.*children/s)
  })

  test('follows what was said to come first', () => {
    const { chapters } = made(build([{ kind: 'sequence', first: 'cabin', second: 'hull' }]))
    expect(chapters.map(({ title }) => title)).toEqual(['Before you start', 'cabin', 'hull/frames', 'hull'])
  })

  test('of assemblies that wait for one another says which', () => {
    const cycle: Relation[] = [
      { kind: 'sequence', first: 'cabin', second: 'hull' },
      { kind: 'sequence', first: 'hull/frames', second: 'cabin' },
    ]
    expect(() => made(build(cycle))).toThrow(
      'assemblies wait for one another: cabin, then hull/frames, then cabin. take back one of the after(…) that say so',
    )
  })

  test('tells folds with direction, laminations with their thickness, joins, clearances and sizes', () => {
    const relations: Relation[] = [
      { kind: 'join', a: 'FR-01', b: 'KE-01', how: 'slot' },
      { kind: 'bond', a: ['FR-02'], b: ['SE-01', 'KE-01'] },
      { kind: 'seam', a: 'FR-01', b: 'FR-02', edges: ['ends', 'starts'] },
      { kind: 'clearance', name: 'hatch', a: ['FR-02'], b: ['KE-01'], least: 0.3 },
    ]
    const book = made(build(relations))
    expect(words(book, 'cabin')).toContain('["SE-01","1 × 90°","1 × 78°"')
    const frames = words(book, 'hull/frames')
    // Two plies of 0.45 mm and the glue between them.
    expect(frames).toContain('["FR-02","2","divider","0.92 mm"')
    expect(frames).toContain('FR slides into KE: dry first, then with glue.')
    expect(frames).toContain('FR is glued to SE, KE.')
    expect(frames).toContain('FR is butted edge to edge.')
    expect(words(made(build([{ kind: 'join', a: 'FR-01', b: 'FR-02', how: 'glue' }])), 'hull/frames')).toContain(
      'Pieces of FR are glued to one another.',
    )
    expect(frames).toContain('["clearance: hatch","0.30 mm or more"')
    expect(frames).toContain('["breadth over all","40.0 mm","±0.3 mm"')
    expect(frames).toContain('Openings before the outline: FR-01.')
    expect(words(book, 'hull')).toContain('KE-01: Bevel <both> ends & try.')
  })

  test('sizes are kept to as ISO 2768-1 class m has it', () => {
    expect([5, 25, 100, 380, 900].map(tolerance)).toEqual([0.1, 0.2, 0.3, 0.5, 0.8])
  })

  test('leaves nothing outside the page, and lays every table head again after a break', () => {
    const many = Array.from({ length: 60 }, (_, i) =>
      testPiece(`FR-${i + 10}`, box(0, 0, 30, 10), { family: 'FR', assembly: 'hull/frames', stock: 'divider' }),
    )
    const { pages } = layOutBook(made(build([], many)), LETTER)
    for (const { layers } of pages) {
      for (const mark of layers[0]!.marks) {
        const points = mark.kind === 'stroke' ? mark.lines.flatMap((line) => line.points) : mark.glyphs.map(({ at }) => at)
        for (const [x, y] of points) {
          expect(x).toBeGreaterThan(10)
          expect(x).toBeLessThan(LETTER.width - 8)
          expect(y).toBeGreaterThan(5)
          expect(y).toBeLessThan(LETTER.height - 8)
        }
      }
    }
    const heads = pages.filter(({ layers }) => layers[0]!.marks.some((mark) => mark.kind === 'lettering' && mark.text === 'fitted'))
    expect(heads.length).toBeGreaterThan(4)
  })
})

describe('as a PDF', () => {
  let folder: string
  beforeAll(() => (folder = mkdtempSync(join(tmpdir(), 'book-'))))
  afterAll(() => rmSync(folder, { recursive: true }))

  test('is sound, can be searched for a mark, and is the same bytes twice', () => {
    const book = made(build())
    const { content, pages } = bookPdf(book, LETTER)
    const file = join(folder, 'book.pdf')
    writeFileSync(file, content)
    expect(execFileSync('qpdf', ['--check', file], { encoding: 'utf8' })).toContain('No syntax or stream encoding errors found')
    const text = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' })
    expect(text).toMatch(/FR-02/)
    expect(text).toContain(`${pages} of ${pages}`)
    expect(text).toContain('Tug 1:60: build book')
    expect(Buffer.compare(Buffer.from(content), Buffer.from(bookPdf(book, LETTER).content))).toBe(0)
  })
})

test('as HTML it fetches nothing, runs nothing, escapes what authors write, and names every box', () => {
  const html = bookHtml(made(build()))
  expect(html).not.toMatch(/<script|https?:\/\/(?!www\.w3\.org)|\son[a-z]+=/)
  expect(html).toContain('Bevel &#60;both&#62; ends &#38; try.')
  const boxes = html.match(/<input type="checkbox"[^>]*>/g)!
  expect(boxes.length).toBeGreaterThan(10)
  expect(html.match(/<td><input type="checkbox">/g)).toBeNull()
  expect(html).toContain('aria-label="FR-02: fitted"')
})
