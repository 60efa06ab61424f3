import { type Rule, pieceFinding } from './rule'

/** Two pieces of one mark cannot be told apart on the bench. */
export const duplicateMark: Rule = {
  id: 'duplicate-mark',
  title: 'two pieces with one mark',
  check: (model) => {
    const seen = new Map<string, number>()
    for (const { mark } of model.pieces) seen.set(mark, (seen.get(mark) ?? 0) + 1)
    const told = new Set<string>()
    return model.pieces.flatMap((piece) => {
      const count = seen.get(piece.mark)!
      if (count === 1 || told.has(piece.mark)) return []
      told.add(piece.mark)
      return [
        pieceFinding(piece, {
          id: 'duplicate-mark',
          severity: 'error',
          text: `${count} pieces have the mark ${piece.mark}, one is meant`,
          remedy: 'give each family a code of its own, put a family into one assembly only, or say copies: n',
          found: count,
          wanted: 1,
        }),
      ]
    })
  },
}
