import { FindingError } from '../finding/finding'
import { suggest } from '../finding/nearest'

/** How many times smaller the model is: `ratio` 60 for 1:60. */
export interface Scale {
  readonly ratio: number
  /** As sheets print it: `1:60`. */
  readonly name: string
}

/**
 * Reads `1:60`, `1/72`, `60`, or a railway scale by its name in NEM 010 (`H0`, `0`, `TT`…). The text `0` is the railway
 * scale 1:45, since a scale of nought means nothing; the number 0 is an error.
 *
 * @throws FindingError for anything else, with what it could have been
 */
export function parseScale(text: string | number): Scale {
  const written = String(text).trim()
  const railway = typeof text === 'string' ? RAILWAY_SCALES[written.toUpperCase()] : undefined
  if (railway !== undefined) return scaleOf(railway)
  const parts = /^(?:(\d+(?:\.\d+)?)\s*[:/]\s*)?(\d+(?:\.\d+)?)$/.exec(written)
  const ratio = parts ? Number(parts[2]) / Number(parts[1] ?? 1) : Number.NaN
  if (!Number.isFinite(ratio) || ratio <= 0) throw scaleError(`"${written}" is not a scale`, written)
  if (ratio < LEAST_RATIO || ratio > GREATEST_RATIO) {
    throw scaleError(`the scale "${written}" is outside 1:${LEAST_RATIO} to 1:${GREATEST_RATIO}`, written)
  }
  return scaleOf(ratio)
}

/**
 * Nominal scales of NEM 010 (MOROP, 2011 edition), by their names there. The standard's own ratios, not the quotient
 * of the gauges, which differs by up to 2.6 % for V and VII.
 */
export const RAILWAY_SCALES: Readonly<Record<string, number>> = Object.freeze({
  Z: 220,
  N: 160,
  TT: 120,
  H0: 87,
  S: 64,
  '0': 45,
  I: 32,
  II: 22.5,
  III: 16,
  V: 11,
  VII: 8,
  X: 5.5,
})

/** A model larger than its subject, or one smaller than a grain of rice, is a slip of the pen. */
const LEAST_RATIO = 1
const GREATEST_RATIO = 2000

function scaleOf(ratio: number): Scale {
  return Object.freeze({ ratio, name: `1:${Number(ratio.toFixed(4))}` })
}

function scaleError(text: string, written: string): FindingError {
  const near = /^[A-Za-z]/.test(written) ? `; ${suggest(written, Object.keys(RAILWAY_SCALES))}` : ''
  return new FindingError({
    id: 'scale',
    severity: 'error',
    text,
    remedy: `write it as 1:60, 1/72, 60 or a railway scale of NEM 010${near}`,
  })
}
