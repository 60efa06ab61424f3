import type { Flat } from '../craft/flat'
import { boundsOf } from '../shape/measure'
import type { Point } from '../shape/point'

/** The middle of a leg of a strip folded along scores that run across it, counted from its start. */
export function middleOfLeg({ outline, scores }: Flat, leg: number): Point {
  const { minX, maxX, minY, maxY } = boundsOf([outline])
  const ends = [minX, ...scores.map(({ line }) => line[0]![0]), maxX]
  return [(ends[leg]! + ends[leg + 1]!) / 2, (minY + maxY) / 2]
}
