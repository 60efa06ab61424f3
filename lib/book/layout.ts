import type { Point } from '../shape/point'
import type { Drawing, Mark, Role } from '../sheet/drawing'
import { letter, wrapText } from '../sheet/lettering'
import type { PdfBookmark, PdfLayer, PdfPage } from '../sheet/pdfDocument'
import type { Block, Book, Cell, CellPicture, Chapter, Column } from './book'

export interface PageSize {
  readonly width: number
  readonly height: number
}

export interface BookPages {
  readonly pages: readonly PdfPage[]
  readonly bookmarks: readonly PdfBookmark[]
}

/** The book on pages of a size, mm: a chapter begins a page, a table repeats its head, nothing is torn from its heading. */
export function layOutBook(book: Book, size: PageSize): BookPages {
  const sheets: Sheet[] = []
  const starts: number[] = []
  for (const chapter of book.chapters) {
    starts.push(sheets.length)
    sheets.push(...chapterSheets(chapter, size))
  }
  const pages = sheets.map(({ marks, drawings, chapter }, i): PdfPage => ({
    ...size,
    label: String(i + 1),
    layers: [{ marks: [...marks, ...frame(book, chapter, `${i + 1} of ${sheets.length}`, size)] }, ...drawings],
  }))
  return { pages, bookmarks: bookmarksOf(book.chapters, starts) }
}

interface Sheet {
  readonly chapter: string
  readonly marks: Mark[]
  readonly drawings: PdfLayer[]
}

const MARGIN = { left: 20, right: 12, top: 20, bottom: 16 } as const
const TEXT = 2.2
const TABLE = 1.9
const HEADING = 3
const TITLE = 4.4
const PITCH = 1.9
const PAD = 1.2

/** Nothing but a heading at the foot of a page helps nobody, mm. */
const KEEP = 24

interface Flow {
  readonly width: number
  /** Room from the top margin to the bottom one. */
  readonly room: number
  readonly left: number
  readonly top: number
  readonly sheets: Sheet[]
  y: number
  newSheet(): void
}

function chapterSheets(chapter: Chapter, { width, height }: PageSize): Sheet[] {
  const flow: Flow = {
    width: width - MARGIN.left - MARGIN.right,
    room: height - MARGIN.top - MARGIN.bottom,
    left: MARGIN.left,
    top: height - MARGIN.top,
    sheets: [],
    y: 0,
    newSheet() {
      this.sheets.push({ chapter: chapter.title, marks: [], drawings: [] })
      this.y = this.top
    },
  }
  flow.newSheet()
  flow.y -= TITLE
  put(flow, letter(chapter.title, { at: [flow.left, flow.y], size: TITLE }))
  flow.y -= TITLE
  for (const block of chapter.blocks) place(flow, block)
  return flow.sheets
}

function place(flow: Flow, block: Block): void {
  switch (block.kind) {
    case 'heading':
      need(flow, HEADING * PITCH + KEEP)
      flow.y -= HEADING * PITCH
      put(flow, letter(block.text, { at: [flow.left, flow.y], size: HEADING }))
      flow.y -= HEADING * 0.8
      return
    case 'text':
      paragraph(flow, block.text, 0)
      flow.y -= TEXT
      return
    case 'caution':
      return caution(flow, block.items)
    case 'steps':
      for (const item of block.items) step(flow, item)
      flow.y -= TEXT
      return
    case 'table':
      return table(flow, block.columns, block.rows)
    case 'drawing':
      return drawing(flow, block.drawing, block.caption)
  }
}

function put({ sheets }: Flow, ...marks: Mark[]): void {
  sheets.at(-1)!.marks.push(...marks)
}

function need(flow: Flow, height: number): boolean {
  if (flow.y - height >= flow.top - flow.room) return false
  flow.newSheet()
  return true
}

