import { FindingError } from '../finding/finding'
import { type CallSite, callSite, resolveSite } from '../finding/site'
import { type Length, mm } from '../length/length'
import { sameSide } from '../model/gluedTo'
import type { Piece } from '../model/piece'
import type { Place } from '../model/plane'
import { session } from '../model/session'
import { bond, join } from './relate'
import { isCurled, meetAlong } from './seam'
import { type Pieces, allPieces } from './standing'

/**
 * Says that pieces are glued to each other, so that a gap between them is a finding: in pairs where there are as many
 * of both, otherwise each of the first to one at least of the second, every copy of it. Port pieces go with port and
 * centre ones, starboard pieces likewise. Skins are glued along the edges by which their panels lie side by side, where
 * any do, and must meet all along them.
 *
 * @throws FindingError where one of the two has no pieces
 */
export function glued(first: Pieces, second: Pieces): void {
  const site = callSite()
  const [ours, theirs] = [allPieces(first, 'glued', site), allPieces(second, 'glued', site)]
  const along = ours.filter((piece) => {
    const others = theirs.filter((other) => isCurled(piece) && isCurled(other) && sameSide(piece, other))
    return others.filter((other) => meetAlong(piece, other, NEAR_EDGE)).length > 0
  })
  if (along.length > 0) return name('glued', [...ours, ...theirs], site)
  if (ours.length !== theirs.length || ours.length === 0) return eachTouches('glued', ours, theirs, site)
  name('glued', [...ours, ...theirs], site)
  for (const [i, piece] of ours.entries()) join('glue', [piece], [theirs[i]!])
}

/** Remembers that each of the first touches one at least of the second that are on its side. */
export function eachTouches(word: string, ours: readonly Piece[], theirs: readonly Piece[], site: CallSite): void {
  if (ours.length === 0 || theirs.length === 0) {
    throw wrong(site, word, `${word} was given ${ours.length} pieces and ${theirs.length} to glue them to`, 'give it 1 or more of both')
  }
  name(word, [...ours, ...theirs], site)
  for (const piece of ours) {
    const others = theirs.filter((other) => sameSide(piece, other))
    if (others.length > 0) bond(piece, others)
    else throw wrong(site, word, `${word}: of ${theirs.length} pieces none is on the side of ${piece.mark}`, 'give both sides of it: mirrored(…)')
  }
}

/** Edges of skins that are further from each other than this, in the mean, are not those that are glued, mm. */
const NEAR_EDGE = 3

/** Remembers that the author named pieces, so that they are looked for in the model. */
function name(what: string, pieces: readonly Piece[], site: CallSite): void {
  session().named.push({ what, marks: pieces.map(({ mark }) => mark), site })
}

export interface ClearanceOptions {
  readonly least: Length
  readonly most?: Length
}

/**
 * Says that pieces must keep a distance when built: `clearance('door', doors, frames, { least: bench.mm(0.3) })`.
 * `cardwright fit` measures it between the nearest of both.
 *
 * @throws FindingError for a distance below 0, a most below the least, and where one of the two has no pieces
 */
export function clearance(what: string, first: Pieces, second: Pieces, { least, most }: ClearanceOptions): void {
  const site = callSite()
  const [ours, theirs] = [allPieces(first, 'clearance', site), allPieces(second, 'clearance', site)]
  const [nearest, farthest] = [mm(least), most && mm(most)]
  if (!(nearest >= 0) || (farthest !== undefined && !(farthest >= nearest))) {
    const asked = farthest === undefined ? nearest.toFixed(2) : `${nearest.toFixed(2)} to ${farthest.toFixed(2)}`
    throw wrong(site, 'clearance', `clearance "${what}" is to be ${asked} mm`, 'give 0 or more, and no less at most than at least')
  }
  if (ours.length === 0 || theirs.length === 0) {
    const counts = `${ours.length} pieces from ${theirs.length}`
    throw wrong(site, 'clearance', `clearance "${what}" is to be kept by ${counts}`, 'give it 1 or more of both')
  }
  name(`clearance "${what}"`, [...ours, ...theirs], site)
  const marks = (pieces: readonly Piece[]) => pieces.map(({ mark }) => mark)
  const range = { least: nearest, ...(farthest !== undefined && { most: farthest }) }
  session().relations.push({ kind: 'clearance', name: what, a: marks(ours), b: marks(theirs), ...range })
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
  for (const name of [later, ...earlier]) session().awaited.push({ name, site })
}

function wrong(site: CallSite, id: string, text: string, remedy: string): FindingError {
  const where = resolveSite(site)
  return new FindingError({ id, severity: 'error', text, remedy, ...(where && { site: where }) })
}
