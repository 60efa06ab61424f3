import type { Finding } from '../finding/finding'
import type { StalePiece } from './standing'

/**
 * Pieces that are glued into the model, that the model has since changed by more than is allowed, and that nobody has
 * accepted as they are. Where they stand in the source is not known here.
 */
export function gluedChanged(stale: readonly StalePiece[]): Finding[] {
  return stale.filter(({ glued, within, kept }) => glued > 0 && !within && !kept).map(findingFor)
}

function findingFor({ mark, glued, last, change, deviation, at, tolerance }: StalePiece): Finding {
  const isLength = deviation !== undefined && change !== 'restocked'
  return {
    id: 'glued-changed',
    severity: 'error',
    text: `${glued} glued by ${last.slice(0, 10)} ${WHAT[change](deviation ?? 0, tolerance)}`,
    remedy:
      `cut it anew and enter the old one: cardwright log scrapped ${mark}; put the source back; or accept it as it` +
      ` is: cardwright log kept ${mark} --note "why"`,
    mark,
    ...(at && { at }),
    ...(isLength && { found: deviation, wanted: tolerance }),
  }
}

const WHAT: Readonly<Record<StalePiece['change'], (off: number, allowed: number) => string>> = {
  reshaped: (off, allowed) =>
    `is ${off.toFixed(2)} mm off the model as it is now, ${allowed.toFixed(2)} mm are allowed`,
  refolded: (off, allowed) =>
    `has other folds than the model now, and is ${off.toFixed(2)} mm off, ${allowed.toFixed(2)} mm are allowed`,
  restocked: () => 'is of other card, layers or grain than the model now',
  unknown: () => 'is not what the model has now, and its shape was not kept',
}
