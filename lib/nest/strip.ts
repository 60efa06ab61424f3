import type { Loop } from '../shape/point'
import { originOf, prepareShape, type Shape } from './search/shape'
import { packStrip } from './search/strip'

/** Pieces on a strip of given width and open length, as the published test sets have them. */
export interface StripRequest {
  readonly width: number
  readonly pieces: readonly { readonly count: number; readonly turns: readonly number[]; readonly outline: Loop }[]
  readonly seed: number
  /** Share of the effort that is used up, given the questions asked so far; the search ends at 1. */
  readonly spent: (asked: number) => number
  /** Told the length whenever a shorter layout is found. */
  readonly onBetter?: (length: number) => void
}

export interface StripResult {
  readonly length: number
  /** `piece` is the index among the request's pieces; a point p lands at R(rotation)·p + (x, y), strip along x. */
  readonly placements: readonly {
    readonly piece: number
    readonly rotation: number
    readonly x: number
    readonly y: number
  }[]
}

/**
 * Nests on as short a strip as the effort allows. No gap between the pieces.
 * @throws RangeError for a piece that is wider than the strip at every turn it offers
 */
export function nestStrip({ width, pieces, seed, spent, onBetter }: StripRequest): StripResult {
  const options = { gap: 0, slack: SLACK * width, growth: GROWTH, leastOpening: Infinity }
  const shapes = pieces.map(({ outline, turns }) => prepareShape(outline, [], turns, options))
  shapes.forEach((shape, piece) => requireFit(shape, piece, width))
  const members = pieces.flatMap(({ count }, shape) => Array.from({ length: count }, () => shape))
  if (members.length === 0) return { length: 0, placements: [] }
  const report = ({ length }: { length: number }) => onBetter?.(length)
  const { layout, best } = packStrip({ shapes, members, width, seed, spent, onBetter: report })
  const placements = members.map((piece, member) => {
    const shape = shapes[piece]!
    const turned = shape.turned[best.pose[member]! - layout.firstPose[piece]!]!
    const [x, y] = originOf(shape, turned, best.x[member]!, best.y[member]!)
    return { piece, rotation: turned.turn, x, y }
  })
  return { length: best.length, placements }
}

function requireFit({ turned }: Shape, piece: number, width: number): void {
  const least = Math.min(...turned.map(({ box }) => box.maxY - box.minY))
  if (least > width * (1 + FIT)) throw new RangeError(`piece ${piece} is ${least} wide at best, the strip ${width}`)
}

/** Share of its width by which a piece may be too wide: rounding. */
const FIT = 1e-9

/** How far the search's outlines may stand off the true ones, as a share of the strip's width. */
const SLACK = 0.001

/** Share of its area by which an outline may grow. */
const GROWTH = 0.0005