function paragraph(flow: Flow, text: string, indent: number): void {
  for (const line of wrapText(text, TEXT, flow.width - indent)) {
    need(flow, TEXT * PITCH)
    flow.y -= TEXT * PITCH
    put(flow, letter(line, { at: [flow.left + indent, flow.y], size: TEXT }))
  }
}

function step(flow: Flow, text: string): void {
  const lines = wrapText(text, TEXT, flow.width - INDENT)
  need(flow, Math.min(lines.length, 4) * TEXT * PITCH)
  put(flow, box([flow.left, flow.y - TEXT * PITCH - 0.4], BOX))
  paragraph(flow, text, INDENT)
  flow.y -= TEXT * 0.5
}

const BOX = 2.8
const INDENT = 5

function caution(flow: Flow, items: readonly string[]): void {
  const wrapped = items.map((item) => wrapText(item, TEXT, flow.width - 2 * INDENT))
  const height = wrapped.reduce((sum, lines) => sum + lines.length * TEXT * PITCH + TEXT * 0.6, 0) + HEADING * 2.8
  need(flow, height + 4)
  const top = flow.y
  flow.y -= HEADING * 2
  put(flow, letter('Caution', { at: [flow.left + 3, flow.y], size: HEADING }))
  for (const lines of wrapped) {
    for (const [i, line] of lines.entries()) {
      flow.y -= TEXT * PITCH
      put(flow, letter(i === 0 ? `• ${line}` : line, { at: [flow.left + (i === 0 ? 3 : INDENT), flow.y], size: TEXT }))
    }
    flow.y -= TEXT * 0.6
  }
  flow.y -= 2
  put(flow, outline('section', [[flow.left, flow.y], [flow.left + flow.width, flow.y], [flow.left + flow.width, top], [flow.left, top]]))
  flow.y -= 3
}

function table(flow: Flow, columns: readonly Column[], rows: readonly (readonly Cell[])[]): void {
  const shares = columns.reduce((sum, { share }) => sum + share, 0)
  const widths = columns.map(({ share }) => (share / shares) * flow.width)
  const lefts = widths.map((_, i) => flow.left + widths.slice(0, i).reduce((sum, width) => sum + width, 0))
  const head = () => tableRow(flow, columns.map(({ name }) => name), widths, lefts)
  need(flow, TABLE * 8)
  head()
  for (const row of rows) {
    if (need(flow, heightOf(row, widths))) head()
    tableRow(flow, row, widths, lefts)
  }
  flow.y -= 3
}

const PICTURE = 11

function heightOf(row: readonly Cell[], widths: readonly number[]): number {
  const heights = row.map((cell, i) => {
    if (typeof cell === 'string') return Math.max(1, wrapText(cell, TABLE, widths[i]! - 2 * PAD).length) * TABLE * PITCH
    return 'picture' in cell ? PICTURE : BOX
  })
  return Math.max(...heights) + 2 * PAD
}

function tableRow(flow: Flow, row: readonly Cell[], widths: readonly number[], lefts: readonly number[]): void {
  const height = heightOf(row, widths)
  const [top, bottom] = [flow.y, flow.y - height]
  for (const [i, cell] of row.entries()) {
    const [left, width] = [lefts[i]!, widths[i]!]
    if (typeof cell === 'string') {
      const lines = wrapText(cell, TABLE, width - 2 * PAD)
      const first = (top + bottom) / 2 + ((lines.length - 1) * TABLE * PITCH) / 2 - TABLE / 2
      for (const [k, line] of lines.entries()) put(flow, letter(line, { at: [left + PAD, first - k * TABLE * PITCH], size: TABLE }))
    } else if ('picture' in cell) put(flow, ...picture(cell.picture, [left + width / 2, (top + bottom) / 2], [width - 2 * PAD, height - 2 * PAD]))
    else if ('box' in cell) put(flow, box([left + width / 2 - BOX / 2, (top + bottom) / 2 - BOX / 2], BOX))
    else put(flow, stroke('frame', [[left + PAD, bottom + PAD], [left + width - PAD, bottom + PAD]]))
  }
  put(flow, stroke('frame', [[flow.left, bottom], [flow.left + flow.width, bottom]]))
  flow.y = bottom
}

