import type { Stroke } from './drawing'
import { mm } from './digits'
import { dashesFor, PENS } from './pen'

/** Lines of one stroke that are drawn in one go: dashes start anew with each of them. */
export interface DashedLines {
  /** mm to three places, separated by blanks; empty for continuous lines. */
  readonly dashes: string
  readonly lines: Stroke['lines']
}

/** The lines of a stroke by the dashes fitted to them, in the order in which each kind comes first. */
export function byDashes({ role, lines }: Stroke): DashedLines[] {
  if (PENS[role].dashes.length === 0) return [{ dashes: '', lines }]
  const kinds = new Map<string, Stroke['lines'][number][]>()
  for (const line of lines) {
    const dashes = dashesFor(role, lengthOf(line), line.closed).map(mm).join(' ')
    const same = kinds.get(dashes)
    if (same) same.push(line)
    else kinds.set(dashes, [line])
  }
  return [...kinds].map(([dashes, alike]) => ({ dashes, lines: alike }))
}

function lengthOf({ points, closed }: Stroke['lines'][number]): number {
  let length = 0
  for (let i = closed ? 0 : 1; i < points.length; i++) {
    const [a, b] = [points[i === 0 ? points.length - 1 : i - 1]!, points[i]!]
    length += Math.hypot(b[0] - a[0], b[1] - a[1])
  }
  return length
}
