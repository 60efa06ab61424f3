import type { Manifest, ManifestPiece } from '../revision/manifest'
import { sheetName } from '../sheet/sheetName'
import { cardsOf, figuresOf } from './estimate'

/**
 * The parts list as comma-separated values (RFC 4180, with a header, lines ended by CR LF): a line a mark, in the order of
 * marks, lengths in mm and areas in mm² of one piece of card.
 */
export function partsCsv(manifest: Manifest): string {
  return [HEADER, ...manifest.pieces.map(row)].map((cells) => `${cells.map(cell).join(',')}\r\n`).join('')
}

const HEADER = [
  'mark', 'family', 'assembly', 'stock', 'plies', 'copies', 'cards', 'sheets', 'width', 'height', 'area', 'cut', 'score',
  'folds', 'notes', 'fingerprint',
] as const

type Row = readonly (string | number)[]

function row(piece: ManifestPiece): Row {
  const { mark, family, assembly, stock, plies, copies, outline, scores, notes, fingerprint } = piece
  const [xs, ys] = [outline.map(([x]) => x), outline.map(([, y]) => y)]
  const size = (values: number[]) => (Math.max(...values) - Math.min(...values)).toFixed(2)
  const { area, cut, score } = figuresOf(piece)
  return [
    mark, family, assembly, stock, plies, copies, cardsOf(piece), sheetsOf(piece), size(xs), size(ys), area.toFixed(1),
    cut.toFixed(1), score.toFixed(1), scores.length, notes.join(' '), fingerprint,
  ]
}

/** `folder-02 folder-03`, as the files are called. */
export function sheetsOf({ stock, placements }: Pick<ManifestPiece, 'stock' | 'placements'>): string {
  const numbers = [...new Set(placements.map(({ sheet }) => sheet))].toSorted((a, b) => a - b)
  return numbers.map((sheet) => sheetName(stock, sheet)).join(' ')
}

/** A text that a spreadsheet would take for a formula is led by a space: marks and notes are the author's words. */
function cell(value: string | number): string {
  const text = typeof value === 'string' && /^[=+\-@\t]/.test(value) && Number.isNaN(Number(value)) ? ` ${value}` : String(value)
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}
