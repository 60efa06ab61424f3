import { FindingError } from '../finding/finding'
import type { Affine } from './drawing'
import { inverse, multiply, transpose } from './matrix'
import { TARGET } from './target'

/** What is measured on the target: a bar across, a bar up, and the diagonals that rise and fall to the right. */
export const MEASURES = ['x', 'y', 'rising', 'falling'] as const
export type Measure = (typeof MEASURES)[number]

/** How well a length between two printed lines is read, half-width in mm (common practice, no source; from memory). */
export const INSTRUMENTS = { rule: 0.25, calipers: 0.05 } as const
export type Instrument = keyof typeof INSTRUMENTS

export interface Reading {
  readonly measure: Measure
  /** mm. */
  readonly value: number
  readonly by: Instrument
}

/**
 * What a printer makes of a page: scale across and up, and the skew, by which the upright leans to the right. Standard
 * uncertainties. Without diagonals the skew is taken as none and its uncertainty is not known.
 */
export interface Calibration {
  readonly scale: readonly [x: number, y: number]
  /** Degrees. */
  readonly skew: number
  readonly uncertainty: { readonly scale: readonly [x: number, y: number]; readonly skew?: number }
  /** Of scale x, scale y and the sine of the skew, where that was measured. */
  readonly covariance: readonly (readonly number[])[]
}

/** A printer further off than this is not printing at 100 %. */
export const MOST_OFF = 0.05

/**
 * Least squares over all readings, each with the weight of its instrument; uncertainties propagated after JCGM 100:2008
 * (GUM), 5.1, an instrument's half-width taken as a rectangular distribution (4.3.7), the readings as independent.
 *
 * With scales a, b and the sine of the skew s the target's bars of W and H measure aW and bH, and its diagonals
 * √((aW)² + (bH)² ± 2 aW bH s), by the law of cosines.
 *
 * @throws FindingError for readings that are no lengths, further off than a printer can be, or contradict each other
 */
export function calibrate(readings: readonly Reading[]): Calibration {
  for (const reading of readings) checkReading(reading)
  for (const measure of ['x', 'y'] as const) {
    if (!readings.some((one) => one.measure === measure)) throw missing(measure)
  }
  const count = readings.some(({ measure }) => isDiagonal(measure)) ? 3 : 2
  let estimate = [1, 1, 0]
  let covariance: number[][] = []
  for (let step = 0; step < STEPS; step++) {
    const rows = readings.map((reading) => lineOf(reading, estimate, count))
    covariance = inverse(multiply(transpose(rows.map(({ slope }) => slope)), rows.map(({ slope }) => slope)))
    const change = covariance.map((row) =>
      rows.reduce((sum, { slope, off }) => sum + off * row.reduce((part, c, i) => part + c * slope[i]!, 0), 0),
    )
    estimate = estimate.map((value, i) => value + (change[i] ?? 0))
  }
  checkFit(readings, estimate, covariance)
  const [a, b, s] = estimate as [number, number, number]
  const [ua, ub, us] = covariance.map((row, i) => Math.sqrt(row[i]!)) as [number, number, number?]
  return {
    scale: [a, b],
    skew: degrees(Math.asin(s)),
    uncertainty: { scale: [ua, ub], ...(us !== undefined && { skew: degrees(us / Math.sqrt(1 - s * s)) }) },
    covariance,
  }
}

/** What the page has to be for the print to be true: the inverse of what the printer does, about the middle of the page. */
export function correctionOf({ scale: [a, b], skew }: Calibration, width: number, height: number): Affine {
  const lean = (skew * Math.PI) / 180
  const [x, y] = [1 / a, 1 / (b * Math.cos(lean))]
  const across = -Math.tan(lean) / a
  const [cx, cy] = [width / 2, height / 2]
  return [x, 0, across, y, cx - x * cx - across * cy, cy - y * cy]
}

/**
 * How far a length of card may still be off once corrected, mm, with a coverage factor of 2 (about 95 %, JCGM 100, 6.3):
 * the worst of all directions, or of those along the edges of the sheet where the skew was not measured.
 */
export function residual({ covariance }: Calibration, length = RESIDUAL_LENGTH): number {
  const variances = Array.from({ length: DIRECTIONS }, (_, i) => {
    const turn = (Math.PI * i) / DIRECTIONS
    const [cos, sin] = [Math.cos(turn), Math.sin(turn)]
    if (covariance.length < 3 && Math.abs(sin * cos) > 1e-9) return 0
    const slope = [cos * cos, sin * sin, sin * cos]
    return covariance.reduce((sum, row, j) => sum + row.reduce((part, c, k) => part + c * slope[j]! * slope[k]!, 0), 0)
  })
  return 2 * length * Math.sqrt(Math.max(...variances))
}

/** The residual error is stated over a piece as long as most are at the longest, mm. */
export const RESIDUAL_LENGTH = 200

