import { FindingError } from '../finding/finding'
import { callSite, resolveSite } from '../finding/site'
import { movedBy, record, requireBench } from './bench'

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
  /** How much of each of the survey's dimensions is in `full`, by its name: `{ span: 0.5 }` for half the span. */
  readonly dimensions: Shares
  /** The unit it was written in; undefined for what was worked out. */
  readonly unit: Unit | undefined

  constructor(parts: LengthParts) {
    this.full = parts.full ?? 0
    this.bench = parts.bench ?? 0
    this.plies = parts.plies ?? NO_PLIES
    this.dimensions = parts.dimensions ?? NO_DIMENSIONS
    this.unit = parts.unit
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
      plies: scaled(this.plies, factor),
      dimensions: scaled(this.dimensions, factor),
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

type Shares = Readonly<Record<string, number>>

/** Units that lengths are written in; `ftIn` for feet and inches. */
export type Unit = 'mm' | 'cm' | 'm' | 'in' | 'ft' | 'ftIn' | 'pt'

export interface LengthParts {
  readonly full?: number
  readonly bench?: number
  readonly plies?: Plies
  readonly dimensions?: Shares
  readonly unit?: Unit
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
  let onSubject = length.full
  for (const name in length.dimensions) {
    record(`dimension:${name}`)
    onSubject += length.dimensions[name]! * movedBy(name)
  }
  let value = length.bench
  if (onSubject !== 0) {
    record('scale')
    value += onSubject / requireBench('a full-size length').scale.ratio
  }
  for (const stock in length.plies) {
    const bench = requireBench('a thickness in plies')
    value += length.plies[stock]! * bench.thickness(stock)
  }
  return value
}

/**
 * A size in millimetres at model size: `above0(options.width, 'the width of a sleeve')`.
 *
 * @throws FindingError for 0 mm and less
 */
export function above0(length: Length, what: string): number {
  return least(mm(length), mm(length) > 0, what, 'give a length above 0')
}

/** The same of a size that may be nothing at all. @throws FindingError below 0 mm */
export function from0(length: Length, what: string): number {
  return least(mm(length), mm(length) >= 0, what, 'give a length of 0 or more')
}

function least(value: number, fits: boolean, what: string, remedy: string): number {
  if (fits) return value
  const site = resolveSite(callSite())
  const text = `${what} is ${Number(value.toFixed(3))} mm`
  throw new FindingError({ id: 'bad-size', severity: 'error', text, remedy, found: value, wanted: 0, ...(site && { site }) })
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
  for (const end of [from, to]) if (!(end instanceof Length)) mm(end)
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
const NO_DIMENSIONS: Shares = Object.freeze({})

export const ZERO = new Length({})

function combine(a: Length, b: Length, sign: 1 | -1): Length {
  if (!(b instanceof Length)) mm(b)
  return new Length({
    full: a.full + sign * b.full,
    bench: a.bench + sign * b.bench,
    plies: summed(a.plies, b.plies, sign),
    dimensions: summed(a.dimensions, b.dimensions, sign),
  })
}

type Counts = Readonly<Record<string, number>>

/** Most lengths have no plies and no dimensions, and all of those share one record. */
function scaled(counts: Counts, factor: number): Counts {
  if (counts === NO_PLIES || counts === NO_DIMENSIONS) return counts
  return counted(Object.entries(counts).map(([name, n]) => [name, n * factor]))
}

function summed(a: Counts, b: Counts, sign: 1 | -1): Counts {
  if (b === NO_PLIES || b === NO_DIMENSIONS) return a
  const sums = new Map(Object.entries(a))
  for (const name in b) sums.set(name, (sums.get(name) ?? 0) + sign * b[name]!)
  return counted([...sums])
}

/** Without what has cancelled out: a length less itself hangs on nothing any more. */
function counted(entries: readonly (readonly [string, number])[]): Counts {
  return Object.fromEntries(entries.filter(([, n]) => n !== 0))
}

function describe(value: unknown): string {
  if (typeof value === 'number') return `the bare number ${value}`
  if (typeof value === 'string') return `the text "${value}"`
  if (Array.isArray(value)) return `a list of ${value.length}`
  return typeof value === 'object' && value !== null ? 'some other value' : `${typeof value === 'function' ? 'a function' : String(value)}`
}
