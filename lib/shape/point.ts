/**
 * The flat geometry everything else is made of. Conventions, stated once and relied on everywhere:
 *
 * - millimetres at model size; x to the right, y up (only the sheet formats turn y over);
 * - a loop is closed without repeating its first point; an outer loop runs counter-clockwise, a hole clockwise;
 * - curves are flattened so that no chord stands further than {@link CHORD_TOLERANCE} from the true curve;
 * - two points nearer than {@link SAME_POINT} are one point.
 *
 * Values are never changed in place.
 */
export type Point = readonly [x: number, y: number]

/** An open or closed run of straight segments; whether it closes is the owner's business. */
export type Polyline = readonly Point[]

/** A closed run: the last point joins the first, which is not repeated. */
export type Loop = readonly Point[]

/** Filled area: outer loops counter-clockwise, holes clockwise, none crossing. Empty area is `[]`. */
export type Region = readonly Loop[]

export interface Bounds {
  readonly minX: number
  readonly minY: number
  readonly maxX: number
  readonly maxY: number
}

/** Largest distance of a chord from the curve it stands for, mm at model size. A knife line is 0.1 mm wide at best. */
export const CHORD_TOLERANCE = 0.01

/** Distance below which two points are the same, mm: a hundredth of what the sheets print (0.001 mm). */
export const SAME_POINT = 1e-5
