import { FindingError } from '../finding/finding'
import { callSite, resolveSite } from '../finding/site'
import { record, requireBench } from './bench'

/**
 * A length as the author writes it, before the scale is known. It is a sum of three parts that scale differently:
 * so much on the subject (divided by the scale), so much on the bench (never scaled), and so many plies of a stock
 * (whatever that stock measures). Arithmetic keeps the parts apart, so one source serves every scale and stock, and
 * the compiler can tell at which scale a detail becomes too small to cut.
 *
 * Made by `full`, `bench` and the survey; read as millimetres at model size by {@link mm}.
 */
export class Length {
  /** Millimetres on the subject. */
  readonly full: number
  /** Millimetres on the bench. */
  readonly bench: number
  /** Plies by stock name. */
  readonly plies: Plies
  /** Names of the survey's dimensions this length was made from. */
  readonly dimensions: readonly string[]

  constructor(parts: LengthParts) {
    this.full = parts.full ?? 0
    this.bench = parts.bench ?? 0
    this.plies = parts.plies ?? NO_PLIES
    this.dimensions = parts.dimensions ?? NO_DIMENSIONS
    Object.freeze(this)
  }

  plus(other: Length): Length {
    return combine(this, other, 1)
  }

  minus(other: Length): Length {
    return combine(this, other, -1)
  }

  times(factor: number): Length {
    if (!Number.isFinite(factor)) {
      throw lengthError(`a length was multiplied by ${String(factor)}`, 'multiply by a finite number')
    }
    return new Length({
      full: this.full * factor,
      bench: this.bench * factor,
      plies: scaledPlies(this.plies, factor),
      dimensions: this.dimensions,
    })
  }

  /** Ratio of two lengths at model size; zero below the line is an error. */
  over(other: Length): number {
    const divisor = mm(other)
    if (divisor === 0) throw lengthError('a length was divided by a length of 0 mm', 'give a length above 0')
    return mm(this) / divisor
  }

  negative(): Length {
    return this.times(-1)
  }
}

/** How many plies of each stock, by its name. */
type Plies = Readonly<Record<string, number>>

export interface LengthParts {
  readonly full?: number
  readonly bench?: number
  readonly plies?: Plies
  readonly dimensions?: readonly string[]
}

/**
 * Millimetres at model size, on the bench that is being built for.
 *
 * @throws FindingError outside a model, where no scale is known yet
 */
export function mm(length: Length): number {
  if (!(length instanceof Length)) {
    throw lengthError(
      `${describe(length)} was given where a length is meant`,
      'write its unit and kind: full.m(1.2) on the subject, bench.mm(3) on the bench',
    )
  }
  for (const name of length.dimensions) record(`dimension:${name}`)
  let value = length.bench
  if (length.full !== 0) {
    record('scale')
    value += length.full / requireBench('a full-size length').scale.ratio
  }
  for (const stock in length.plies) {
    const bench = requireBench('a thickness in plies')
    value += length.plies[stock]! * bench.thickness(stock)
  }
  return value
}

/** Smaller of the lengths at model size. */
export function shortest(first: Length, ...others: Length[]): Length {
  return others.reduce((least, next) => (mm(next) < mm(least) ? next : least), first)
}

/** Greater of the lengths at model size. */
export function longest(first: Length, ...others: Length[]): Length {
  return others.reduce((most, next) => (mm(next) > mm(most) ? next : most), first)
}

/** The length a share t of the way from one to the other: t = 0 gives `from`, t = 1 gives `to`. */
export function between(from: Length, to: Length, t: number): Length {
  return from.times(1 - t).plus(to.times(t))
}

/** Sum of the lengths; nothing to add gives 0 mm. */
export function total(...lengths: Length[]): Length {
  return lengths.reduce((sum, next) => sum.plus(next), ZERO)
}

export function lengthError(text: string, remedy: string): FindingError {
  const site = resolveSite(callSite())
  return new FindingError({ id: 'length', severity: 'error', text, remedy, ...(site && { site }) })
}

const NO_PLIES: Plies = Object.freeze({})
const NO_DIMENSIONS: readonly string[] = Object.freeze([])

export const ZERO = new Length({})

function combine(a: Length, b: Length, sign: 1 | -1): Length {
  if (!(b instanceof Length)) mm(b)
  return new Length({
    full: a.full + sign * b.full,
    bench: a.bench + sign * b.bench,
    plies: summedPlies(a.plies, b.plies, sign),
    dimensions: b.dimensions.length === 0 ? a.dimensions : [...new Set([...a.dimensions, ...b.dimensions])],
  })
}

/** Most lengths have no plies, and all of those share one record. */
function scaledPlies(plies: Plies, factor: number): Plies {
  if (plies === NO_PLIES) return plies
  return Object.fromEntries(Object.entries(plies).map(([stock, n]) => [stock, n * factor]))
}

function summedPlies(a: Plies, b: Plies, sign: 1 | -1): Plies {
  if (b === NO_PLIES) return a
  const plies: Record<string, number> = { ...a }
  for (const stock in b) plies[stock] = (plies[stock] ?? 0) + sign * b[stock]!
  return plies
}

function describe(value: unknown): string {
  return typeof value === 'number' ? `the bare number ${value}` : String(value)
}
