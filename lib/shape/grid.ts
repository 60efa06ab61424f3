import type { Path64, Point64 } from 'clipper2-ts'
import { loopArea } from './area'
import { figure, place, shapeError } from './fault'
import { type Loop, type Point, SAME_POINT } from './point'

/**
 * Booleans and offsets are computed on a grid of whole numbers, where crossings can be decided exactly. One step of
 * the grid is {@link SAME_POINT}, 0.00001 mm: points that are one point fall together by themselves, rounding is a
 * hundred times finer than what the sheets print, and the products of two differences stay exact in a double up to
 * 900 mm (9e7 steps, 2^53 when multiplied), beyond which clipper2-ts goes over to slow big integers.
 */
export const STEPS_PER_MM = Math.round(1 / SAME_POINT)

/** Card is measured in metres at most; a coordinate beyond a kilometre is a slip in a unit or a division by nought. */
const FARTHEST = 1e6

/** @throws FindingError for a coordinate that is no number, or is beyond all card */
export function toGrid(loop: Loop): Path64 {
  return loop.map((point, i) => {
    checkPoint(point, i)
    // Adding 0 makes -0 a 0: it is no whole number to V8, which would then keep every coordinate in a box of its own.
    return { x: Math.round(point[0] * STEPS_PER_MM) + 0, y: Math.round(point[1] * STEPS_PER_MM) + 0 }
  })
}

export function fromGrid(path: Path64): Loop {
  // Dividing gives the double nearest the decimal, which multiplying by the step would not. Adding 0 makes -0 a 0.
  return path.map(({ x, y }): Point => [x / STEPS_PER_MM + 0, y / STEPS_PER_MM + 0])
}

/** @throws FindingError for a coordinate that is no number, or is beyond all card */
export function checkPoint(point: Point, index: number): void {
  if (!(Math.abs(point[0]) <= FARTHEST && Math.abs(point[1]) <= FARTHEST)) throw badPoint(point, index)
}

/**
 * A path from its leftmost, then lowest point (always a true corner, so the start does not hang on the order of the
 * work), without points that lie on the line between their neighbours to within one step. Undefined for a sliver
 * thinner than the grid can tell.
 */
export function tidyPath(path: Path64): Path64 | undefined {
  const count = path.length
  if (count < 3) return undefined
  let start = 0
  for (let i = 1; i < count; i++) {
    const p = path[i]!
    const q = path[start]!
    if (p.x < q.x || (p.x === q.x && p.y < q.y)) start = i
  }
  let last = path[start]!
  const kept = [last]
  let twiceArea = 0
  let perimeter = 0
  for (let k = 1; k < count; k++) {
    const at = path[start + k < count ? start + k : start + k - count]!
    const next = path[start + k + 1 < count ? start + k + 1 : start + k + 1 - count]!
    if (onLine(last, at, next)) continue
    twiceArea += (last.x - kept[0]!.x) * (at.y - kept[0]!.y) - (last.y - kept[0]!.y) * (at.x - kept[0]!.x)
    perimeter += Math.abs(at.x - last.x) + Math.abs(at.y - last.y)
    kept.push(at)
    last = at
  }
  if (kept.length < 3 || Math.abs(twiceArea) <= 2 * perimeter) return undefined
  return kept
}

function onLine(a: Point64, b: Point64, c: Point64): boolean {
  const ux = c.x - a.x
  const uy = c.y - a.y
  const vx = b.x - a.x
  const vy = b.y - a.y
  const cross = ux * vy - uy * vx
  const along = ux * vx + uy * vy
  const length = ux * ux + uy * uy
  return cross * cross <= length && along >= 0 && along <= length
}

/** Outer loops first, then holes; each by its first point, so that equal regions are equal arrays. */
export function compareLoops(a: Loop, b: Loop): number {
  return (
    Number(loopArea(a) < 0) - Number(loopArea(b) < 0) ||
    a[0]![0] - b[0]![0] ||
    a[0]![1] - b[0]![1] ||
    a.length - b.length ||
    a[1]![0] - b[1]![0] ||
    a[1]![1] - b[1]![1]
  )
}

function badPoint(point: Point, index: number): Error {
  const beyond = Math.max(Math.abs(point[0]), Math.abs(point[1]))
  return shapeError(
    'bad-point',
    Number.isFinite(beyond)
      ? `point ${index + 1} of a shape stands at ${place(point)} mm, beyond the ${figure(FARTHEST)} mm allowed`
      : `point ${index + 1} of a shape has the coordinates ${place(point)}, which are no numbers`,
    'check the calculation it comes from: a division by nought, or a unit left out',
    Number.isFinite(beyond) ? { found: beyond, wanted: FARTHEST, at: point } : {},
  )
}
