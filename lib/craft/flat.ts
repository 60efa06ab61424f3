import type { Loop, Point, Polyline } from '../shape/point'

/**
 * What the kernels of this folder return: one flat thing to cut, in its own axes, seen from the printed side, without
 * name, stock or place in the model. All mm.
 */
export interface Flat {
  /** Counter-clockwise. */
  readonly outline: Loop
  readonly openings: readonly FlatOpening[]
  readonly scores: readonly FlatScore[]
  readonly lines: readonly FlatLine[]
  /** Direction the grain should run in, degrees from the x axis; undefined where any will do. */
  readonly grain?: number
}

/** A cut inside the outline, clockwise. A slot takes another piece, an opening does not. */
export interface FlatOpening {
  readonly kind: 'opening' | 'slot'
  readonly loop: Loop
}

/** Seen from the printed side a valley closes towards the eye and a mountain away from it. */
export type Fold = 'valley' | 'mountain'

/** A line to be scored and folded through `angle` degrees from flat. */
export interface FlatScore {
  readonly fold: Fold
  readonly line: Polyline
  readonly angle: number
}

/** Datum: centre or reference line. Align: where another piece comes. Glue: edge of an area to be glued. */
export interface FlatLine {
  readonly kind: 'datum' | 'align' | 'glue'
  readonly line: Polyline
  readonly closed: boolean
}

/** A bare outline: nothing cut inside it, nothing folded, nothing drawn. */
export function plainFlat(outline: Loop, extra: Partial<Omit<Flat, 'outline'>> = {}): Flat {
  return { outline, openings: [], scores: [], lines: [], ...extra }
}

/** A rectangle from the origin, `width` along x and `height` along y. */
export function rectangleLoop(width: number, height: number): Loop {
  return [
    [0, 0],
    [width, 0],
    [width, height],
    [0, height],
  ]
}

/** The flat with every point sent through `move`, which must keep the printed side up (no mirroring). */
export function moveFlat(flat: Flat, move: (point: Point) => Point, turn = 0): Flat {
  const all = (line: Polyline): Polyline => line.map(move)
  return {
    outline: all(flat.outline),
    openings: flat.openings.map((opening) => ({ ...opening, loop: all(opening.loop) })),
    scores: flat.scores.map((score) => ({ ...score, line: all(score.line) })),
    lines: flat.lines.map((line) => ({ ...line, line: all(line.line) })),
    ...(flat.grain !== undefined && { grain: flat.grain + turn }),
  }
}
