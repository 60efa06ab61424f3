import type { Affine, Mark } from './drawing'
import { type PdfFonts, openFonts } from './pdfFont'
import { contentOf } from './pdfContent'

/** What a document says of itself. No date and no machine: the same pages are the same bytes. */
export interface PdfInfo {
  readonly title: string
  readonly subject: string
}

/** One page: what is drawn on it, mm from its lower left corner, y up. */
export interface PdfPage {
  readonly width: number
  readonly height: number
  /** What a reader calls the page instead of its number: `folder-01`. */
  readonly label: string
  readonly layers: readonly PdfLayer[]
}

/** Marks that go on a page together; moved, scaled or turned by a matrix where they are not drawn in its place. */
export interface PdfLayer {
  readonly marks: readonly Mark[]
  readonly matrix?: Affine
}

/** An entry of the outline beside the pages. `page` counts from 0. */
export interface PdfBookmark {
  readonly title: string
  readonly page: number
  readonly children?: readonly PdfBookmark[]
}

/** A document that takes pages one by one and gives its bytes at the end. */
export interface PdfDocument {
  /** Gives the page's number, from 0. */
  addPage(page: PdfPage): number
  /** @param bookmarks the whole outline; may name any page that was added */
  end(bookmarks?: readonly PdfBookmark[]): Uint8Array
}

/** Points of 1/72 inch in a millimetre. */
const POINTS = 72 / 25.4

/**
 * A vector document at true scale: media, crop and trim box are the page, letters are those of the embedded font at the
 * places that the drawing gives them, and viewers are told to print at 100 % on paper of the page's size (ISO 32000-1,
 * 12.2, table 150).
 */
export function openPdf(info: PdfInfo): PdfDocument {
  const pdf = create(info)
  const fonts = openFonts(pdf)
  const labels: unknown[] = []
  return {
    addPage({ width, height, label, layers }) {
      const [w, h] = [width * POINTS, height * POINTS]
      pdf.addPage({ size: [w, h], margin: 0 })
      const box = [0, 0, w, h]
      Object.assign(pdf.page.dictionary.data, { CropBox: box, TrimBox: box })
      // The library turns y over; the drawing's runs up, as PDF's own does.
      pdf.addContent(`1 0 0 -1 0 ${digits(h)} cm ${digits(POINTS)} 0 0 ${digits(POINTS)} 0 0 cm`)
      for (const layer of layers) pdf.addContent(layerContent(layer, fonts))
      labels.push(labels.length / 2, { P: text(label) })
      return labels.length / 2 - 1
    },
    end(bookmarks = []) {
      const root = pdf['_root'].data
      root.PageLabels = { Nums: labels }
      root.ViewerPreferences = pdf.ref({ DisplayDocTitle: true, PrintScaling: 'None', PickTrayByPDFSize: true })
      addBookmarks(pdf.outline, bookmarks)
      delete pdf.info.CreationDate
      // The library's second copy of the title as XML wants a date and does not escape what it quotes.
      pdf.endMetadata = () => {}
      pdf.end()
      return bytesOf(pdf)
    },
  }
}

/** What is used of pdfkit, beyond its published types where its own parts have to be reached. */
export interface PdfKit {
  readonly _root: { readonly data: Record<string, unknown> }
  readonly _font: EmbeddedFont
  readonly info: Record<string, unknown>
  readonly outline: Outline
  readonly page: {
    readonly dictionary: { readonly data: Record<string, unknown> }
    readonly fonts: Record<string, unknown>
  }
  addPage(options: { size: [number, number]; margin: number }): void
  addContent(content: string): void
  font(name: string): void
  registerFont(name: string, bytes: Buffer): void
  ref(data: Record<string, unknown>): unknown
  endMetadata(): void
  end(): void
  read(): Buffer | null
}

export interface EmbeddedFont {
  readonly id: string
  /** By number in the embedded subset, thousandths of the body size. */
  readonly widths: readonly number[]
  readonly font: { hasGlyphForCodePoint(code: number): boolean }
  encode(text: string): [codes: string[], positions: unknown]
  ref(): unknown
}

interface Outline {
  addItem(title: string, options: { pageNumber: number; fit: true; expanded: boolean }): Outline
}

function create({ title, subject }: PdfInfo): PdfKit {
  const PDFDocument = require('pdfkit') as new (options: Record<string, unknown>) => PdfKit
  return new PDFDocument({
    pdfVersion: '1.7',
    autoFirstPage: false,
    font: '',
    lang: 'en',
    info: { Title: title, Subject: subject, Creator: 'Cardwright', Producer: 'pdfkit', CreationDate: NO_DATE },
  })
}

/** Goes into the document's id and nowhere else; a real one would make the id another one every time. */
const NO_DATE = { getTime: () => 0, valueOf: () => 0 }

function layerContent({ marks, matrix }: PdfLayer, fonts: PdfFonts): string {
  const content = contentOf(marks, fonts)
  return matrix ? `q ${matrix.map(digits).join(' ')} cm\n${content}Q` : `q\n${content}Q`
}

function addBookmarks(parent: Outline, bookmarks: readonly PdfBookmark[]): void {
  for (const { title, page, children = [] } of bookmarks) {
    const item = parent.addItem(title, { pageNumber: page, fit: true, expanded: children.some(hasChildren) })
    addBookmarks(item, children)
  }
}

function hasChildren({ children = [] }: PdfBookmark): boolean {
  return children.length > 0
}

/** A text string: the library takes a plain one for a name. */
function text(value: string): unknown {
  return Object(value)
}

/** Nine places: a millionth of a millimetre over a metre of page. */
function digits(value: number): string {
  return String(Number(value.toFixed(9)))
}

function bytesOf(pdf: PdfKit): Uint8Array {
  const chunks: Buffer[] = []
  for (let chunk = pdf.read(); chunk; chunk = pdf.read()) chunks.push(chunk)
  return Buffer.concat(chunks)
}
