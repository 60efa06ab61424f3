import type { Finding } from '../finding/finding'
import { type CallSite, callSite } from '../finding/site'
import { inMm } from '../craft/figure'
import type { Flat } from '../craft/flat'
import { splitFlat } from '../craft/split'
import { recording } from '../length/bench'
import { type Length, mm } from '../length/length'
import { PieceSet } from '../model/assembly'
import type { Piece } from '../model/piece'
import { session } from '../model/session'
import { boundsOf } from '../shape/measure'
import type { Loop } from '../shape/point'
import { contains } from '../shape/place'
import { craftError, stockOf } from './craftDraft'
import { say } from './flatPiece'
import { liesOn } from './liesOn'
import { join } from './relate'
import { allPieces, type Pieces, thicknessOf } from './standing'

export interface SplitOptions {
  /** Where the joints come, from the piece's left end, or from its lower end where it is split across y. */
  readonly at: readonly Length[]
  /** Along which of the piece's axes the joints follow each other; x where not given. */
  readonly axis?: 'x' | 'y'
  /** Width of the joiners; half of it comes behind each tile. */
  readonly joiner: Length
  /** What the joiners are cut from; the piece's own stock where not given. */
  readonly joinerStock?: string
}

/**
 * Pieces that are larger than their sheet, cut straight across at chosen places: `KE` becomes `KE-1`, `KE-2`… with a
 * strip to glue behind each joint, `KE-J1`. Ticks across the joint show on both tiles and on the strip. On port pieces
 * the places count from the right, so that both sides are split alike. What is folded, curled or rolled round is split as well, and each
 * tile stands where it did; joiners stop short of folds. Of a wound strip each tile fills its own part of the ring, and joiners,
 * for which is no room between its turns, have no place.
 *
 * @throws FindingError for a joint outside the piece
 */
export function split(given: Pieces, options: SplitOptions): PieceSet {
  const site = callSite()
  const pieces = allPieces(given, 'split', site).flatMap((piece) => {
    const { result, read } = recording(() => splitPiece(piece, options, site))
    const reads = [...new Set([...piece.reads, ...read])].toSorted()
    return result.map((one) => ({ ...one, reads }))
  })
  return new PieceSet(pieces)
}

function splitPiece(piece: Piece, options: SplitOptions, site: CallSite): Piece[] {
  const { at, axis = 'x', joiner, joinerStock = piece.stock } = options
  const places = placesOf(piece, axis, at)
  const { tiles: cut, joiners } = splitFlat(flatOf(piece), axis, places, mm(joiner))
  const curls = piece.form?.kind === 'curved' || (piece.form?.kind === 'turned' && piece.form.card?.kind === 'lines')
  const tiles = curls ? cut.map((tile) => ({ ...tile, outline: keepingPoints(tile.outline, piece.outline) })) : cut
  const { form, pose, also, ...flat } = piece
  // The panel that the place is of stands where it did; other tiles stand as the whole says.
  const base = form?.kind === 'folded' && !form.of ? form.base : undefined
  const whole = { ...(pose && { pose }), ...(also && { also }), ...(form && { form }) }
  const joinerPly = { stock: joinerStock, plies: 1 }
  const out = -((thicknessOf(piece) + thicknessOf(joinerPly)) / 2 + stockOf(joinerStock).glueLine.value)
  say([report(piece, places, tiles.length, joiners.length), ...cutOpenings(piece, axis, places)], site)
  const made = tiles.map((tile, i): Piece => ({
    ...flat,
    ...(base && contains([tile.outline], base) ? whole : liesOn(piece, tile.outline)),
    ...tile,
    mark: `${piece.mark}-${i + 1}`,
    texts: piece.texts.filter((text) => contains([tile.outline], text.at)),
    notes: [...piece.notes, `tile ${i + 1} of ${tiles.length}: butt it to its neighbours over the joiner, tick to tick`],
  }))
  session().parted.set(piece.mark, { into: 'tiles', marks: made.map(({ mark }) => mark) })
  const strips = joiners.map(({ flat: strip, tiles: met }, i): Piece => {
    const joinedTo = met.map((tile) => made[tile]!)
    const one = {
      ...flat,
      ...liesOn(piece, strip.outline, out),
      ...strip,
      ...joinerPly,
      mark: `${piece.mark}-J${i + 1}`,
      texts: [],
      notes: [`joiner behind ${joinedTo.map(({ mark }) => mark).join(' and ') || piece.mark}`],
    }
    join('glue', [one], joinedTo)
    for (const [k, tile] of joinedTo.entries()) if (k > 0) join('glue', [joinedTo[k - 1]!], [tile])
    return one
  })
  return [...made, ...strips]
}

