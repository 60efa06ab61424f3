import type { Piece } from '../model/piece'
import type { Loop, Point } from '../shape/point'

/** Farthest an outline may be off what was drawn for looking at the fit, mm: well within what counts as a clash. */
const OFF = 0.02

/** A piece left flat with as few points as say its outline (Douglas and Peucker, 1973); others as they are. */
export function coarse(piece: Piece): Piece {
  if (piece.form) return piece
  const openings = piece.openings.map((opening) => ({ ...opening, loop: thinned(opening.loop) }))
  return { ...piece, outline: thinned(piece.outline), openings }
}

function thinned(loop: Loop): Loop {
  if (loop.length < 8) return loop
  const far = loop.reduce((best, point, i) => (gap(loop[0]!, point) > gap(loop[0]!, loop[best]!) ? i : best), 0)
  return [...between(loop.slice(0, far + 1)), ...between([...loop.slice(far), loop[0]!])]
}

/** What is kept of a line but for its last point. */
function between(line: readonly Point[]): Point[] {
  const [from, to] = [line[0]!, line.at(-1)!]
  const length = gap(from, to)
  let worst = { at: 0, off: OFF }
  for (let i = 1; i < line.length - 1; i++) {
    const [x, y] = [line[i]![0] - from[0], line[i]![1] - from[1]]
    const off = length === 0 ? Math.hypot(x, y) : Math.abs((to[0] - from[0]) * y - (to[1] - from[1]) * x) / length
    if (off > worst.off) worst = { at: i, off }
  }
  if (worst.at === 0) return [from]
  return [...between(line.slice(0, worst.at + 1)), ...between(line.slice(worst.at))]
}

function gap(p: Point, q: Point): number {
  return Math.hypot(p[0] - q[0], p[1] - q[1])
}
