import type { Progress } from '../revision/progress'
import type { PieceStanding } from '../revision/standing'
import type { DocumentProgress } from './document'

/** The states of pieces in the order of work; `outdated` were cut to a shape that the model no longer has. */
const STATES = ['not begun', 'printed', 'cut', 'formed', 'glued', 'outdated'] as const

/** The one state of each piece that the page shows: as far as all of its copies and plies have come. */
export function benchState({ pieces }: Progress): DocumentProgress {
  return { states: STATES, pieces: new Map(pieces.map((standing) => [standing.piece.mark, stateOf(standing)])) }
}

function stateOf({ needed, done, forms, stale }: PieceStanding): (typeof STATES)[number] {
  if (stale.some(({ within, kept }) => !within && !kept)) return 'outdated'
  if (done.glued >= needed) return 'glued'
  if (forms && done.formed >= needed) return 'formed'
  if (done.cut >= needed) return 'cut'
  return done.printed >= needed ? 'printed' : 'not begun'
}
