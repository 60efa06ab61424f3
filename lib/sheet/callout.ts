import { boundsOf } from '../shape/bounds'
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
 * Words in two columns beside a drawing, or above and below one that is wide, each on a straight leader to its place: in
 * the order of the places, as near to level with them as there is room, so that no two leaders of a column cross and no
 * words touch.
 */
export function callouts(list: readonly Callout[], around: Bounds, size: number): { marks: Mark[]; bounds: Bounds } {
  // Above and below is beside, with the drawing turned by a quarter.
  const wide = around.maxX - around.minX > WIDE * (around.maxY - around.minY)
  const turn = ([x, y]: Point): Point => (wide ? [-y, x] : [x, y])
  const { minX, minY, maxX, maxY } = around
  const box = wide ? { minX: -maxY, minY: minX, maxX: -minY, maxY: maxX } : around
  const turned = list.map(({ text, at }) => ({ text, at: at.map(turn) }))
  const middle = (box.minX + box.maxX) / 2
  const columns = [true, false].map((left) =>
    columnOf(turned.filter(({ at }) => meanX(at) < middle === left), left, box, size),
  )
  const back = ([x, y]: Point): Point => (wide ? [y, -x] : [x, y])
  const corners = columns.flatMap(({ lines, words, edge }) => [
    ...lines.flat(),
    ...words.map(({ y }): Point => [edge, y - size]),
    ...words.map(({ y }): Point => [edge, y + size]),
  ])
  return {
    marks: columns.flatMap((column) => marksOf(column, back, wide ? -90 : 0, size)),
    bounds: boundsOf([[[minX, minY], [maxX, maxY], ...corners.map(back)]]),
  }
}

/** From the drawing to the words, mm. */
const GAP = 6

/** A drawing so many times as wide as high is lettered above and below. */
const WIDE = 2.2

interface Column {
  readonly left: boolean
  readonly lines: readonly Polyline[]
  readonly words: readonly { readonly text: string; readonly x: number; readonly y: number }[]
  /** How far out the words reach. */
  readonly edge: number
}

function columnOf(list: readonly Callout[], left: boolean, around: Bounds, size: number): Column {
  const out = left ? -1 : 1
  const x = (left ? around.minX : around.maxX) + out * GAP
  const anchored = list.map(({ text, at }) => ({ text, end: outermost(at, left) })).toSorted((a, b) => b.end[1] - a.end[1])
  const ys = spread(anchored.map(({ end }) => end[1]), size * LINE_PITCH)
  const widest = anchored.reduce((most, { text }) => Math.max(most, textWidth(text, size)), 0)
  return {
    left,
    lines: anchored.map(({ end }, i) => [[x, ys[i]!], end]),
    words: anchored.map(({ text }, i) => ({ text, x: x + out, y: ys[i]! })),
    edge: x + out * (widest + 1),
  }
}

function marksOf({ left, lines, words }: Column, back: (point: Point) => Point, angle: number, size: number): Mark[] {
  if (lines.length === 0) return []
  // Text is read from below or from the right, so that what was to the left of a turned drawing begins at its leader.
  const upright = angle === 0
  return [
    { kind: 'stroke', role: 'leader', lines: lines.map((points) => ({ points: points.map(back), closed: false })) },
    ...words.map(({ text, x, y }) => {
      const at = back([x, y])
      if (upright) return letter(text, { at: [at[0], at[1] - size / 2], size, anchor: left ? 'end' : 'start' })
      return letter(text, { at: [at[0] + size / 2, at[1]], size, angle: 90, anchor: left ? 'start' : 'end' })
    }),
  ]
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
