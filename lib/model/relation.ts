import type { Vector } from '../shape/pose'
import type { CardEdge } from './form'

/** What the parts of a model are to one another, beyond the assembly they are in. Marks name pieces. */
export type Relation = Join | Bond | Seam | Clearance | Support | Sequence

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

/** Pieces that are glued to one at least of others: of the first, one touches them with every copy of it. */
export interface Bond {
  readonly kind: 'bond'
  /** One, but where it was taken apart into plies or tiles, of which any may be the one that touches. */
  readonly a: readonly string[]
  readonly b: readonly string[]
}

/** Two pieces of curled card, or two copies of one, whose edges meet all along. */
export interface Seam {
  readonly kind: 'seam'
  readonly a: string
  readonly b: string
  /** The edge of `a` and that of `b`. */
  readonly edges: readonly [CardEdge, CardEdge]
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
