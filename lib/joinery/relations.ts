import { FindingError } from '../finding/finding'
import { type CallSite, callSite, resolveSite } from '../finding/site'
import { type Length, mm } from '../length/length'
import type { Piece } from '../model/piece'
import type { Place } from '../model/plane'
import { session } from '../model/session'
import { join } from './relate'
import { type Pieces, allPieces } from './standing'

/**
 * Says that pieces are glued to each other, so that a gap between them is a finding: in pairs where there are as many
 * of both, otherwise each with each. Port pieces go with port and centre ones, starboard pieces likewise.
 */
export function glued(first: Pieces, second: Pieces): void {
  const site = callSite()
  const [ours, theirs] = [allPieces(first, 'glued', site), allPieces(second, 'glued', site)]
  if (ours.length === theirs.length) {
    for (const [i, piece] of ours.entries()) join('glue', [piece], [theirs[i]!])
    return
  }
  for (const piece of ours) join('glue', [piece], theirs.filter((other) => meets(piece, other)))
}

function meets(a: Piece, b: Piece): boolean {
  return a.side === '' || b.side === '' || a.side === b.side
}

export interface ClearanceOptions {
  readonly least: Length
  readonly most?: Length
}

/** Says that pieces must keep a distance when built: `clearance('door', doors, frames, { least: bench.mm(0.3) })`. */
export function clearance(name: string, first: Pieces, second: Pieces, { least, most }: ClearanceOptions): void {
  const site = callSite()
  const marks = (given: Pieces) => allPieces(given, 'clearance', site).map(({ mark }) => mark)
  const [nearest, farthest] = [mm(least), most && mm(most)]
  if (!(nearest >= 0) || (farthest !== undefined && farthest < nearest)) {
    const asked = farthest === undefined ? nearest.toFixed(2) : `${nearest.toFixed(2)} to ${farthest.toFixed(2)}`
    throw wrong(site, 'clearance', `clearance "${name}" is to be ${asked} mm`, 'give 0 or more, and no less at most than at least')
  }
  const range = { least: nearest, ...(farthest !== undefined && { most: farthest }) }
  session().relations.push({ kind: 'clearance', name, a: marks(first), b: marks(second), ...range })
}

/** A place the finished model stands on, for its loads: `standsOn('tail wheel', [x, ZERO, ZERO])`. */
export function standsOn(name: string, place: Place): void {
  const [x, y, z] = place
  session().relations.push({ kind: 'support', name, at: [mm(x), mm(y), mm(z)] })
}

/** Says that an assembly is built after others, by their paths: `after('skins/hull skins', 'cabin')`. */
export function after(later: string, ...earlier: string[]): void {
  const site = callSite()
  if (earlier.length === 0) throw wrong(site, 'after', `after was given nothing to come before "${later}"`, 'name an assembly')
  for (const first of earlier) session().relations.push({ kind: 'sequence', first, second: later })
}

function wrong(site: CallSite, id: string, text: string, remedy: string): FindingError {
  const where = resolveSite(site)
  return new FindingError({ id, severity: 'error', text, remedy, ...(where && { site: where }) })
}
