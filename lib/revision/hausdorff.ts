import type { Point, Polyline } from '../shape/point'

/** Two points of two drawings, mm, that are as far apart as the drawings get. */
export interface Reach {
  readonly distance: number
  /** On the first drawing and on the second. */
  readonly ends: readonly [Point, Point]
}

/** Lines made ready to be measured against others. */
export interface Lines {
  /** Both ends of each segment: x, y, x, y. */
  readonly ends: Float64Array
  /** A box round every so many segments on end: least x and y, most x and y. */
  readonly boxes: Float64Array
}

export interface Run {
  readonly line: Polyline
  readonly closed: boolean
}

/** How much less than the true distance may be found, mm. */
export const REACH_TOLERANCE = 1e-4

/** Runs of segments, all of them moved by the same way. A run of one point counts as that point. */
export function linesOf(runs: readonly Run[], [dx, dy]: Point = [0, 0]): Lines {
  const ends: number[] = []
  for (const { line, closed } of runs) {
    const last = closed && line.length > 2 ? line.length : line.length - 1
    for (let i = 0; i < Math.max(last, Math.min(1, line.length)); i++) {
      const [a, b] = [line[i]!, line[(i + 1) % line.length]!]
      ends.push(a[0] + dx, a[1] + dy, b[0] + dx, b[1] + dy)
    }
  }
  const flat = Float64Array.from(ends)
  return { ends: flat, boxes: boxesOf(flat) }
}

/**
 * Hausdorff distance of two drawings: the largest distance that a point of either has from the nearest point of the
 * other (F. Hausdorff, Grundzüge der Mengenlehre, 1914). The distance of a point that runs along a segment to another
 * segment is convex, so two ends near to one segment bound all between them; what that does not settle is halved until it
 * can add no more than {@link REACH_TOLERANCE}. Undefined where either has no lines.
 *
 * @param most ends the search, with what has been found, once the distance is known to be larger
 */
export function hausdorff(first: Lines, second: Lines, most = Infinity): Reach | undefined {
  if (first.ends.length === 0 || second.ends.length === 0) return undefined
  const there: Search = { from: first, to: second, best: -1, tip: [0, 0], foot: 0 }
  search(there, most)
  const back: Search = { from: second, to: first, best: there.best, tip: [0, 0], foot: -1 }
  if (there.best <= most) search(back, most)
  // The way back counts only where it has found something further.
  const { best, to, tip, foot } = back.foot < 0 ? there : back
  const other = footOn(to.ends, foot, tip[0], tip[1])
  return { distance: best, ends: back.foot < 0 ? [tip, other] : [other, tip] }
}

interface Search {
  readonly from: Lines
  readonly to: Lines
  /** Furthest so far, and the point and the segment it lies between. */
  best: number
  tip: Point
  foot: number
}

const BLOCK = 16

function boxesOf(ends: Float64Array): Float64Array {
  const count = Math.ceil(ends.length / 4 / BLOCK)
  const boxes = new Float64Array(4 * count)
  for (let b = 0; b < count; b++) {
    let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity]
    for (let k = 4 * BLOCK * b; k < Math.min(ends.length, 4 * BLOCK * (b + 1)); k += 2) {
      minX = Math.min(minX, ends[k]!)
      maxX = Math.max(maxX, ends[k]!)
      minY = Math.min(minY, ends[k + 1]!)
      maxY = Math.max(maxY, ends[k + 1]!)
    }
    boxes.set([minX, minY, maxX, maxY], 4 * b)
  }
  return boxes
}

/** Looks for the point of `from` that is furthest from `to`, and further than the best so far. */
function search(state: Search, most: number): void {
  const { from, to } = state
  const { ends } = from
  let hint = 0
  for (let k = 0; k < ends.length && state.best <= most; k += 4) {
    const [ax, ay, bx, by] = [ends[k]!, ends[k + 1]!, ends[k + 2]!, ends[k + 3]!]
    const near = nearSegment(to.ends, hint, state.best, ax, ay, bx, by)
    hint = near >= 0 ? near : stretch(state, nearest(to, ax, ay, hint), ax, ay, bx, by)
  }
}

