import type { CallSite } from '../finding/site'
import type { Loop, Point, Polyline } from '../shape/point'
import type { Pose } from '../shape/pose'
import type { Form } from './form'

/**
 * One flat thing to cut, as plain data: mm at model size, in the piece's own axes, seen from the printed side.
 * Everything after the model stage works on this and never changes it in place.
 */
export interface Piece {
  /** The piece's name on the sheet: `WR-P07`, or `SE-03-PAN` for one part of a family that makes several. */
  readonly mark: string
  readonly family: string
  readonly side: Side
  /** The station's number in its family, from 1. */
  readonly station: number
  /** Where it belongs: `hull/frames`. Empty until an assembly takes it in. */
  readonly assembly: string
  /** Id of the stock. */
  readonly stock: string
  readonly plies: number
  /** How many alike are needed. */
  readonly copies: number
  /** Direction the grain must run in, degrees from the piece's x axis; undefined where any will do. */
  readonly grain?: number
  /** Counter-clockwise. */
  readonly outline: Loop
  readonly openings: readonly Opening[]
  readonly scores: readonly Score[]
  readonly lines: readonly Line[]
  readonly texts: readonly Text[]
  readonly pose?: Pose
  /** Where the further copies stand, in their order; the first stands at `pose`. */
  readonly also?: readonly Pose[]
  /** How it stands when it is not left flat. */
  readonly form?: Form
  /** Names of the figures the piece was made from, sorted: `scale`, `stock:folder.thickness`, `dimension:span`. */
  readonly reads: readonly string[]
  /** Said beside the piece in lists: `roll tight round a 2 mm former`. */
  readonly notes: readonly string[]
  /** Where the author made it; not part of what the piece is. */
  readonly site?: CallSite
}

/** Port and starboard pieces are handed: printed mirrored, so that the marks face the same way on both. */
export type Side = 'P' | 'S' | ''

/** A cut inside the outline; clockwise. A slot takes another piece, an opening only lets light and wires through. */
export interface Opening {
  readonly kind: 'opening' | 'slot'
  readonly loop: Loop
}

/** A line to be scored and folded: seen from the printed side a valley closes towards the eye, a mountain away from it. */
export interface Score {
  readonly fold: Fold
  readonly line: Polyline
  /** Angle turned through from flat, degrees; 90 for a box corner. */
  readonly angle: number
}

export type Fold = 'valley' | 'mountain'

/** A drawn line that is neither cut nor folded. */
export interface Line {
  readonly kind: LineKind
  readonly line: Polyline
  readonly closed: boolean
}

/** Datum: centre or reference line. Align: where another piece's edge comes. Glue: edge of an area to be glued. */
export type LineKind = 'datum' | 'align' | 'glue'

/** Words on the piece, `size` the height of a capital in mm, centred on `at`, turned `angle` degrees. */
export interface Text {
  readonly text: string
  readonly at: Point
  readonly size: number
  readonly angle: number
}
