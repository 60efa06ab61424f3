import type { Piece } from '../model/piece'
import { packBoxes } from '../nest/strategy/box'
import { boundsOf } from '../shape/measure'
import type { Point } from '../shape/point'
import type { Stock } from '../stock/card'
import { drawSheets } from './draw'
import type { Drawing, Mark } from './drawing'
import { movedMark } from './fitted'
import { printableArea } from './furniture'
import { labelFootprint, labelPlaces } from './places'

export interface PictureInput {
  readonly title: string
  /** `1:60` */
  readonly scale: string
  /** Says how large a page the picture may fill; the pieces may be of any stock. */
  readonly stock: Stock
  readonly pieces: readonly Piece[]
}

/**
 * Some pieces by themselves at true scale, as they look on their sheets but without the sheet: for a page, a book or a
 * talk. Laid out as on a sheet of the stock and cropped to what is drawn.
 *
 * @throws Error where they do not all find room on one sheet
 */
export function drawPicture({ title, scale, stock, pieces }: PictureInput): Drawing {
  const { placements, sheets, unplaced } = packBoxes({
    pieces: pieces.map((piece) => ({
      id: piece.mark,
      outline: piece.outline,
      openings: [],
      labels: labelPlaces(piece).map(labelFootprint),
      turns: widerThanHigh(piece) ? [0] : [90],
      group: piece.family,
    })),
    sheet: { width: stock.sheet.width, height: stock.sheet.height, area: printableArea(stock) },
    gap: GAP,
  })
  if (sheets > 1 || unplaced.length > 0) {
    throw new Error(`"${title}": its ${pieces.length} pieces do not fit on one sheet`)
  }
  const [sheet] = drawSheets({ title, scale, stock, pieces, placements, sheets, fingerprints: new Map() })
  return cropped(sheet!)
}

const GAP = 4
const BORDER = 4

function widerThanHigh({ outline }: Piece): boolean {
  const { minX, minY, maxX, maxY } = boundsOf([outline])
  return maxX - minX >= maxY - minY
}

function cropped(drawing: Drawing): Drawing {
  const { minX, minY, maxX, maxY } = boundsOf(drawing.pieces.flatMap(({ marks }) => marks.flatMap(loopsOf)))
  const move = ([x, y]: Point): Point => [x - minX + BORDER, y - minY + BORDER]
  return {
    ...drawing,
    width: maxX - minX + 2 * BORDER,
    height: maxY - minY + 2 * BORDER,
    furniture: [],
    pieces: drawing.pieces.map((piece) => ({ ...piece, marks: piece.marks.map((mark) => movedMark(mark, move)) })),
  }
}

function loopsOf(mark: Mark): readonly (readonly Point[])[] {
  return mark.kind === 'stroke' ? mark.lines.map(({ points }) => points) : mark.loops
}
