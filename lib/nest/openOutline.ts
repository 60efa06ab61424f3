import type { Loop, Point } from '../shape/point'
import { SHARED_WITHIN, type SharedCut } from './sharedCut'

/** An outline as the lines that are left of it without what other cuts along it have done; closed where that is nothing. */
export function outlineWithout(outline: Loop, cuts: readonly SharedCut[]): { points: Loop; closed: boolean }[] {
  const count = outline.length
  const lines: Point[][] = []
  let line: Point[] | undefined
  for (const [i, from] of outline.entries()) {
    const to = outline[(i + 1) % count]!
    for (const [start, end] of stretchesLeft(from, to, cuts)) {
      if (line && line.at(-1) === start) line.push(end)
      else lines.push((line = [start, end]))
    }
  }
  const [first, last] = [lines[0], lines.at(-1)]
  const around = last?.at(-1) === outline[0] && first?.[0] === outline[0]
  if (around && first === last && first!.length === count + 1) return [{ points: outline, closed: true }]
  if (around && first !== last) lines.splice(0, 1, [...lines.pop()!, ...first!.slice(1)])
  return lines.map((points) => ({ points, closed: false }))
}

/** What is left of one edge; where it begins and ends at a corner these are the very points. */
function stretchesLeft(from: Point, to: Point, cuts: readonly SharedCut[]): [Point, Point][] {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  const along = ([x, y]: Point) => ((x - from[0]) * (to[0] - from[0]) + (y - from[1]) * (to[1] - from[1])) / length
  const off = ([x, y]: Point) => Math.abs((x - from[0]) * (to[1] - from[1]) - (y - from[1]) * (to[0] - from[0])) / length
  const done = cuts.flatMap((cut): [number, number][] => {
    if (off(cut[0]) > 2 * SHARED_WITHIN || off(cut[1]) > 2 * SHARED_WITHIN) return []
    const [a, b] = [along(cut[0]), along(cut[1])]
    return [[Math.min(a, b), Math.max(a, b)]]
  })
  const left: [Point, Point][] = []
  const at = (share: number): Point => [from[0] + ((to[0] - from[0]) * share) / length, from[1] + ((to[1] - from[1]) * share) / length]
  let begin = 0
  for (const [a, b] of done.toSorted((one, other) => one[0] - other[0])) {
    if (b <= begin || a >= length) continue
    if (a > begin + WORTH_DRAWING) left.push([begin === 0 ? from : at(begin), at(a)])
    begin = b
  }
  if (length - begin > (begin === 0 ? 0 : WORTH_DRAWING)) left.push([begin === 0 ? from : at(begin), to])
  return left
}

/** What is left of an edge that is shorter is no more than rounding, mm. */
const WORTH_DRAWING = 2 * SHARED_WITHIN
