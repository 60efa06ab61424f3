import type { Piece } from '../model/piece'

/** Whether a piece is a tool of the bench and no part of the finished model: its notes say so, `Jig: …`. */
export function isJig({ notes }: Pick<Piece, 'notes'>): boolean {
  return notes.some((note) => note.startsWith('Jig:'))
}
