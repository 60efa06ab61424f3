import type { Point } from '../shape/point'
import type { Deviation } from './deviation'

/** What changed of a shape, for people: how far and where, folds, area. Empty where nothing could be seen. */
export function shapeWords({ distance, ends, folds, refolded, shift, area }: Deviation): string[] {
  const words: string[] = []
  if (distance > LEAST_SEEN) words.push(`${figure(distance)} mm at ${placeWords(ends[1])}, was at ${placeWords(ends[0])}`)
  if (folds && folds.distance > LEAST_SEEN) {
    const [old, now] = folds.ends
    words.push(`folds ${figure(folds.distance)} mm at ${placeWords(now)}, were at ${placeWords(old)}`)
  } else if (refolded) words.push('other folds')
  if (Math.abs(area.after - area.before) >= 0.05) words.push(areaWords(area))
  if (Math.hypot(...shift) > 0) words.push(`compared after a move of ${placeWords(shift)}`)
  return words
}

/** `area 1520.0, now 1600.0 mm² (+5.3 %)` */
export function areaWords({ before, after }: Deviation['area']): string {
  const share = before > 0 ? ((after - before) / before) * 100 : 0
  const sign = share < 0 ? '−' : '+'
  return `area ${before.toFixed(1)}, now ${after.toFixed(1)} mm² (${sign}${Math.abs(share).toFixed(1)} %)`
}

export function figure(value: number): string {
  return value.toFixed(2)
}

/** Nothing a sheet could show, mm. */
export const LEAST_SEEN = 0.001

function placeWords([x, y]: Point): string {
  return `${figure(x)}, ${figure(y)}`
}