/** The piece at model size, or smaller where it does not fit. */
function picture({ cuts, valleys, mountains }: CellPicture, [x, y]: Point, [width, height]: Point): Mark[] {
  const [outline] = cuts
  const [xs, ys] = [outline!.map(([px]) => px), outline!.map(([, py]) => py)]
  const span = (values: readonly number[]) => {
    const [least, most] = [values.reduce((a, b) => Math.min(a, b)), values.reduce((a, b) => Math.max(a, b))]
    return { middle: (least + most) / 2, size: most - least }
  }
  const [across, up] = [span(xs), span(ys)]
  // Upright pieces lie down: the cell is wider than high.
  const turned = up.size > across.size
  const [long, short] = turned ? [up.size, across.size] : [across.size, up.size]
  const scale = Math.min(1, width / Math.max(long, 1e-6), height / Math.max(short, 1e-6))
  const at = ([px, py]: Point): Point => {
    const [dx, dy] = [(px - across.middle) * scale, (py - up.middle) * scale]
    return turned ? [x - dy, y + dx] : [x + dx, y + dy]
  }
  const lines = (role: Role, list: CellPicture['cuts'], closed: boolean): Mark[] =>
    list.length === 0 ? [] : [{ kind: 'stroke', role, lines: list.map((points) => ({ points: points.map(at), closed })) }]
  return [...lines('edge', cuts, true), ...lines('valley', valleys, false), ...lines('mountain', mountains, false)]
}

function drawing(flow: Flow, { width, height, pieces, furniture }: Drawing, caption: string): void {
  const most = flow.room * 0.45
  const scale = Math.min(1, flow.width / width, most / height)
  need(flow, height * scale + TEXT * 3)
  const [x, y] = [flow.left + (flow.width - width * scale) / 2, flow.y - height * scale]
  flow.sheets.at(-1)!.drawings.push({
    marks: [...pieces.flatMap(({ marks }) => marks), ...furniture],
    matrix: [scale, 0, 0, scale, x, y],
  })
  flow.y = y - TEXT * 1.2
  put(flow, letter(caption, { at: [flow.left + flow.width / 2, flow.y], size: TEXT * 0.9, anchor: 'middle' }))
  flow.y -= TEXT * 2
}

function frame({ title }: Book, chapter: string, count: string, { width, height }: PageSize): Mark[] {
  const [left, right] = [MARGIN.left, width - MARGIN.right]
  return [
    letter(title, { at: [left, height - MARGIN.top + 6], size: 1.8 }),
    letter(chapter, { at: [right, height - MARGIN.top + 6], size: 1.8, anchor: 'end' }),
    stroke('frame', [[left, height - MARGIN.top + 4], [right, height - MARGIN.top + 4]]),
    letter('Sharp knife, adhesives: see the cautions on page 1. The makers’ instructions go before this book.', {
      at: [left, MARGIN.bottom - 7],
      size: 1.6,
    }),
    letter(count, { at: [right, MARGIN.bottom - 7], size: 1.8, anchor: 'end' }),
  ]
}

function bookmarksOf(chapters: readonly Chapter[], starts: readonly number[]): PdfBookmark[] {
  return chapters.map(({ title }, i) => ({ title, page: starts[i]! }))
}

function box([x, y]: Point, size: number): Mark {
  return outline('frame', [[x, y], [x + size, y], [x + size, y + size], [x, y + size]])
}

function outline(role: Role, points: readonly Point[]): Mark {
  return { kind: 'stroke', role, lines: [{ points, closed: true }] }
}

function stroke(role: Role, points: readonly Point[]): Mark {
  return { kind: 'stroke', role, lines: [{ points, closed: false }] }
}
