import { FindingError } from '../finding/finding'
import { callSite, resolveSite } from '../finding/site'
import type { Point } from './point'

/** The two numbers of a fault and its place, as far as there are any. */
export interface FaultFigures {
  readonly found?: number
  readonly wanted?: number
  readonly at?: Point
}

/** The error of every function in this folder: says what was wrong with the geometry and where the author wrote it. */
export function shapeError(id: string, text: string, remedy: string, figures: FaultFigures = {}): FindingError {
  const site = resolveSite(callSite())
  return new FindingError({ id, severity: 'error', text, remedy, ...figures, ...(site && { site }) })
}

/** A figure as messages print it: to a thousandth of a millimetre, without trailing noughts. */
export function figure(value: number): string {
  return Number.isFinite(value) ? String(Number(value.toFixed(3))) : String(value)
}

export function place([x, y]: Point): string {
  return `(${figure(x)}, ${figure(y)})`
}
