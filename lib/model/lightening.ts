import { type Length, ZERO, lengthError, longest, mm } from '../length/length'
import { bench } from '../length/unit'
import { boundsOf, distanceToBoundary } from '../shape/measure'
import { circle, slot } from '../shape/primitive'
import type { Region } from '../shape/point'
import type { Shape } from '../shape/shape'
import type { OpeningMaker } from './draft'

export interface LighteningOptions {
  /** How many holes in the row. */
  readonly count: number
  /** Least card left between a hole and any cut, and between two holes. */
  readonly web: Length
  /** Part of the piece's length the row takes, as shares of it from its left end. */
  readonly from?: number
  readonly to?: number
  /** Round holes, or holes drawn out along the row with round ends. */
  readonly form?: 'round' | 'slotted'
  /** Holes that would be smaller than this are left out. */
  readonly least?: Length
}

/**
 * The usual row of lightening holes along the middle of a rib or frame: the row is divided into equal bays, and in
 * each bay stands the largest hole that leaves the web to the edge, to slots and notches, and to its neighbours.
 */
export function lightening(options: LighteningOptions): OpeningMaker {
  const { count, web, from = 0, to = 1, form = 'round', least = ZERO } = options
  if (!Number.isInteger(count) || count < 1) {
    throw lengthError(`lightening was asked for ${count} holes`, 'give a whole number of 1 or more')
  }
  if (!(from >= 0 && to <= 1 && from < to)) {
    throw lengthError(`lightening was given the row from ${from} to ${to}`, 'give two shares from 0 to 1, the first the smaller')
  }
  return (outline) => {
    const { minX, maxX } = boundsOf(outline.region)
    const start = minX + (maxX - minX) * from
    const bay = ((maxX - minX) * (to - from)) / count
    const smallest = mm(longest(least, bench.mm(SMALLEST_HOLE)))
    return Array.from({ length: count }, (_, i) => largestHole(outline, start + bay * i, start + bay * (i + 1), mm(web)))
      .map((hole) => (form === 'slotted' ? drawnOut(outline.region, hole, mm(web)) : hole))
      .filter((hole) => hole.radius * 2 >= smallest)
      .map(holeShape)
  }
}

interface Hole {
  readonly x: number
  readonly y: number
  readonly radius: number
  /** The hole reaches this far to either side of x before its round end. */
  readonly reach: number
  readonly bay: readonly [number, number]
}

/** Below this a hole is a dot that no one would call a lightening hole, mm across. */
const SMALLEST_HOLE = 0.3

/** Places tried in a bay; between them the best is refined by halving the step. */
const SAMPLES = 12
const HALVINGS = 6

function largestHole(outline: Shape, lower: number, upper: number, web: number): Hole {
  const { region } = outline
  let best: Hole = { x: (lower + upper) / 2, y: 0, radius: 0, reach: 0, bay: [lower, upper] }
  const attempt = (x: number): void => {
    const middle = middleAt(region, x)
    if (middle === undefined) return
    const ownBay = Math.min(x - lower, upper - x) - web / 2
    const radius = Math.min(distanceToBoundary(region, [x, middle]) - web, ownBay)
    if (radius > best.radius) best = { ...best, x, y: middle, radius }
  }
  let step = (upper - lower) / SAMPLES
  for (let i = 0; i < SAMPLES; i++) attempt(lower + step * (i + 0.5))
  for (let i = 0; i < HALVINGS; i++) {
    step /= 2
    const { x } = best
    attempt(x - step)
    attempt(x + step)
  }
  return best
}

/** Draws a round hole out to both sides, level, as far as the web allows. */
function drawnOut(region: Region, hole: Hole, web: number): Hole {
  const roomAt = (x: number) => distanceToBoundary(region, [x, hole.y]) - web
  const farthest = Math.min(hole.x - hole.bay[0], hole.bay[1] - hole.x) - web / 2
  let best = hole
  let bestArea = holeArea(hole)
  // A longer hole must be lower: try heights, and for each the reach that both ends still allow.
  for (let share = 0.95; share >= 0.5; share -= 0.05) {
    const radius = hole.radius * share
    let reach = 0
    while (reach + radius + REACH_STEP <= farthest && reachFits(roomAt, hole.x, reach + REACH_STEP, radius)) {
      reach += REACH_STEP
    }
    const longer = { ...hole, radius, reach }
    if (holeArea(longer) > bestArea) {
      best = longer
      bestArea = holeArea(longer)
    }
  }
  return best
}

const REACH_STEP = 0.1

function reachFits(roomAt: (x: number) => number, x: number, reach: number, radius: number): boolean {
  return roomAt(x - reach) >= radius && roomAt(x + reach) >= radius
}

function holeArea({ radius, reach }: Hole): number {
  return Math.PI * radius ** 2 + 4 * reach * radius
}

function holeShape({ x, y, radius, reach }: Hole): Shape {
  const made =
    reach === 0 ? circle(bench.mm(radius)) : slot(bench.mm(2 * (reach + radius)), bench.mm(2 * radius))
  return made.moved(bench.mm(x), bench.mm(y))
}

/** Half way up the card at x, taking the tallest stretch of card where slots divide it. */
function middleAt(region: Region, x: number): number | undefined {
  const heights: number[] = []
  for (const loop of region) {
    for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
      const [ax, ay] = loop[j]!
      const [bx, by] = loop[i]!
      if (ax <= x !== bx <= x) heights.push(ay + ((by - ay) * (x - ax)) / (bx - ax))
    }
  }
  heights.sort((a, b) => a - b)
  let middle: number | undefined
  let tallest = 0
  for (let i = 0; i + 1 < heights.length; i += 2) {
    const height = heights[i + 1]! - heights[i]!
    if (height > tallest) {
      tallest = height
      middle = (heights[i]! + heights[i + 1]!) / 2
    }
  }
  return middle
}
