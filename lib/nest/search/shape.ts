import { Clipper, EndType, JoinType } from 'clipper2-ts'
import type { Bounds, Loop, Point, Region } from '../../shape/point'
import { boundsOf, placeLoop, signedArea, turning } from '../turn'
import { convexParts } from './convex'
import { simplifyOutward } from './simplify'

/**
 * One kind of piece made ready for the search. Points are taken from the middle of the outline's box at turn 0, so
 * that turning moves a piece little; {@link originOf} leads back to the piece's own origin.
 */
export interface Shape {
  /** The outline and those openings that others may go into, with half the gap around. */
  readonly region: Region
  /** Room for its label, which no other may come into. */
  readonly label?: Loop
  /** Convex loops that cover the region and the label. */
  readonly parts: () => readonly Loop[]
  /** The middle of the box, in the piece's own axes. */
  readonly middle: Point
  /** Of the outline without its openings' loss. */
  readonly area: number
  readonly turned: readonly TurnedShape[]
}

/** Boxes about the middle of the piece at one turn. */
export interface TurnedShape {
  readonly turn: number
  readonly cos: number
  readonly sin: number
  /** Of the outline and the label: what has to lie in the printable area. */
  readonly box: Bounds
  /** Of the outline alone. */
  readonly card: Bounds
  /** Of the parts: where others may be met. */
  readonly reach: Bounds
}

export interface ShapeOptions {
  readonly gap: number
  /** How far the search's outline may stand off the true one, mm. */
  readonly slack: number
  /** Share of its area that the outline may grow by. */
  readonly growth: number
  /** Openings with less area than this, mm², are taken as filled: nothing goes into them. */
  readonly leastOpening: number
}

export function prepareShape(
  outline: Loop, openings: readonly Loop[], turns: readonly number[], options: ShapeOptions,
): Shape {
  return prepareGroup([outline], openings, turns, options)
}

/** Of several outlines that are laid as one. */
export function prepareGroup(
  outlines: readonly Loop[], openings: readonly Loop[], turns: readonly number[], options: ShapeOptions,
): Shape {
  const box = boundsOf(outlines.flat())
  const middle: Point = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2]
  const centred = (loop: Loop): Loop => loop.map(([x, y]): Point => [x - middle[0], y - middle[1]])
  const area = outlines.reduce((sum, outline) => sum + Math.abs(signedArea(outline)), 0)
  const outer = outlines.map((outline) => centred(signedArea(outline) < 0 ? outline.toReversed() : outline))
  const holes = openings.map((loop) => centred(signedArea(loop) > 0 ? loop.toReversed() : loop))
  const region = widen([...outer, ...holes], options.gap / 2)
    .filter((loop) => signedArea(loop) > 0 || -signedArea(loop) >= options.leastOpening)
    .map((loop) => simplifyOutward(loop, options.slack, options.growth * area))
  const outside = region.flat()
  const turned = turns.map((turn): TurnedShape => {
    const card = boundsOf(placeLoop(outer.flat(), turn))
    return { turn, ...turning(turn), box: card, card, reach: boundsOf(placeLoop(outside, turn)) }
  })
  let parts: Loop[] | undefined
  // Only a search that pulls pieces apart asks for them.
  return { region, middle, area, turned, parts: () => (parts ??= convexParts(region)) }
}

/** Where the piece's own origin comes to lie when its middle is at (x, y). */
export function originOf(shape: Shape, turned: TurnedShape, x: number, y: number): Point {
  const [mx, my] = shape.middle
  return [x - turned.cos * mx + turned.sin * my, y - turned.sin * mx - turned.cos * my]
}

/** Where the piece's middle lies for a placement of its own origin. */
export function middleOf(shape: Shape, turned: TurnedShape, x: number, y: number): Point {
  const [mx, my] = shape.middle
  return [x + turned.cos * mx - turned.sin * my, y + turned.sin * mx + turned.cos * my]
}

/** Rounds corners by chords that lie outside the true arc: the gap is kept, not nearly kept. */
function widen(region: Region, by: number): Region {
  if (by === 0) return region
  const paths = region.map((loop) => loop.map(([x, y]) => ({ x, y })))
  const sag = Math.min(ARC_SAG, by / 8)
  const wide = Clipper.inflatePathsD(paths, by + sag + ROUNDING, JoinType.Round, EndType.Polygon, 2, 5, sag)
  return wide.map((path) => path.map(({ x, y }): Point => [x, y]))
}

/** How far a chord may lie inside its arc, mm. */
const ARC_SAG = 0.02

/** What is lost where coordinates and placements are rounded, mm. */
const ROUNDING = 0.0008