const STEPS = 5
const DIRECTIONS = 36

/** Residuals beyond so many of their standard uncertainties are a contradiction: fewer than one in a thousand are. */
const MOST_RESIDUAL = 3.3

/** Which of the target's lengths was measured: the whole, or up to its tick at 100 mm, which calipers can reach. */
export function nominalOf({ measure, value }: Pick<Reading, 'measure' | 'value'>): number {
  const { width, height, tick } = TARGET
  if (isDiagonal(measure)) return Math.hypot(width, height)
  const whole = measure === 'x' ? width : height
  return Math.abs(value / tick - 1) < Math.abs(value / whole - 1) ? tick : whole
}

function isDiagonal(measure: Measure): boolean {
  return measure === 'rising' || measure === 'falling'
}

/** One reading by the slopes of what it should be, and by how far it is off, both over its standard uncertainty. */
function lineOf(reading: Reading, [a, b, s]: readonly number[], count: number): { slope: number[]; off: number } {
  const { measure, value, by } = reading
  const u = INSTRUMENTS[by] / Math.sqrt(3)
  const nominal = nominalOf(reading)
  const [w, h] = [a! * TARGET.width, b! * TARGET.height]
  const sign = measure === 'rising' ? 1 : -1
  const diagonal = Math.sqrt(w * w + h * h + 2 * sign * w * h * s!)
  const [slope, expected] =
    measure === 'x'
      ? [[nominal, 0, 0], nominal * a!]
      : measure === 'y'
        ? [[0, nominal, 0], nominal * b!]
        : [
            [
              (TARGET.width * (w + sign * h * s!)) / diagonal,
              (TARGET.height * (h + sign * w * s!)) / diagonal,
              (sign * w * h) / diagonal,
            ],
            diagonal,
          ]
  return { slope: slope.slice(0, count).map((value) => value / u), off: (value - expected) / u }
}

function checkReading(reading: Reading): void {
  const { value } = reading
  const nominal = nominalOf(reading)
  if (!(value > 0)) {
    throw fault(`${named(reading)} is ${mm(value)}, a length is above 0 mm`, `measure it again: it should be near ${mm(nominal)}`)
  }
  const off = value / nominal - 1
  if (Math.abs(off) > MOST_OFF) {
    const allowed = `a printer is off by ${100 * MOST_OFF} % at most`
    const print = 'print the target at 100 %, not “fit to page”, and measure again'
    throw fault(
      `${named(reading)} is ${mm(value)} where the target has ${mm(nominal)}: ${(100 * Math.abs(off)).toFixed(1)} % off, ${allowed}`,
      isDiagonal(reading.measure) ? print : `${print}; measure from the first tick to the one at ${TARGET.tick} mm or to the last`,
    )
  }
}

/** Each reading against what the others make of it. */
function checkFit(readings: readonly Reading[], estimate: readonly number[], covariance: readonly (readonly number[])[]): void {
  let worst: { reading: Reading; by: number; wanted: number } | undefined
  for (const reading of readings) {
    const { slope, off } = lineOf(reading, estimate, covariance.length)
    const share = slope.reduce((sum, p, i) => sum + slope.reduce((part, q, j) => part + p * q * covariance[i]![j]!, 0), 0)
    const left = 1 - share
    if (left < 1e-6) continue
    const by = Math.abs(off) / Math.sqrt(left)
    const u = INSTRUMENTS[reading.by] / Math.sqrt(3)
    if (by > (worst?.by ?? MOST_RESIDUAL) + 1e-6) worst = { reading, by, wanted: reading.value - (off / left) * u }
  }
  if (!worst) return
  const { reading, wanted } = worst
  throw fault(
    `the readings contradict each other: ${named(reading)} is ${mm(reading.value)}, the others make it ${mm(wanted)}, ` +
      `and ${reading.by === 'rule' ? 'a rule reads' : 'calipers read'} to ±${INSTRUMENTS[reading.by]} mm`,
    'measure it again, then the others; the rising diagonal (C) comes first',
  )
}

function named({ measure }: Reading): string {
  return NAMES[measure]
}

const NAMES: Readonly<Record<Measure, string>> = {
  x: 'the bar across (--x)',
  y: 'the bar up (--y)',
  rising: 'the rising diagonal (first of --diagonals)',
  falling: 'the falling diagonal (second of --diagonals)',
}

function missing(measure: 'x' | 'y'): FindingError {
  return fault(`there is no reading of ${NAMES[measure]}`, `measure it on the target and give it as --${measure} 164.8mm`)
}

function fault(text: string, remedy: string): FindingError {
  return new FindingError({ id: 'calibration', severity: 'error', text, remedy })
}

function mm(value: number): string {
  return `${value.toFixed(2)} mm`
}

function degrees(radians: number): number {
  return (radians * 180) / Math.PI
}
