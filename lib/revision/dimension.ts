import type { Bounds, Point, Polyline } from '../shape/point'
import type { Mark } from '../sheet/drawing'
import { letter, textWidth } from '../sheet/lettering'
import { clipSegment, eachSegment, type Line } from './clip'

export type Box = Bounds

/**
 * A line with a head at both ends and its figure beside it, clear of the lines of the drawing where there is room for
 * that, inside the frame. Heads inside and the figure upright, after ISO 129-1 (from memory).
 */
export function dimension(from: Point, to: Point, text: string, lines: readonly Line[], frame: Box): Mark[] {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  if (length === 0) return []
  const [ux, uy] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
  const head = Math.min(HEAD, length * 0.4)
  const wings = (tip: Point, way: number): Polyline =>
    [WING, 0, -WING].map((side): Point => [
      tip[0] + (side === 0 ? 0 : way * head * ux - side * head * uy),
      tip[1] + (side === 0 ? 0 : way * head * uy + side * head * ux),
    ])
  const drawn = [[from, to], wings(from, 1), wings(to, -1)]
  const own: Line = { role: 'deviation', points: [from, to], closed: false }
  const at = freePlace(from, to, text, [...lines, own], frame)
  return [
    { kind: 'stroke', role: 'deviation', lines: drawn.map((points) => ({ points, closed: false })) },
    letter(text, { at, size: SIZE, anchor: 'middle' }),
  ]
}

const HEAD = 1.8
const WING = 0.3
const SIZE = 2.2
const CLEAR = 0.7

/** Where the middle of the figure goes: near the middle of the line or its ends, crossed by as few lines as can be. */
function freePlace(from: Point, to: Point, text: string, lines: readonly Line[], frame: Box): Point {
  const [halfWide, halfHigh] = [textWidth(text, SIZE) / 2 + CLEAR, SIZE / 2 + CLEAR]
  const middle: Point = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2]
  let best = middle
  let fewest = Infinity
  for (const ring of [1, 1.6, 2.4, 3.4]) {
    for (const [dx, dy] of AROUND) {
      const at: Point = [middle[0] + dx * (halfWide + 0.8) * ring, middle[1] + dy * (halfHigh + 0.8) * ring]
      const box = { minX: at[0] - halfWide, maxX: at[0] + halfWide, minY: at[1] - halfHigh, maxY: at[1] + halfHigh }
      const out = box.minX < frame.minX || box.maxX > frame.maxX || box.minY < frame.minY || box.maxY > frame.maxY
      if (out) continue
      const crossed = countCrossing(lines, box)
      if (crossed < fewest) [best, fewest] = [at, crossed]
      if (fewest === 0) return best
    }
  }
  return best
}

const AROUND: readonly Point[] = [[1, 0], [-1, 0], [0, 1], [0, -1], [1, 1], [-1, 1], [1, -1], [-1, -1]]

function countCrossing(lines: readonly Line[], box: Box): number {
  let count = 0
  for (const line of lines) eachSegment(line, (a, b) => (count += clipSegment(a, b, box) ? 1 : 0))
  return count
}
