import { compareText } from '../finding/finding'
import { parentOf } from '../model/assemblyPath'
import type { Drawing } from './drawing'
import { FORMAT_FOLDERS, type FormatWriter, type SheetSet } from './format'
import { openPdf, type PdfBookmark } from './pdfDocument'

/** One document a stock: a page a sheet, bookmarks by assembly. */
export function pdfWriter({ title, stock, assemblies }: SheetSet): FormatWriter {
  const pdf = openPdf({ title: `${title}: ${stock.title}`, subject: `Cut sheets at true scale: print at 100 %` })
  const pages: PieceOnPage[] = []
  return {
    add(sheet, label) {
      const drawing = sheet.draw()
      const { width, height, correction, pieces } = drawing
      const page = pdf.addPage({
        width,
        height,
        label,
        layers: [{ marks: marksOf(drawing), ...(correction && { matrix: correction }) }],
      })
      pages.push(...pieces.map(({ id, assembly }) => ({ id, assembly, page })))
    },
    files() {
      const { folder, extension } = FORMAT_FOLDERS.pdf
      return [{ path: `${folder}/${stock.id}${extension}`, content: pdf.end(bookmarks(pages, assemblies)) }]
    },
  }
}

interface PieceOnPage {
  readonly id: string
  readonly assembly: string
  readonly page: number
}

function marksOf({ furniture, pieces }: Drawing): Drawing['furniture'] {
  return [...furniture, ...pieces.flatMap(({ marks }) => marks)]
}

/** Assemblies in build order, each within its parent, its pieces by name; an assembly opens where its first piece is. */
function bookmarks(pieces: readonly PieceOnPage[], assemblies: readonly string[]): PdfBookmark[] {
  const below = (path: string): PdfBookmark[] => {
    const inner = assemblies
      .filter((one) => parentOf(one) === path)
      .flatMap((one): PdfBookmark[] => {
        const children = below(one)
        const name = one.slice(path === '' ? 0 : path.length + 1)
        return children.length > 0 ? [{ title: name, page: Math.min(...children.map(({ page }) => page)), children }] : []
      })
    const own = pieces
      .filter(({ assembly }) => assembly === path)
      .toSorted((a, b) => compareText(a.id, b.id))
      .map(({ id, page }): PdfBookmark => ({ title: id, page }))
    return [...inner, ...own]
  }
  return below('')
}
