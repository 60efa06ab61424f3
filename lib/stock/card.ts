/** A figure of the catalogue with where it comes from. `nominal` marks a trade value that the bench should measure. */
export interface Figure {
  readonly value: number
  readonly source: string
  readonly nominal: boolean
}

/**
 * One kind of card as it lies on the bench. Lengths in mm, grammage in g/m², moduli in GPa; nothing here ever scales.
 */
export interface Stock {
  /** The author's name for it, `folder`. */
  readonly id: string
  /** What a sheet calls it: `manila folder card, 11 pt`. */
  readonly title: string
  readonly thickness: Figure
  readonly grammage: Figure
  /** Which edge of the sheet the grain (machine direction) runs along. */
  readonly grain: 'long' | 'short'
  readonly sheet: SheetSize
  /** Strip along each edge that the printer leaves blank. */
  readonly margin: Margin
  readonly knife: KnifeLimits
  /** What a slot is wider than the card that goes into it. */
  readonly fit: { readonly tight: Figure; readonly sliding: Figure; readonly loose: Figure }
  readonly fold: FoldFigures
  /** Dried glue between two plies. */
  readonly glueLine: Figure
  /** Young's modulus along and across the grain, GPa. */
  readonly modulus: { readonly along: Figure; readonly across: Figure }
}

export interface SheetSize {
  /** `A4`, `letter`, `folder blank`. */
  readonly name: string
  /** Portrait: width is the shorter side. */
  readonly width: number
  readonly height: number
}

export interface Margin {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
}

/** What a hand with a knife can make in this stock. */
export interface KnifeLimits {
  /** Narrowest strip of card that stays whole between two cuts. */
  readonly web: Figure
  /** Smallest opening, across, that can be cut out with a knife; below it a punch is used. */
  readonly opening: Figure
  /** Narrowest slot that can be cut with two strokes and cleared. */
  readonly slot: Figure
  /** Least distance of a score from a cut that runs beside it. */
  readonly scoreToCut: Figure
}

export interface FoldFigures {
  /** Place of the neutral layer, as a share of the thickness from the inside (K-factor). */
  readonly k: Figure
  /** Inside radius of a scored fold. */
  readonly insideRadius: Figure
  /** Smallest radius of a curl without a crease, axis along the grain (bends across it easily) and across it. */
  readonly leastCurlAlong: Figure
  readonly leastCurlAcross: Figure
}
