import { FindingError } from '../finding/finding'
import { callSite, resolveSite } from '../finding/site'
import { Assembly, type Part, PieceSet, piecesOf } from '../model/assembly'
import type { Family } from '../model/family'
import type { Piece } from '../model/piece'
import { plane } from '../model/plane'
import type { Pose } from '../shape/pose'
import { remembering } from './standing'

/**
 * Parts that are needed several times over, each time at another place: `repeated(truck, plane.level(ZERO, { x: front }),
 * plane.level(ZERO, { x: rear }))`. Every piece keeps its one mark and is cut as many times; what it was placed by is
 * taken in the axes of each place. Say it of parts before they are joined to anything outside.
 *
 * @throws FindingError without a place
 */
export function repeated(part: Family | PieceSet, ...places: Pose[]): PieceSet
export function repeated(part: Assembly, ...places: Pose[]): Assembly
export function repeated(part: Part, ...places: Pose[]): PieceSet | Assembly
export function repeated(part: Part, ...places: Pose[]): PieceSet | Assembly {
  if (places.length === 0) {
    const site = resolveSite(callSite())
    throw new FindingError({
      id: 'repeated',
      severity: 'error',
      text: 'repeated was given no places, 1 or more are needed',
      remedy: 'give it the places of the parts: plane.level(height, { x })',
      ...(site && { site }),
    })
  }
  if (!(part instanceof Assembly)) return new PieceSet(piecesOf(part).map((piece) => atEach(piece, places)))
  return new Assembly(part.name, part.parts.map((inner) => repeated(inner, ...places)))
}

function atEach(piece: Piece, places: readonly Pose[]): Piece {
  const { pose, also = [], form, copies } = piece
  // Curled card without a pose lies in the axes of the model, which are those of the place now.
  const own = pose ? [pose, ...also] : form?.kind === 'curved' ? [HERE] : []
  const all = places.flatMap((place) => own.map((one) => plane.on(place, one)))
  const [first, ...rest] = all
  const made: Piece = {
    ...piece,
    copies: copies * places.length,
    ...(first && { pose: first }),
    ...(rest.length > 0 && { also: rest }),
  }
  return remembering(made, piece)
}

const HERE: Pose = { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 1, 0] }
