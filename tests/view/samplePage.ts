import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Finding } from '../../lib/finding/finding'
import { solidsOf } from '../../lib/fit/solid'
import type { Piece } from '../../lib/model/piece'
import { builtInStock } from '../../lib/stock/catalogue'
import { documentOf, type DocumentInput } from '../../lib/view/document'
import { enclosedPage } from '../../lib/view/html'
import { packSolids } from '../../lib/view/pack'
import { box, testPiece } from '../sheet/pieces'

const STOCKS = [builtInStock('divider'), builtInStock('folder')]

/** A page in one file, with the bundle in `dist`. */
export function pageOfPieces(pieces: readonly Piece[], rest: Partial<DocumentInput> = {}): string {
  const stocks = new Map(STOCKS.map((stock) => [stock.id, stock]))
  const standing = pieces.filter(({ pose }) => pose)
  const data = documentOf({
    name: 'tug',
    title: 'Tug',
    scale: { name: '1:60', ratio: 60 },
    assemblies: [...new Set(pieces.map(({ assembly }) => assembly))],
    relations: [],
    stocks: STOCKS,
    pieces,
    placements: new Map(pieces.map(({ mark }, i) => [mark, [{ id: mark, sheet: 0, x: 60, y: 40 + 35 * i, turn: 0 }]])),
    sheets: new Map(STOCKS.map(({ id }) => [id, [{ name: `${id}-01`, digest: id }]])),
    findings: [],
    solids: new Map(standing.map((piece) => [piece.mark, packSolids(solidsOf(piece, stocks.get(piece.stock)!))])),
    ...rest,
  })
  const svg = (width: number) => `<svg xmlns="http://www.w3.org/2000/svg" width="${width}mm" height="10mm"/>`
  const sheets = new Map(STOCKS.map(({ id, sheet }) => [`${id}-01`, svg(sheet.width)]))
  const read = (name: string) => readFileSync(join(__dirname, '../../dist/view', name), 'utf8')
  return enclosedPage([{ data, sheets }], { script: read('page.js'), style: read('page.css') })
}

/** Three frames one behind the other, with something of everything that the page can tell. */
export function pageOfEverything(): string {
  const pieces = [0, 1, 2].map((i) =>
    testPiece(`FR-${i + 1}`, box(0, 0, 40, 30), {
      stock: i === 2 ? 'folder' : 'divider',
      assembly: i === 2 ? 'hull/deck' : 'hull',
      pose: { origin: [20 * i, 0, 0], right: [0, 1, 0], up: [0, 0, 1] },
      grain: 90,
      reads: ['scale', 'stock:divider.thickness'],
      notes: ['sand the edges round'],
    }),
  )
  const finding = (severity: Finding['severity'], mark: string): Finding => ({
    id: `of-${severity}`,
    severity,
    text: `${mark} has a web of 0.42 mm, the knife needs 0.80 mm`,
    remedy: 'widen it',
    mark,
    at: [5, 5],
    site: { file: 'parts/tug/index.ts', line: 12, column: 3 },
  })
  return pageOfPieces(pieces, {
    assemblies: ['hull', 'hull/deck'],
    fit: 'known',
    findings: [finding('error', 'FR-1'), finding('warning', 'FR-2'), finding('note', 'FR-3')],
    masses: new Map([['FR-1', 0.5]]),
    changes: { since: 'the last commit', pieces: [{ mark: 'FR-2', kind: 'reshaped', text: '0.42 mm at 3, 4' }], gone: ['FR-9'] },
    progress: { states: ['not begun', 'printed', 'cut', 'formed', 'glued', 'outdated'], pieces: new Map([['FR-1', 'cut'], ['FR-3', 'outdated']]) },
    stale: 'the sheets are those of the last build without errors',
  })
}
