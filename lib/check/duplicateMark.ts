import { resolveSite } from '../finding/site'
import type { Piece } from '../model/piece'
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
      const others = model.pieces.filter((other) => other.mark === piece.mark && other !== piece)
      return [
        pieceFinding(piece, {
          id: 'duplicate-mark',
          severity: 'error',
          text: `${count} pieces have the mark ${piece.mark}, one is meant${elsewhere(piece, others)}`,
          remedy: 'give each family a code of its own, put a family into one assembly only, or say copies: n',
          found: count,
          wanted: 1,
        }),
      ]
    })
  },
}

/** Where the others come from, unless that is the same line or one assembly more. */
function elsewhere(piece: Piece, others: readonly Piece[]): string {
  const lineOf = ({ site: callSite }: Piece): string => {
    const site = resolveSite(callSite)
    return site ? `line ${site.line} of ${site.file.split(/[\\/]/).at(-1)}` : ''
  }
  const lines = new Set(others.map(lineOf).filter((line) => line !== '' && line !== lineOf(piece)))
  if (lines.size > 0) return `; the other is from ${[...lines].join(', ')}`
  const assemblies = [piece, ...others].map(({ assembly }) => `"${assembly}"`)
  return new Set(assemblies).size > 1 ? `; they are in ${assemblies.join(' and ')}` : ''
}
