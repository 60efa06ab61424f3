import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { PNG } from 'pngjs'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { calibrate } from '../../lib/sheet/calibration'
import { type Drawing, svgOf } from '../../lib/sheet/index'
import { pdfWriter } from '../../lib/sheet/pdf'
import { printerOf } from '../../lib/sheet/printers'
import { sheetSize } from '../../lib/stock/sheetSize'
import { box, hole, rib, testPiece } from './pieces'
import { drawn, segmentsOf, stock } from './sheet'

/**
 * The document as readers and renderers that know nothing of ours take it: qpdf for its structure, poppler for its text
 * and its dots.
 */
const folder = mkdtempSync(join(tmpdir(), 'sheet-pdf-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const a5 = { ...stock, sheet: sheetSize('A5') }
const { width, height } = a5.sheet
const pieces = [
  { ...testPiece('FR-01', box(0, 0, 80, 40), { openings: [hole(20, 10, 8, 720)] }), assembly: 'hull/frames' },
  { ...rib('WR-P07', 70), assembly: 'wing' },
  { ...testPiece('SE-P02-HEAD', box(0, 0, 5, 3)), assembly: 'hull' },
]
const placements = [
  { id: 'FR-01', sheet: 0, x: 30, y: 90, turn: 0 },
  { id: 'SE-P02-HEAD', sheet: 0, x: 60, y: 180, turn: 0 },
  { id: 'WR-P07', sheet: 1, x: 40, y: 100, turn: 27 },
]
const drawings = drawn(pieces, { stock: a5, placements, title: 'Škuna «Möwe»', sheets: 2 })
const set = { title: 'Škuna «Möwe» 1:60', stock: a5, assemblies: ['hull', 'hull/frames', 'wing'], dpi: 100 }

function pdfOf(pages: readonly Drawing[]): Uint8Array {
  const writer = pdfWriter(set)
  pages.forEach((drawing, i) => writer.add({ draw: () => drawing, content: () => String(i) }, `folder-0${i + 1}`))
  return writer.files()[0]!.content as Uint8Array
}

function run(program: string, ...words: string[]): string {
  return execFileSync(`/usr/bin/${program}`, words, { cwd: folder, encoding: 'utf8', maxBuffer: 1 << 26 })
}

/** Dots of grey, 0 for black. */
interface Picture {
  readonly width: number
  readonly height: number
  readonly grey: Uint8Array
}

/** A page by poppler, as a portable greymap: a line `P5`, size and depth, then the dots. */
function render(file: string, page: number, dpi: number): Picture {
  run('pdftoppm', '-r', `${dpi}`, '-f', `${page}`, '-l', `${page}`, '-singlefile', '-gray', file, 'page')
  const bytes = readFileSync(join(folder, 'page.pgm'))
  const [head, columns, rows] = /^P5\s(\d+) (\d+)\s255\s/.exec(bytes.toString('latin1', 0, 40))!
  return { width: Number(columns), height: Number(rows), grey: bytes.subarray(head.length) }
}

function greyOf(file: string): Picture {
  const { width, height, data } = PNG.sync.read(readFileSync(file))
  return { width, height, grey: data.filter((_, i) => i % 4 === 0) }
}

function ink({ grey, width: columns }: Picture, column: number, row: number): number {
  return 1 - grey[row * columns + column]! / 255
}

/** Middles, mm, of the runs of ink along a row or column of dots. */
function inkAlong(picture: Picture, axis: 'x' | 'y', across: number, from: number, to: number, dot: number): number[] {
  const middles: number[] = []
  let [sum, weight] = [0, 0]
  for (let i = Math.floor(from / dot); i <= to / dot; i++) {
    const line = Math.floor(across / dot)
    const black = axis === 'x' ? ink(picture, i, line) : ink(picture, line, i)
    if (black > 0.1) {
      sum += black * (i + 0.5)
      weight += black
    } else if (weight > 0) {
      middles.push((sum / weight) * dot)
      ;[sum, weight] = [0, 0]
    }
  }
  return middles
}

beforeAll(() => writeFileSync(join(folder, 'folder.pdf'), pdfOf(drawings)))

describe('as a document', () => {
  test('is sound by qpdf', () => {
    expect(run('qpdf', '--check', 'folder.pdf')).toContain('No syntax or stream encoding errors found')
  })

  test('is the same bytes every time, with no date in it', () => {
    expect(Buffer.from(pdfOf(drawings)).equals(readFileSync(join(folder, 'folder.pdf')))).toBe(true)
    expect(run('pdfinfo', 'folder.pdf')).not.toMatch(/Date/)
  })

  test('has pages of the size of the paper, in every box, to a thousandth of a millimetre', () => {
    const boxes = [...run('pdfinfo', '-box', '-f', '1', '-l', '2', 'folder.pdf').matchAll(/(Media|Crop|Trim)Box: +([\d. ]+)/g)]
    expect(boxes).toHaveLength(6)
    const { objects } = json()
    for (const page of pagesOf(objects)) {
      for (const name of ['/MediaBox', '/CropBox', '/TrimBox']) {
        const [x, y, w, h] = page[name] as number[]
        expect([x, y]).toEqual([0, 0])
        expect(Math.abs((w! / 72) * 25.4 - width)).toBeLessThan(0.001)
        expect(Math.abs((h! / 72) * 25.4 - height)).toBeLessThan(0.001)
      }
    }
  })

  test('tells viewers not to scale, what its pages are called and what it is', () => {
    const { catalog, labels, objects } = json()
    expect(resolve(objects, catalog['/ViewerPreferences'])).toEqual({
      '/DisplayDocTitle': true,
      '/PickTrayByPDFSize': true,
      '/PrintScaling': '/None',
    })
    expect(labels).toEqual(['folder-01', 'folder-02'])
    expect(run('pdfinfo', 'folder.pdf')).toMatch(/^Title: +Škuna «Möwe» 1:60: manila folder card, 11 pt$/m)
  })

  test('has bookmarks by assembly in build order, each piece on its page', () => {
    const outline = (items: readonly Outline[]): unknown[] =>
      items.map(({ title, destpageposfrom1: page, kids }) => [title, page, ...(kids.length > 0 ? [outline(kids)] : [])])
    expect(outline(json().outlines)).toEqual([
      ['hull', 1, [['frames', 1, [['FR-01', 1]]], ['SE-P02-HEAD', 1]]],
      ['wing', 2, [['WR-P07', 2]]],
    ])
  })

  test('embeds its font', () => {
    const [, , ...fonts] = run('pdffonts', 'folder.pdf').trim().split('\n')
    expect(fonts.map((line) => / +yes +yes +yes +/.test(line))).toEqual(fonts.map(() => true))
    expect(fonts.length).toBeGreaterThan(0)
  })

  test.each(['FR-01', 'WR-P07', 'SE-P02-HEAD', 'Škuna «Möwe» 1:60'])('gives %s to whoever searches or copies', (mark) => {
    expect(run('pdftotext', 'folder.pdf', '-').split('\n')).toContain(mark)
  })
})

describe('on paper, at 600 dpi', () => {
  const DOT = 25.4 / 600
  let picture: Picture
  beforeAll(() => {
    picture = render('folder.pdf', 1, 600)
  })
  const bars = segmentsOf(drawings[0]!.furniture, ['bar']).filter(([ax, ay, bx, by]) => Math.hypot(bx - ax, by - ay) > 50)

  test('bars are 100 mm across and up within 0.05 mm', () => {
    const [ax, ay, bx] = bars.find((bar) => bar[1] === bar[3])!
    const across = inkAlong(picture, 'x', height - ay - 0.8, ax - 1, bx + 1, DOT)
    const [ux, uy, , vy] = bars.find((bar) => bar[0] === bar[2])!
    const up = inkAlong(picture, 'y', ux + 0.8, height - vy - 1, height - uy + 1, DOT)
    expect([across, up].map((ticks) => ticks.length)).toEqual([2, 2])
    for (const [from, to] of [across, up]) expect(Math.abs(to! - from! - 100)).toBeLessThan(0.05)
  })

  test('cuts are where the geometry has them within 0.05 mm', () => {
    const cuts = inkAlong(picture, 'x', height - 95, 29, 111, DOT)
    const row = (Math.floor((height - 95) / DOT) + 0.5) * DOT
    const half = Math.sqrt(64 - (height - row - 100) ** 2)
    const wanted = [0, 20 - half, 20 + half, 80].map((x) => x + 30)
    expect(cuts).toHaveLength(4)
    cuts.forEach((at, i) => expect(Math.abs(at - wanted[i]!)).toBeLessThan(0.05))
  })
})

test('a browser shows the SVG as the PDF is printed: no dot of ink without ink within 0.25 mm on the other', () => {
  const dpi = 192
  const svg = join(folder, 'sheet.svg')
  writeFileSync(svg, svgOf(drawings[1]!))
  const window = [width, height].map((mm) => Math.ceil((mm / 25.4) * 96)).join(',')
  const quiet = ['--disable-background-networking', '--disable-component-update', '--disable-sync', '--no-first-run']
  execFileSync('/usr/bin/chromium', [
    '--headless', '--no-sandbox', '--disable-gpu', '--hide-scrollbars', ...quiet, `--user-data-dir=${join(folder, 'profile')}`,
    '--force-device-scale-factor=2', `--window-size=${window}`, `--screenshot=${join(folder, 'svg.png')}`, `file://${svg}`,
  ], { stdio: 'ignore' })
  const [ours, theirs] = [render('folder.pdf', 2, dpi), greyOf(join(folder, 'svg.png'))]
  expect(unmatched(ours, theirs)).toBe(0)
  expect(unmatched(theirs, ours)).toBe(0)
}, 120_000)

/** Dots well inked in one picture with none inked at all within two dots in the other. */
function unmatched(a: Picture, b: Picture): number {
  let count = 0
  const [columns, rows] = [Math.min(a.width, b.width) - 2, Math.min(a.height, b.height) - 2]
  for (let row = 2; row < rows; row++) {
    for (let column = 2; column < columns; column++) {
      if (ink(a, column, row) < 0.5) continue
      let near = false
      for (let dy = -2; dy <= 2 && !near; dy++) {
        for (let dx = -2; dx <= 2 && !near; dx++) near = ink(b, column + dx, row + dy) > 0.2
      }
      if (!near) count++
    }
  }
  return count
}

test('made true for a printer, the bar is as much longer as the printer shortens it', () => {
  const readings = [
    { measure: 'x', value: 165 * 0.98, by: 'calipers' },
    { measure: 'y', value: 220, by: 'calipers' },
  ] as const
  expect(calibrate(readings).scale[0]).toBeCloseTo(0.98, 9)
  const printer = printerOf('den', '2026-11-25', readings)
  const [page] = drawn(pieces.slice(0, 1), { stock: a5, placements: placements.slice(0, 1), printer })
  writeFileSync(join(folder, 'true.pdf'), pdfOf([page!]))
  const picture = render('true.pdf', 1, 600)
  const cuts = inkAlong(picture, 'x', height - 95, 28, 113, 25.4 / 600)
  const onPage = (x: number) => width / 2 + (x - width / 2) / 0.98
  expect(Math.abs(cuts[0]! - onPage(30))).toBeLessThan(0.05)
  expect(Math.abs(cuts.at(-1)! - onPage(110))).toBeLessThan(0.05)
  expect(svgOf(page!)).toContain('<g transform="matrix(1.020408163 0 0 1 ')
  expect(run('pdftotext', 'true.pdf', '-')).toContain('true on printer den to ±0.07 mm in 200 mm along its edges')
})

interface Outline {
  readonly title: string
  readonly destpageposfrom1: number
  readonly kids: readonly Outline[]
}

type Objects = Readonly<Record<string, { readonly value?: Readonly<Record<string, unknown>> }>>

function json() {
  const data = JSON.parse(run('qpdf', '--json', 'folder.pdf'))
  const objects = data.qpdf[1] as Objects
  const root = (objects['trailer'] as { value: Record<string, unknown> }).value['/Root']
  const labels = data.pagelabels.map(({ label }: { label: Record<string, string> }) => label['/P']!.replace(/^u:/, ''))
  return { objects, outlines: data.outlines as Outline[], labels, catalog: resolve(objects, root) as Record<string, unknown> }
}

function resolve(objects: Objects, reference: unknown): unknown {
  return objects[`obj:${String(reference)}`]?.value ?? reference
}

function pagesOf(objects: Objects): Readonly<Record<string, unknown>>[] {
  return Object.values(objects).flatMap(({ value }) => (value?.['/Type'] === '/Page' ? [value] : []))
}
