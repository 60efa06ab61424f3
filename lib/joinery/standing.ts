import { FindingError } from '../finding/finding'
import { type CallSite, resolveSite } from '../finding/site'
import type { Plate, Slot } from '../craft/plate'
import { Family } from '../model/family'
import { PieceSet, piecesOf } from '../model/assembly'
import type { Piece } from '../model/piece'
import type { Pose } from '../shape/pose'
import { stockOf } from './craftDraft'

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
  readonly also?: readonly Pose[]
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

/** What pieces make once glued up: plies of one lamination are one plate. */
export interface Whole extends Omit<Plate, 'pose'> {
  readonly pose?: Pose
  readonly also?: readonly Pose[]
  readonly pieces: readonly [Piece, ...Piece[]]
}

/** Pieces glued up, in their order. */
export function platesOf(pieces: readonly Piece[]): Whole[] {
  const groups = new Map<string, [Piece, ...Piece[]]>()
  for (const piece of pieces) {
    const mark = bonds.get(piece)?.mark ?? piece.mark
    const group = groups.get(mark)
    if (group) group.push(piece)
    else groups.set(mark, [piece])
  }
  return [...groups.entries()].map(([name, plies]) => {
    const [piece] = plies
    const bond = bonds.get(piece)
    const { pose, also } = bond ?? piece
    const slots = slotsCut.get(piece)
    const { outline, openings } = piece
    const thickness = bond?.thickness ?? thicknessOf(piece)
    return { name, outline, openings, thickness, pieces: plies, ...(pose && { pose }), ...(also && { also }), ...(slots && { slots }) }
  })
}

/**
 * Pieces as plates in the model, in their order.
 *
 * @throws FindingError for a piece without a place
 */
export function standings(given: readonly Piece[], word: string, site: CallSite): Standing[] {
  return platesOf(given).map(({ pieces, pose, name, outline, openings, thickness, slots }) => {
    if (!pose) throw noPlace(pieces[0], word, site)
    return { plate: { name, pose, outline, openings, thickness, ...(slots && { slots }) }, pieces }
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

/** Card of all plies and the glue between them, mm. */
export function thicknessOf({ stock, plies }: Pick<Piece, 'stock' | 'plies'>): number {
  const card = stockOf(stock)
  return plies * card.measured + (plies - 1) * card.glueLine.value
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