/** A segment at or beside the hint that has both points within the distance, or -1. */
function nearSegment(ends: Float64Array, hint: number, within: number, ax: number, ay: number, bx: number, by: number) {
  const count = ends.length / 4
  for (let step = 0; step < 3; step++) {
    const j = (hint + (step === 2 ? count - 1 : step)) % count
    if (distance(ends, j, ax, ay) <= within && distance(ends, j, bx, by) <= within) return j
  }
  return -1
}

/** The same for one segment of `from`, whose start is nearest to segment j; gives the one its end is nearest to. */
function stretch(state: Search, j: number, ax: number, ay: number, bx: number, by: number): number {
  const { to } = state
  const last = nearest(to, bx, by, j)
  note(state, j, ax, ay)
  note(state, last, bx, by)
  settle(state, ax, ay, j, bx, by, last)
  return last
}

function note(state: Search, j: number, x: number, y: number): void {
  const far = distance(state.to.ends, j, x, y)
  if (far <= state.best) return
  state.best = far
  state.tip = [x, y]
  state.foot = j
}

/** Between two points whose nearest segments are known: done, or halved. */
function settle(state: Search, ax: number, ay: number, i: number, bx: number, by: number, j: number): void {
  const { to } = state
  const enough = state.best + REACH_TOLERANCE
  const [ai, bj] = [distance(to.ends, i, ax, ay), distance(to.ends, j, bx, by)]
  if (Math.max(ai, distance(to.ends, i, bx, by)) <= enough) return
  if (Math.max(bj, distance(to.ends, j, ax, ay)) <= enough) return
  // A distance grows no faster than the point moves.
  if ((ai + bj + Math.hypot(bx - ax, by - ay)) / 2 <= enough) return
  const [mx, my] = [(ax + bx) / 2, (ay + by) / 2]
  const middle = nearest(to, mx, my, i)
  note(state, middle, mx, my)
  settle(state, ax, ay, i, mx, my, middle)
  settle(state, mx, my, middle, bx, by, j)
}

/** The segment nearest to a point; the hint, of several as near. */
function nearest({ ends, boxes }: Lines, x: number, y: number, hint: number): number {
  let best = hint
  let least = squared(ends, hint, x, y)
  for (let b = 0; b < boxes.length; b += 4) {
    const dx = Math.max(boxes[b]! - x, 0, x - boxes[b + 2]!)
    const dy = Math.max(boxes[b + 1]! - y, 0, y - boxes[b + 3]!)
    if (dx * dx + dy * dy >= least) continue
    const first = (b / 4) * BLOCK
    const last = Math.min(first + BLOCK, ends.length / 4)
    for (let j = first; j < last; j++) {
      const far = squared(ends, j, x, y)
      if (far < least) {
        least = far
        best = j
      }
    }
  }
  return best
}

function distance(ends: Float64Array, j: number, x: number, y: number): number {
  return Math.sqrt(squared(ends, j, x, y))
}

function squared(ends: Float64Array, j: number, x: number, y: number): number {
  const k = 4 * j
  const ax = ends[k]!
  const ay = ends[k + 1]!
  const ux = ends[k + 2]! - ax
  const uy = ends[k + 3]! - ay
  const long = ux * ux + uy * uy
  const along = long === 0 ? 0 : ((x - ax) * ux + (y - ay) * uy) / long
  const t = along < 0 ? 0 : along > 1 ? 1 : along
  const dx = ax + t * ux - x
  const dy = ay + t * uy - y
  return dx * dx + dy * dy
}

/** The point of segment j that is nearest to a point. */
function footOn(ends: Float64Array, j: number, x: number, y: number): Point {
  const k = 4 * j
  const [ax, ay] = [ends[k]!, ends[k + 1]!]
  const [ux, uy] = [ends[k + 2]! - ax, ends[k + 3]! - ay]
  const long = ux * ux + uy * uy
  const t = long === 0 ? 0 : Math.min(1, Math.max(0, ((x - ax) * ux + (y - ay) * uy) / long))
  return [ax + t * ux, ay + t * uy]
}
