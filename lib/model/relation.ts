import type { Vector } from '../shape/pose'

/** What the parts of a model are to one another, beyond the assembly they are in. Marks name pieces. */
export type Relation = Join | Clearance | Support | Sequence

/** Two pieces that meet when built: slots that slide together, or faces and edges glued. */
export interface Join {
  readonly kind: 'join'
  readonly a: string
  readonly b: string
  readonly how: 'slot' | 'glue'
  /** How far they may stand apart, mm, where more than the stock's fit was allowed, as for a skin over many frames. */
  readonly within?: number
  /** The way the slot in `a` opens in the model; the one in `b` opens against it. */
  readonly opens?: Vector
}

/** Pieces that must keep a distance: a door from its frame, a wheel from its well. mm at model size. */
export interface Clearance {
  readonly kind: 'clearance'
  readonly name: string
  readonly a: readonly string[]
  readonly b: readonly string[]
  readonly least: number
  readonly most?: number
}

/** A place the finished model stands on: a wheel, a foot of its stand. mm at model size. */
export interface Support {
  readonly kind: 'support'
  readonly name: string
  readonly at: Vector
}

/** An assembly that must be built before another, beyond the order they are listed in. Paths of assemblies. */
export interface Sequence {
  readonly kind: 'sequence'
  readonly first: string
  readonly second: string
}
