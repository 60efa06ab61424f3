/**
 * A value with its standard uncertainty, after the Guide to the expression of uncertainty in measurement (JCGM 100:2008):
 * independent contributions add as the root of the sum of their squares (5.1.2).
 */
export interface Uncertain {
  readonly value: number
  /** Standard uncertainty, in the unit of the value. */
  readonly u: number
}

/** Root of the sum of squares. */
export function rootSumSquares(...parts: readonly number[]): number {
  return Math.sqrt(parts.reduce((sum, part) => sum + part * part, 0))
}

/**
 * Mean of readings taken alike. Its uncertainty is what a single reading may be out by as far as it is the same for all
 * (the instrument) and, where there are several, the scatter of their mean (JCGM 100, 4.2.3).
 */
export function meanOf(readings: readonly number[], instrument: number): Uncertain {
  const n = readings.length
  const value = readings.reduce((sum, reading) => sum + reading, 0) / n
  if (n === 1) return { value, u: instrument }
  const scatter = Math.sqrt(readings.reduce((sum, reading) => sum + (reading - value) ** 2, 0) / (n - 1) / n)
  return { value, u: rootSumSquares(instrument, scatter) }
}

/** Mean of values weighted by the inverse squares of their uncertainties. */
export function weightedMean(values: readonly Uncertain[]): Uncertain {
  const weight = values.reduce((sum, { u }) => sum + 1 / u ** 2, 0)
  return { value: values.reduce((sum, { value, u }) => sum + value / u ** 2, 0) / weight, u: 1 / Math.sqrt(weight) }
}

/** Standard uncertainty of a figure known to lie evenly within ± a half-width: a/√3 (JCGM 100, 4.3.7). */
export function evenly(halfWidth: number): number {
  return halfWidth / Math.sqrt(3)
}
