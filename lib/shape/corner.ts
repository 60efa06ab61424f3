import { CHORD_TOLERANCE, type Point, type Region } from './point'

/** A corner of a loop; the vertices of a flattened curve are none. */
export interface Corner {
  readonly at: Point
  /** Degrees the edge turns by: left, above 0, where card sticks out; right, below 0, where something bites into it. */
  readonly turn: number
  /** The vertex's index in its loop. */
  readonly index: number
  /** The number of its loop in the region, from 0. */
  readonly loop: number
}

/** Which corners: all, those that stick out of the card, those that bite into it, or those a function picks. */
export type CornerChoice = 'all' | 'out' | 'in' | ((corner: Corner) => boolean)

/** A vertex that turns by less than this is none, degrees. */
const LEAST_TURN = 10

/** All corners of a region, in the order of its loops. */
export function cornersOf(region: Region): Corner[] {
  return region.flatMap((loop, number) =>
    loop.flatMap((at, index): Corner[] => {
      const before = loop[(index + loop.length - 1) % loop.length]!
      const after = loop[(index + 1) % loop.length]!
      const turn = turnAt(before, at, after)
      return isCorner(before, at, after, turn) ? [{ at, turn, index, loop: number }] : []
    }),
  )
}

/** The corners that a choice names. */
export function chosenCorners(corners: readonly Corner[], which: CornerChoice): Corner[] {
  if (typeof which === 'function') return corners.filter(which)
  if (which === 'all') return [...corners]
  return corners.filter(({ turn }) => turn > 0 === (which === 'out'))
}

/** Degrees from one edge's direction to the next one's, left above 0. */
function turnAt(before: Point, at: Point, after: Point): number {
  const [ux, uy] = [at[0] - before[0], at[1] - before[1]]
  const [vx, vy] = [after[0] - at[0], after[1] - at[1]]
  return (Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy) * 180) / Math.PI
}

/**
 * A flattened curve of small radius turns as sharply at its vertices as a corner does, but its chords are short. An arc
 * that turned by as much within the shorter edge would stand off that edge by length/2 · tan(turn/4): where this is
 * within the chord tolerance (twice, for curves that have been through an offset), it may have been an arc.
 */
function isCorner(before: Point, at: Point, after: Point, turn: number): boolean {
  if (Math.abs(turn) < LEAST_TURN || Math.abs(turn) > 180 - 1e-6) return false
  const shorter = Math.min(
    Math.hypot(at[0] - before[0], at[1] - before[1]),
    Math.hypot(after[0] - at[0], after[1] - at[1]),
  )
  return (shorter / 2) * Math.tan((Math.abs(turn) * Math.PI) / 720) > 2 * CHORD_TOLERANCE
}
