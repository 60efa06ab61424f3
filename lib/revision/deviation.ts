import type { Fold, Piece } from '../model/piece'
import { area } from '../shape/area'
import { boundsOf } from '../shape/bounds'
import type { Point } from '../shape/point'
import { hausdorff, type Lines, linesOf, type Reach, REACH_TOLERANCE, type Run } from './hausdorff'

/** The lines of a piece that make it what it is. */
export type Cuts = Pick<Piece, 'outline' | 'openings' | 'scores'>

/** How far two shapes of a piece are apart. Places are in the axes of the later one, mm. */
export interface Deviation {
  /** Largest distance between the lines that are cut, outline and openings, mm. */
  readonly distance: number
  /** Where that is: the place on the earlier shape and on the later one. */
  readonly ends: readonly [before: Point, after: Point]
  /** The same of fold lines, valleys with valleys. Undefined where none is folded, or one of two has no such fold. */
  readonly folds?: Reach
  /** Whether other folds were asked for: moved, added, taken away, turned over or by another angle. */
  readonly refolded: boolean
  /** By how much the earlier shape was moved in its axes to compare the two, mm; 0, 0 for as drawn. */
  readonly shift: Point
  /** Of card, without openings, mm². */
  readonly area: { readonly before: number; readonly after: number }
}

/**
 * Compares two shapes of one piece by the Hausdorff distance of their lines, to 0.0001 mm. As both are drawn, unless
 * laying a corner of the one's box on that of the other brings them nearer: a piece may have been moved in its axes,
 * which makes no other piece. Corners, not centres, so that a strip grown by 1 mm at one end is off by 1 mm, not twice
 * by half of that; and not turned, since that would turn the grain.
 */
export function deviation(before: Cuts, after: Cuts): Deviation {
  const later = linesOf(cutsOf(after))
  let shift: Point = AS_DRAWN
  let cut = hausdorff(linesOf(cutsOf(before)), later)!
  for (const move of cut.distance <= SETTLED ? [] : cornerMoves(before, after)) {
    const moved = hausdorff(linesOf(cutsOf(before), move), later, cut.distance)!
    if (moved.distance >= cut.distance - SETTLED) continue
    shift = move
    cut = moved
  }
  const folds = furthest(FOLDS.map((fold) => foldReach(before, after, fold, shift)))
  return {
    distance: cut.distance,
    ends: cut.ends,
    ...(folds && { folds }),
    refolded: isRefolded(before, after, folds),
    shift,
    area: { before: cardArea(before), after: cardArea(after) },
  }
}

/** Area of card in mm². */
export function cardArea({ outline, openings }: Pick<Piece, 'outline' | 'openings'>): number {
  return area([outline, ...openings.map(({ loop }) => loop)])
}

const AS_DRAWN: Point = [0, 0]
const FOLDS = ['valley', 'mountain'] as const

/** What a sheet can show, mm: shapes nearer than this are one shape. */
const SETTLED = 0.001

/** A fold turned by less is the same, degrees. */
const SAME_ANGLE = 0.001

function cutsOf({ outline, openings }: Cuts): Run[] {
  return [outline, ...openings.map(({ loop }) => loop)].map((line) => ({ line, closed: true }))
}

/** Ways to move the earlier shape so that a corner of its box comes on that of the later one; each once. */
function cornerMoves(before: Cuts, after: Cuts): Point[] {
  const [old, now] = [boundsOf([before.outline]), boundsOf([after.outline])]
  const moves: Point[] = []
  for (const x of ['minX', 'maxX'] as const) {
    for (const y of ['minY', 'maxY'] as const) {
      const move: Point = [now[x] - old[x], now[y] - old[y]]
      if (![AS_DRAWN, ...moves].some((other) => isNear(move, other))) moves.push(move)
    }
  }
  return moves
}

function isNear(a: Point, b: Point): boolean {
  return Math.hypot(a[0] - b[0], a[1] - b[1]) <= SETTLED
}

function foldReach(before: Cuts, after: Cuts, fold: Fold, shift: Point): Reach | undefined {
  return hausdorff(foldLines(before, fold, shift), foldLines(after, fold))
}

function foldLines({ scores }: Cuts, fold: Fold, shift?: Point): Lines {
  return linesOf(scores.flatMap(({ fold: its, line }) => (its === fold ? [{ line, closed: false }] : [])), shift)
}

function furthest(reaches: readonly (Reach | undefined)[]): Reach | undefined {
  return reaches.reduce((worst, reach) => (reach && reach.distance > (worst?.distance ?? -1) ? reach : worst), undefined)
}

function isRefolded(before: Cuts, after: Cuts, folds: Reach | undefined): boolean {
  if (folds && folds.distance > SETTLED + REACH_TOLERANCE) return true
  return FOLDS.some((fold) => {
    const [old, now] = [anglesOf(before, fold), anglesOf(after, fold)]
    return old.length !== now.length || old.some((angle, i) => Math.abs(angle - now[i]!) > SAME_ANGLE)
  })
}

function anglesOf({ scores }: Cuts, fold: Fold): number[] {
  return scores.flatMap((score) => (score.fold === fold ? [score.angle] : [])).toSorted((a, b) => a - b)
}
