import type { Loop } from '../shape/point'

/**
 * Nesting: where on which sheet each piece is cut. Input and output are plain data so that strategies can be
 * swapped, compared and benchmarked; nothing here knows of files, pens or the model in space.
 */
export interface NestPiece {
  /** Unique among the request, such as `WR-P07` or `WR-P07#2` for a second copy. */
  readonly id: string
  readonly outline: Loop
  readonly openings: readonly Loop[]
  /**
   * Where its label may stand beside it, the first preferred: one of them is kept clear of other pieces and labels
   * where there is any room for that. Not card, so no gap is owed to them.
   */
  readonly labels?: readonly Loop[]
  /** Turns offered, degrees counter-clockwise, the first preferred. Never empty. */
  readonly turns: readonly number[]
  /** Pieces of one group are wanted near each other (an assembly, a family). */
  readonly group: string
}

/** One kind of sheet: all in mm, origin at the lower left corner of the card. */
export interface NestSheet {
  readonly width: number
  readonly height: number
  /** Part of the sheet that can be printed and cut. */
  readonly area: { readonly minX: number; readonly minY: number; readonly maxX: number; readonly maxY: number }
  /** Parts already used up (an offcut): nothing may be placed over them. */
  readonly used?: readonly Loop[]
}

export interface NestRequest {
  readonly pieces: readonly NestPiece[]
  /** The sheet every further page is like. */
  readonly sheet: NestSheet
  /** Sheets to be filled first, in order: offcuts from the drawer. */
  readonly offcuts?: readonly NestSheet[]
  /** Least distance between two pieces, mm. */
  readonly gap: number
  /** Whether pieces may lie edge to edge where one straight cut parts both; see `sharedCut.ts`. */
  readonly sharedCuts?: boolean
  /** Placements of an earlier build that are to stay where they are. */
  readonly keep?: readonly Placement[]
  readonly seed?: number
  readonly effort?: Effort
  readonly onProgress?: (done: number, total: number) => void
}

export type Effort = 'quick' | 'normal' | 'thorough'

/** A point p of the piece lands at R(turn)·p + (x, y) on sheet number `sheet` (from 0). */
export interface Placement {
  readonly id: string
  readonly sheet: number
  readonly x: number
  readonly y: number
  readonly turn: number
}

/** Why a piece has no place; `excess` in mm, the least by which it is too large for the area at its best turn. */
export interface Unplaced {
  readonly id: string
  readonly reason: 'too large' | 'degenerate' | 'no turn' | 'gap too large'
  readonly excess?: { readonly x: number; readonly y: number }
}

export interface NestResult {
  /** In the order of the request's pieces. */
  readonly placements: readonly Placement[]
  readonly unplaced: readonly Unplaced[]
  readonly sheets: number
}

/** A way of nesting. The same request gives the same result on any machine. */
export type NestStrategy = (request: NestRequest) => NestResult
