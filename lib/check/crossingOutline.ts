import { selfCrossing } from '../shape/measure'
import { type Rule, eachPiece, inMm, pieceFinding } from './rule'

/** An outline or opening that crosses itself has no inside that a knife could follow. */
export const crossingOutline: Rule = {
  id: 'crossing-outline',
  title: 'an outline or opening that crosses itself',
  check: (model) =>
    eachPiece(model, (piece) =>
      [piece.outline, ...piece.openings.map(({ loop }) => loop)].flatMap((loop, i) => {
        const at = selfCrossing(loop)
        if (!at) return []
        const what = i === 0 ? 'the outline' : `the ${piece.openings[i - 1]!.kind}`
        return [
          pieceFinding(piece, {
            id: 'crossing-outline',
            severity: 'error',
            text: `${what} crosses itself at (${inMm(at[0])}, ${inMm(at[1])})`,
            remedy: 'put its points in order round the edge',
            at,
          }),
        ]
      }),
    ),
}
