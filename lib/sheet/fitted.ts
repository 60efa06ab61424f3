import type { Bounds, Point } from '../shape/point'
import type { Drawing, Mark, PieceGroup } from './drawing'
import { letter, lettering, LINE_PITCH } from './lettering'

export interface FittedInput {
  readonly title: string
  /** Lines under the drawing, the first the largest. */
  readonly captions: readonly string[]
  readonly pieces: readonly PieceGroup[]
  readonly marks: readonly Mark[]
  /** What is drawn lies within. */
  readonly bounds: Bounds
}

/** A drawing on a page as large as it asks for, with its captions below. */
export function fittedDrawing({ title, captions, pieces, marks, bounds }: FittedInput): Drawing {
  const sizes = captions.map((_, i) => (i === 0 ? HEAD : TEXT))
  const below = sizes.reduce((sum, size) => sum + size * LINE_PITCH, 0) + BORDER / 2
  const move = ([x, y]: Point): Point => [x - bounds.minX + BORDER, y - bounds.minY + BORDER + below]
  const texts = captions.map((text, i) => letter(text, { at: [0, 0], size: sizes[i]! }))
  const widths = texts.map(({ loops }) => loops.flat().reduce((most, [x]) => Math.max(most, x), 0))
  const height = bounds.maxY - bounds.minY + 2 * BORDER + below
  let y = BORDER + below - BORDER / 2
  const lines = captions.map((text, i) => {
    y -= sizes[i]! * LINE_PITCH
    return letter(text, { at: [BORDER, y + sizes[i]! * (LINE_PITCH - 1) * 0.5], size: sizes[i]! })
  })
  return {
    width: Math.max(bounds.maxX - bounds.minX, ...widths) + 2 * BORDER,
    height,
    title,
    pieces: pieces.map((piece) => ({ ...piece, marks: piece.marks.map((mark) => movedMark(mark, move)) })),
    furniture: [...marks.map((mark) => movedMark(mark, move)), ...lines],
  }
}

/** A mark with every point moved; letters keep their size. */
export function movedMark(mark: Mark, move: (point: Point) => Point): Mark {
  return mark.kind === 'stroke'
    ? { ...mark, lines: mark.lines.map((line) => ({ ...line, points: line.points.map(move) })) }
    : lettering(mark.text, mark.glyphs.map((glyph) => ({ ...glyph, at: move(glyph.at) })))
}

const BORDER = 6
const HEAD = 3
const TEXT = 2
