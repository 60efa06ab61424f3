import type { Piece } from '../model/piece'
import type { Join } from '../model/relation'
import { session } from '../model/session'

/** Remembers that pieces meet when built: each of the first with each of the second. */
export function join(how: Join['how'], first: readonly Piece[], second: readonly Piece[], within?: number): void {
  for (const a of first) for (const b of second) joinMarks(how, a.mark, b.mark, within)
}

export function joinMarks(how: Join['how'], a: string, b: string, within?: number): void {
  session().relations.push({ kind: 'join', a, b, how, ...(within !== undefined && { within }) })
}
