import type { Point } from '../shape/point'
import type { Mark } from './drawing'
import { letter } from './lettering'

/**
 * A level or upright dimension: extension lines, a line with a closed arrow head at both ends, the figure above it or
 * to its left, read from the right (ISO 129-1, from memory).
 *
 * @param from one end of what is measured
 * @param to the other; its x (level) or y (upright) alone counts
 * @param line where the dimension line runs: its y, or its x
 */
export function dimension(from: Point, to: Point, line: number, upright: boolean, text: string): Mark[] {
  const flip = ([x, y]: Point): Point => (upright ? [y, x] : [x, y])
  const [[a, aFrom], [b, bFrom]] = [flip(from), flip(to)]
  const side = Math.sign(line - aFrom) || 1
  const at = (along: number, across: number): Point => flip([along, across])
  const ends = [
    [at(a, aFrom + side * OFF), at(a, line + side * PAST)],
    [at(b, bFrom + side * OFF), at(b, line + side * PAST)],
  ] as const
  const way = Math.sign(b - a) || 1
  const head = (tip: number, inwards: number): readonly Point[] => [
    at(tip + inwards * HEAD, line + HEAD / 5),
    at(tip, line),
    at(tip + inwards * HEAD, line - HEAD / 5),
  ]
  const middle = (a + b) / 2
  const words = upright
    ? letter(text, { at: [line - TEXT * 0.9, middle], size: TEXT, angle: 90, anchor: 'middle' })
    : letter(text, { at: [middle, line + TEXT * 0.9], size: TEXT, anchor: 'middle' })
  return [
    {
      kind: 'stroke',
      role: 'dimension',
      lines: [
        ...ends.map((points) => ({ points, closed: false })),
        { points: [at(a, line), at(b, line)], closed: false },
        { points: head(a, way), closed: true },
        { points: head(b, -way), closed: true },
      ],
    },
    words,
  ]
}

/** From what is measured to its extension line, and how far that runs past the dimension line, mm. */
const OFF = 1
const PAST = 1.5
const HEAD = 2.2
const TEXT = 2
