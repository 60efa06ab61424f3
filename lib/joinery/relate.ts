import type { Piece } from '../model/piece'
import type { Join } from '../model/relation'
import type { Vector } from '../shape/pose'
import { session } from '../model/session'

/** Remembers that pieces meet when built: each of the first with each of the second. */
export function join(how: Join['how'], first: readonly Piece[], second: readonly Piece[]): void {
  for (const a of first) for (const b of second) joinMarks(how, a.mark, b.mark)
}

/** That the slots of the first open a way, and those of the second against it. */
export function interlocked(first: readonly Piece[], second: readonly Piece[], opens: Vector): void {
  for (const { mark: a } of first) {
    for (const { mark: b } of second) session().relations.push({ kind: 'join', a, b, how: 'slot', opens })
  }
}

/** That a piece touches one at least of others. */
export function bond(piece: Piece, others: readonly Piece[]): void {
  session().relations.push({ kind: 'bond', a: [piece.mark], b: others.map(({ mark }) => mark) })
}

export function joinMarks(how: Join['how'], a: string, b: string, within?: number): void {
  session().relations.push({ kind: 'join', a, b, how, ...(within !== undefined && { within }) })
}