/**
 * The edge of a tile with those points of the whole's edge put back that say nothing in the flat: on curled card its straight
 * lines end there.
 */
function keepingPoints(tile: Loop, whole: Loop): Loop {
  return tile.flatMap((from, i) => {
    const to = tile[(i + 1) % tile.length]!
    const [dx, dy] = [to[0] - from[0], to[1] - from[1]]
    const length = Math.hypot(dx, dy)
    const on = whole.flatMap((point) => {
      const [x, y] = [point[0] - from[0], point[1] - from[1]]
      const s = (x * dx + y * dy) / length
      const off = Math.abs(x * dy - y * dx) / length
      return off < ON_EDGE && s > ON_EDGE && s < length - ON_EDGE ? [{ s, point }] : []
    })
    return [from, ...on.toSorted((a, b) => a.s - b.s).map(({ point }) => point)]
  })
}

/** How far from an edge a point may be that is on it, mm: booleans work on a grid of 0.00001 mm. */
const ON_EDGE = 1e-4

function flatOf({ outline, openings, scores, lines, grain }: Piece): Flat {
  return { outline, openings, scores, lines, ...(grain !== undefined && { grain }) }
}

function placesOf(piece: Piece, axis: 'x' | 'y', at: readonly Length[]): number[] {
  const { minX, minY, maxX, maxY } = boundsOf([piece.outline])
  const [from, to] = axis === 'x' ? [minX, maxX] : [minY, maxY]
  return at
    .map((length) => {
      const distance = mm(length)
      const fromRight = piece.side === 'P' && axis === 'x'
      if (distance > 0 && distance < to - from) return fromRight ? to - distance : from + distance
      throw craftError({
        id: 'split-place',
        text: `a joint at ${inMm(distance)}, ${piece.mark} is ${inMm(to - from)} long`,
        remedy: `give a place between its ends, above 0 and below ${inMm(to - from)}`,
        mark: piece.mark,
        family: piece.family,
        found: distance,
        wanted: to - from,
      })
    })
    .toSorted((a, b) => a - b)
}

function report({ mark, family }: Piece, places: readonly number[], tiles: number, joiners: number): Finding {
  return {
    id: 'tiled',
    severity: 'note',
    mark,
    family,
    text: `split into ${tiles} tiles at ${places.map(inMm).join(', ')} of its axis, joiners behind: ${joiners}`,
    remedy: 'nothing to do; glue the tiles on a flat surface, tick to tick',
  }
}

function cutOpenings({ mark, family, openings }: Piece, axis: 'x' | 'y', places: readonly number[]): Finding[] {
  return places.flatMap((place) =>
    openings.flatMap(({ kind, loop }): Finding[] => {
      const { minX, minY, maxX, maxY } = boundsOf([loop])
      const [from, to] = axis === 'x' ? [minX, maxX] : [minY, maxY]
      if (place <= from || place >= to) return []
      const what = kind === 'slot' ? 'a slot' : 'an opening'
      const text = `the joint at ${axis} ${inMm(place)} runs through ${what} from ${inMm(from)} to ${inMm(to)}`
      return [{ id: 'split-opening', severity: 'warning', mark, family, text, remedy: 'move the joint clear of it' }]
    }),
  )
}
