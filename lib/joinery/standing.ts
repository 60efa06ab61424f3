import { FindingError } from '../finding/finding'
import { suggest } from '../finding/nearest'
import { type CallSite, resolveSite } from '../finding/site'
import type { Plate, Slot } from '../craft/plate'
import { record } from '../length/bench'
import { Family } from '../model/family'
import { PieceSet, piecesOf } from '../model/assembly'
import type { Piece } from '../model/piece'
import { session } from '../model/session'
import type { Pose } from '../shape/pose'
import type { Stock } from '../stock/card'

/** What the words of card craft take: a family, pieces another word handed back, or several of these. */
export type Pieces = Family | PieceSet | readonly (Family | PieceSet)[]

/** A plate as it stands in the model, and the pieces it is cut from: one, or all the plies of a lamination. */
export interface Standing {
  readonly plate: Plate
  readonly pieces: readonly Piece[]
}

/** The lamination a ply belongs to. */
export interface Bond {
  readonly mark: string
  /** Of the middle of the whole thickness. */
  readonly pose?: Pose
  readonly thickness: number
}

/**
 * What steps of card craft remember of the pieces they made, for steps that follow: it is of no use to any later
 * stage and stays out of the piece, which is plain data.
 */
const slotsCut = new WeakMap<Piece, readonly Slot[]>()
const bonds = new WeakMap<Piece, Bond>()

export function allPieces(given: Pieces, word: string, site: CallSite): readonly Piece[] {
  const list = given instanceof Family || given instanceof PieceSet ? [given] : given
  if (!Array.isArray(list)) throw notPieces(word, given, site)
  return list.flatMap((part: unknown) => {
    if (part instanceof Family || part instanceof PieceSet) return piecesOf(part)
    throw notPieces(word, part, site)
  })
}

/**
 * Pieces as plates in the model, in their order. Plies of one lamination are one plate of the whole thickness.
 *
 * @throws FindingError for a piece without a place
 */
export function standings(pieces: readonly Piece[], word: string, site: CallSite): Standing[] {
  const groups = new Map<string, Piece[]>()
  for (const piece of pieces) {
    const mark = bonds.get(piece)?.mark ?? piece.mark
    const group = groups.get(mark)
    if (group) group.push(piece)
    else groups.set(mark, [piece])
  }
  return [...groups.entries()].map(([name, plies]) => {
    const [piece] = plies as [Piece, ...Piece[]]
    const bond = bonds.get(piece)
    const pose = bond?.pose ?? piece.pose
    if (!pose) throw noPlace(piece, word, site)
    const slots = slotsCut.get(piece)
    const { outline, openings } = piece
    const thickness = bond?.thickness ?? thicknessOf(piece)
    return { plate: { name, pose, outline, openings, thickness, ...(slots && { slots }) }, pieces: plies }
  })
}

/** The pieces of a plate after it has been cut, remembered with its slots. */
export function cutPieces(before: Standing, after: Plate, reads: readonly string[]): Piece[] {
  return before.pieces.map((piece) => {
    const { outline, openings } = after
    const cut: Piece = { ...piece, outline, openings, reads: [...new Set([...piece.reads, ...reads])].toSorted() }
    return remembering(cut, piece, after.slots)
  })
}

/** A piece made from another keeps what was remembered of that. */
export function remembering(made: Piece, from: Piece, slots = slotsCut.get(from)): Piece {
  if (slots) slotsCut.set(made, slots)
  const bond = bonds.get(from)
  if (bond) bonds.set(made, bond)
  return made
}

export function bondPly(ply: Piece, bond: Bond): Piece {
  bonds.set(ply, bond)
  return ply
}

export function bondOf(ply: Piece): Bond | undefined {
  return bonds.get(ply)
}

/** Card of all plies and the glue between them, mm. */
export function thicknessOf({ stock, plies }: Pick<Piece, 'stock' | 'plies'>): number {
  const card = stockOf(stock)
  record(`stock:${stock}.thickness`)
  return plies * card.thickness.value + (plies - 1) * card.glueLine.value
}

export function stockOf(id: string): Stock {
  const found = session().stocks.get(id)
  if (found) return found
  throw new FindingError({
    id: 'stock',
    severity: 'error',
    text: `there is no stock "${id}"`,
    remedy: suggest(id, session().stocks.keys()),
  })
}

function noPlace(piece: Piece, word: string, site: CallSite): FindingError {
  const where = resolveSite(piece.site) ?? resolveSite(site)
  return new FindingError({
    id: 'no-place',
    severity: 'error',
    text: `${piece.mark} has no place in the model, ${word} needs one`,
    remedy: 'say where it stands with .place(…)',
    mark: piece.mark,
    family: piece.family,
    ...(where && { site: where }),
  })
}

function notPieces(word: string, given: unknown, site: CallSite): FindingError {
  const where = resolveSite(site)
  return new FindingError({
    id: word,
    severity: 'error',
    text: `${word} was given ${given === undefined ? 'nothing' : String(given)}, pieces are meant`,
    remedy: 'give it a family, or pieces another word handed back',
    ...(where && { site: where }),
  })
}
