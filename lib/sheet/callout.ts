import type { Bounds, Point, Polyline } from '../shape/point'
import type { Mark } from './drawing'
import { letter, LINE_PITCH, textWidth } from './lettering'

/** A word about a place in a drawing. */
export interface Callout {
  readonly text: string
  /** Where the leader may end; the one nearest to the words is taken. */
  readonly at: readonly Point[]
}

/**
 * Words in two columns beside a drawing, each on a straight leader to its place: in the order of the places from top to
 * bottom, as near to level with them as there is room, so that no two leaders of a column cross and no words touch.
 */
export function callouts(list: readonly Callout[], around: Bounds, size: number): { marks: Mark[]; bounds: Bounds } {
  const middle = (around.minX + around.maxX) / 2
  const sided = list.map((callout) => ({ callout, left: meanX(callout.at) < middle }))
  const columns = [true, false].map((left) => columnOf(sided.filter((one) => one.left === left).map(({ callout }) => callout), left, around, size))
  const all = [around, ...columns.flatMap(({ bounds }) => bounds ?? [])]
  return {
    marks: columns.flatMap(({ marks }) => marks),
    bounds: {
      minX: Math.min(...all.map(({ minX }) => minX)),
      minY: Math.min(...all.map(({ minY }) => minY)),
      maxX: Math.max(...all.map(({ maxX }) => maxX)),
      maxY: Math.max(...all.map(({ maxY }) => maxY)),
    },
  }
}

/** From the drawing to the words, mm. */
const GAP = 6

function columnOf(list: readonly Callout[], left: boolean, around: Bounds, size: number): { marks: Mark[]; bounds?: Bounds } {
  if (list.length === 0) return { marks: [] }
  const x = left ? around.minX - GAP : around.maxX + GAP
  const anchored = list.map(({ text, at }) => ({ text, end: outermost(at, left) })).toSorted((a, b) => b.end[1] - a.end[1])
  const pitch = size * LINE_PITCH
  const ys = spread(anchored.map(({ end }) => end[1]), pitch)
  const lines: { points: Polyline; closed: boolean }[] = []
  const words: Mark[] = []
  let widest = 0
  for (const [i, { text, end }] of anchored.entries()) {
    const y = ys[i]!
    widest = Math.max(widest, textWidth(text, size))
    words.push(letter(text, { at: [left ? x - 1 : x + 1, y - size / 2], size, anchor: left ? 'end' : 'start' }))
    lines.push({ points: [[x, y], end], closed: false })
  }
  const edge = x + (left ? -1 : 1) * (widest + 1)
  return {
    marks: [{ kind: 'stroke', role: 'leader', lines }, ...words],
    bounds: { minX: Math.min(x, edge), maxX: Math.max(x, edge), minY: Math.min(...ys) - size, maxY: Math.max(...ys) + size },
  }
}

/**
 * Heights at least a pitch apart, in order from the top, as near as can be to those wanted: least squares, by pooling
 * neighbours that crowd one another (isotonic regression).
 */
export function spread(wanted: readonly number[], pitch: number): number[] {
  // Lowered by a pitch each, the heights need only not rise.
  const pools: { sum: number; count: number }[] = []
  for (const [i, y] of wanted.entries()) {
    pools.push({ sum: y + i * pitch, count: 1 })
    for (;;) {
      const [before, last] = [pools.at(-2), pools.at(-1)!]
      if (!before || before.sum / before.count >= last.sum / last.count) break
      pools.splice(-2, 2, { sum: before.sum + last.sum, count: before.count + last.count })
    }
  }
  return pools.flatMap(({ sum, count }) => Array.from({ length: count }, () => sum / count)).map((y, i) => y - i * pitch)
}

function outermost(points: readonly Point[], left: boolean): Point {
  return points.reduce((best, point) => ((left ? point[0] < best[0] : point[0] > best[0]) ? point : best))
}

function meanX(points: readonly Point[]): number {
  const xs = points.map(([x]) => x)
  return (xs.reduce((a, b) => Math.min(a, b)) + xs.reduce((a, b) => Math.max(a, b))) / 2
}
