import { boundsOf, contains, crossing } from '../shape/measure'
import type { Loop, Point } from '../shape/point'
import type { Piece } from '../model/piece'
import { type Rule, eachPiece, inMm, pieceFinding } from './rule'

/** An opening must lie inside the outline, clear of the other openings. */
export const openingOutside: Rule = {
  id: 'opening-outside',
  title: 'an opening or slot outside the outline, or crossing another',
  check: (model) =>
    eachPiece(model, (piece) =>
      piece.openings.flatMap(({ kind, loop }, i) => {
        const fault = faultOf(piece, loop, i)
        if (!fault) return []
        return [
          pieceFinding(piece, {
            id: 'opening-outside',
            severity: 'error',
            text: `the ${kind} ${fault.text} at (${inMm(fault.at[0])}, ${inMm(fault.at[1])})`,
            remedy: fault.remedy,
            at: fault.at,
          }),
        ]
      }),
    ),
}

function faultOf(piece: Piece, loop: Loop, index: number): { text: string; remedy: string; at: Point } | undefined {
  const start = loop[0]!
  const cross = crossing(loop, piece.outline)
  if (cross) return { text: 'crosses the outline', remedy: 'move it inwards, or cut it as a notch with .cut(…)', at: cross }
  if (!contains([piece.outline], start)) return { text: 'lies outside the outline', remedy: 'move it on to the piece', at: start }
  const bounds = boundsOf([loop])
  for (const { loop: other } of piece.openings.slice(0, index)) {
    const otherBounds = boundsOf([other])
    if (otherBounds.minX > bounds.maxX || otherBounds.maxX < bounds.minX) continue
    if (otherBounds.minY > bounds.maxY || otherBounds.maxY < bounds.minY) continue
    const at = crossing(loop, other) ?? (contains([other.toReversed()], start) ? start : undefined)
    if (at) return { text: 'runs into another opening', remedy: 'move them apart, or join them into one shape', at }
  }
  return undefined
}
