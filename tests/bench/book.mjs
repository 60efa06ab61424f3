// A build book of 300 pages and more: 5,400 pieces in 20 assemblies, each standing, with openings, folds and laminations.
import { createRequire } from 'node:module'
import { checksum } from './measure.mjs'

const load = createRequire(import.meta.url)
const { bookOf } = load('../../dist/book/make.js')
const { bookPdf } = load('../../dist/book/pdf.js')
const { bookHtml } = load('../../dist/book/html.js')
const { solidsOf } = load('../../dist/fit/solid.js')
const { ratesOf } = load('../../dist/revision/rate.js')
const { builtInStock } = load('../../dist/stock/catalogue.js')

const ASSEMBLIES = 20
const EACH = 270

/** Seconds, pages, megabytes held at most, and a checksum of the PDF. */
function bigBook() {
  const manifest = model()
  const [stock] = manifest.stocks
  const start = performance.now()
  const solids = manifest.pieces.flatMap((piece) => solidsOf(piece, stock))
  const book = bookOf({ manifest, solids, rates: ratesOf([], new Map()) })
  const { content, pages } = bookPdf(book, { width: 215.9, height: 279.4 })
  const html = bookHtml(book)
  const seconds = Number(((performance.now() - start) / 1000).toFixed(2))
  return { pages, seconds, megabytes: Math.round(process.resourceUsage().maxRSS / 1024), htmlBytes: html.length, checksum: checksum(content) }
}

function model() {
  const assemblies = Array.from({ length: ASSEMBLIES }, (_, i) => `section ${i + 1}`)
  const pieces = assemblies.flatMap((assembly, a) => Array.from({ length: EACH }, (_, i) => piece(assembly, a, i)))
  return {
    schema: 2,
    model: 'big',
    title: 'Big',
    scale: { ratio: 60, name: '1:60' },
    assemblies,
    families: ['FR', 'SE', 'RB'],
    relations: [],
    dimensions: [],
    stocks: [{ ...builtInStock('folder'), sheets: 100 }],
    pieces,
  }
}

/** Rings, folded boxes' blanks and laminated ribs in turn, each a little larger than the one before. */
function piece(assembly, a, i) {
  const family = ['FR', 'SE', 'RB'][i % 3]
  const width = 20 + ((i * 7 + a * 3) % 25)
  const ring = Array.from({ length: 32 }, (_, k) => [width / 2 + width * 0.3 * Math.cos((k * Math.PI) / -16), 10 + 6 * Math.sin((k * Math.PI) / -16)])
  return {
    mark: `${family}-${String(a + 1).padStart(2, '0')}${String(i).padStart(3, '0')}`,
    family,
    side: '',
    station: i + 1,
    assembly,
    stock: 'folder',
    plies: family === 'RB' ? 2 : 1,
    copies: 1,
    outline: [[0, 0], [width, 0], [width, 20], [0, 20]],
    openings: family === 'FR' ? [{ kind: 'opening', loop: ring }] : [],
    scores: family === 'SE' ? [{ fold: 'valley', line: [[0, 8], [width, 8]], angle: 90 }] : [],
    lines: [],
    texts: [],
    pose: { origin: [i * 4, a * 60, 0], right: [0, 1, 0], up: [0, 0, 1] },
    ...(family === 'SE' && { form: { kind: 'folded', base: [1, 1] } }),
    reads: [],
    notes: [],
    fingerprint: '0'.repeat(16),
    placements: [{ id: 'x', sheet: i % 90, x: 0, y: 0, turn: 0 }],
  }
}

process.stdout.write(JSON.stringify(bigBook()))
