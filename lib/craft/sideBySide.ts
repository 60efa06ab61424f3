import type { Vector } from '../shape/pose'
import { distance, mix } from './space'

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
  const run: Beside[] = []
  for (let i = 1; i < line.length; i++) {
    const from = line[i - 1]!
    const to = line[i]!
    const whole = distance(from, to)
    const steps = Math.max(1, Math.ceil(whole / STEP))
    const last = i === line.length - 1 ? 1 : 0
    for (let k = 0; k < steps + last; k++) {
      const share = k / steps
      const at = mix(from, to, share)
      const near = nearestOn(other, at)
      if (near) run.push({ at, ...near, place: i - 1 + share, length: share < 1 ? whole / steps : 0 })
    }
  }
  return run
}

/** Points nearer than this are one, mm. */
const SAME = 1e-6

export function lineLength(line: readonly Vector[]): number {
  let length = 0
  for (let i = 1; i < line.length; i++) length += distance(line[i - 1]!, line[i]!)
  return length
}

function nearestOn(line: readonly Vector[], point: Vector): Pick<Beside, 'other' | 'apart' | 'otherPlace'> | undefined {
  // Lines may begin and end with the same point several times over.
  let [first, last] = [1, line.length - 1]
  while (first < last && distance(line[first - 1]!, line[first]!) < SAME) first++
  while (last > first && distance(line[last - 1]!, line[last]!) < SAME) last--
  const [x, y, z] = point
  let apart = Infinity
  let best = 0
  let bestT = 0
  for (let i = first; i <= last; i++) {
    const from = line[i - 1]!
    const to = line[i]!
    const wayX = to[0] - from[0]
    const wayY = to[1] - from[1]
    const wayZ = to[2] - from[2]
    const squared = wayX * wayX + wayY * wayY + wayZ * wayZ
    if (squared === 0) continue
    const t = ((x - from[0]) * wayX + (y - from[1]) * wayY + (z - from[2]) * wayZ) / squared
    const share = Math.min(1, Math.max(0, t))
    const offX = x - (from[0] + wayX * share)
    const offY = y - (from[1] + wayY * share)
    const offZ = z - (from[2] + wayZ * share)
    const off = Math.sqrt(offX * offX + offY * offY + offZ * offZ)
    if (apart <= off) continue
    apart = off
    best = i
    bestT = t
  }
  if (best === 0) return undefined
  const [from, to] = [line[best - 1]!, line[best]!]
  const share = Math.min(1, Math.max(0, bestT))
  const atEnd = (best === first && bestT < 0) || (best === last && bestT > 1)
  if (atEnd && Math.abs(bestT - share) * distance(from, to) > BEYOND) return undefined
  return { other: mix(from, to, share), apart, otherPlace: best - 1 + share }
}
