import type { Point, Polyline } from '../shape/point'

/**
 * One page, before it is in any format: strokes by role and filled text outlines, mm from the lower left corner of
 * the sheet, y up. Formats (SVG here; others beside it) turn this into files and are the only place that rounds.
 */
export interface Drawing {
  readonly width: number
  readonly height: number
  readonly title: string
  /** Pieces, sorted by id. */
  readonly pieces: readonly PieceGroup[]
  /** Frame of the sheet: title line, key, measuring bars, grain arrow, caution. */
  readonly furniture: readonly Mark[]
  /** What the printer is to be given instead, so that what it prints is the drawing; see `lib/sheet/calibration.ts`. */
  readonly correction?: Affine
}

/** x' = a x + c y + e, y' = b x + d y + f; mm, in the order of SVG and PDF: a, b, c, d, e, f. */
export type Affine = readonly [number, number, number, number, number, number]

/** One cut-out copy of a piece. `id` is unique on the whole model: `WR-P07`, or `WR-P07#2` for a second copy. */
export interface PieceGroup {
  readonly id: string
  readonly mark: string
  /** `hull/frames`; empty where it belongs to none. */
  readonly assembly: string
  readonly stock: string
  readonly plies: number
  readonly fingerprint: string
  readonly marks: readonly Mark[]
}

export type Mark = Stroke | Lettering

/** A run of lines drawn with one pen. */
export interface Stroke {
  readonly kind: 'stroke'
  readonly role: Role
  readonly lines: readonly { readonly points: Polyline; readonly closed: boolean }[]
}

/** What a line is for; `lib/sheet/pen.ts` alone says how each looks. */
export type Role =
  | 'cut'
  | 'valley'
  | 'mountain'
  | 'datum'
  | 'align'
  | 'glue'
  | 'leader'
  | 'frame'
  | 'bar'
  | 'arrow'
  | ViewRole
  | OverlayRole

/** Lines of drawings of the built model: what is seen or cut through, its hatching, dimensions and centre lines. */
export type ViewRole = 'edge' | 'section' | 'hatch' | 'dimension' | 'centre'

/** Lines of pictures of a revision: what a piece was, and how far it is from that now. */
export type OverlayRole = 'former' | 'deviation'

/** Filled outlines of letters, with the plain text beside them so that a page can be searched. */
export interface Lettering {
  readonly kind: 'lettering'
  readonly text: string
  /** Worked out when asked for: a format that keeps its own outlines of the glyphs does without. */
  readonly loops: readonly (readonly Point[])[]
  readonly glyphs: readonly PlacedGlyph[]
}

/** One letter of the bundled font: its origin on the base line, mm a capital is high, degrees counter-clockwise. */
export interface PlacedGlyph {
  readonly character: string
  readonly at: Point
  readonly size: number
  readonly angle: number
}
