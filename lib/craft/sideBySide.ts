import type { Vector } from '../shape/pose'
import { distance, dot, mix, subtract } from './space'

/** A place on one line and the nearest on another that runs beside it. */
export interface Beside {
  readonly at: Vector
  readonly other: Vector
  readonly apart: number
  /** Places along the two lines as numbers: 3.25 is a quarter of the way from point 3 to the next. */
  readonly place: number
  readonly otherPlace: number
  /** Length of the first line that it stands for, mm. */
  readonly length: number
}

/** Longest step along a line from one place to the next, mm. */
const STEP = 1

/** How far beyond the end of a line is still beside it, mm. */
const BEYOND = 0.05

/** Where one line in space runs beside another: nothing of it that is beyond the other's ends. */
export function sideBySide(line: readonly Vector[], other: readonly Vector[]): Beside[] {
  return line.slice(1).flatMap((to, i) => {
    const from = line[i]!
    const whole = distance(from, to)
    const steps = Math.max(1, Math.ceil(whole / STEP))
    const last = i === line.length - 2 ? 1 : 0
    return Array.from({ length: steps + last }, (_, k) => k / steps).flatMap((share): Beside[] => {
      const at = mix(from, to, share)
      const near = nearestOn(other, at)
      return near ? [{ at, ...near, place: i + share, length: share < 1 ? whole / steps : 0 }] : []
    })
  })
}

/** Points nearer than this are one, mm. */
const SAME = 1e-6

export function lineLength(line: readonly Vector[]): number {
  return line.slice(1).reduce((sum, point, i) => sum + distance(line[i]!, point), 0)
}

function nearestOn(line: readonly Vector[], point: Vector): Pick<Beside, 'other' | 'apart' | 'otherPlace'> | undefined {
  // Lines may begin and end with the same point several times over.
  let [first, last] = [1, line.length - 1]
  while (first < last && distance(line[first - 1]!, line[first]!) < SAME) first++
  while (last > first && distance(line[last - 1]!, line[last]!) < SAME) last--
  let best: { other: Vector; apart: number; otherPlace: number; beyond: number } | undefined
  for (let i = first; i <= last; i++) {
    const [from, to] = [line[i - 1]!, line[i]!]
    const way = subtract(to, from)
    const squared = dot(way, way)
    if (squared === 0) continue
    const t = dot(subtract(point, from), way) / squared
    const share = Math.min(1, Math.max(0, t))
    const other = mix(from, to, share)
    const apart = distance(point, other)
    if (best && best.apart <= apart) continue
    const atEnd = (i === first && t < 0) || (i === last && t > 1)
    const beyond = atEnd ? Math.abs(t - share) * Math.sqrt(squared) : 0
    best = { other, apart, otherPlace: i - 1 + share, beyond }
  }
  if (!best || best.beyond > BEYOND) return undefined
  const { other, apart, otherPlace } = best
  return { other, apart, otherPlace }
}
