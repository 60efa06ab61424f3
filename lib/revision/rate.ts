import { type Deed, type LogEntry, standingEntries } from './logbook'
import { cutLength, type LoggedShapes } from './shapes'

/** Work that hours are foretold for, each by what it grows with: cutting by mm of cut, the rest by the piece. */
export const WORK = ['cut', 'formed', 'glued'] as const

export type Work = (typeof WORK)[number]

export type Rates = Readonly<Record<Work, Rate>>

/** Minutes for one mm of cut, or for one piece. */
export interface Rate {
  readonly per: 'mm' | 'piece'
  readonly minutes: number
  /** Standard deviation of `minutes` as a mean. */
  readonly error: number
  /** Standard deviation of one sitting's minutes about what the rate gives for it. */
  readonly spread: number
  /** How much one sitting gets through, mm or pieces. */
  readonly sitting: number
  /** How many entries it was worked out from; with none it is a rule of thumb. */
  readonly entries: number
}

/** Hours with the range in which about nineteen of twenty such forecasts come out, two standard deviations each way. */
export interface Hours {
  readonly likely: number
  readonly low: number
  readonly high: number
}

/**
 * What work has taken so far: minutes over mm of cut or over pieces, summed over all entries with minutes (the ratio
 * estimator of sampling, W. G. Cochran, Sampling Techniques, 3rd ed., 1977, chapter 6, from memory). The spread
 * from sitting to sitting is that of the entries, with the rule of thumb's taken in as if two entries had shown it:
 * a first entry says nothing of spread.
 */
export function ratesOf(entries: readonly LogEntry[], shapes: LoggedShapes): Rates {
  const sittings: Record<Work, Sitting[]> = { cut: [], formed: [], glued: [] }
  for (const { did, minutes, pieces } of standingEntries(entries)) {
    if (minutes === undefined || !isWork(did)) continue
    const amounts = pieces.map(({ count, fingerprint }) => {
      const shape = shapes.get(fingerprint)
      return did !== 'cut' ? count : shape && count * cutLength(shape)
    })
    // Minutes for pieces of unknown length say nothing of the rate.
    if (amounts.every((amount) => amount !== undefined)) sittings[did].push({ minutes, amount: sum(amounts) })
  }
  const { cut, formed, glued } = sittings
  return { cut: rate('cut', cut), formed: rate('formed', formed), glued: rate('glued', glued) }
}

/**
 * How long so much more work takes. It is done in sittings such as those so far: each strays by the spread on its own,
 * all of them by the error of the rate.
 *
 * @param amounts mm of cut, and pieces
 */
export function hoursFor(amounts: Readonly<Record<Work, number>>, rates: Rates): Hours {
  let [likely, variance] = [0, 0]
  for (const work of WORK) {
    const [amount, { minutes, error, spread, sitting }] = [amounts[work], rates[work]]
    likely += amount * minutes
    variance += (amount * error) ** 2 + (amount / sitting) * spread ** 2
  }
  const stray = 2 * Math.sqrt(variance)
  return { likely: likely / 60, low: Math.max(0, likely - stray) / 60, high: (likely + stray) / 60 }
}

function isWork(did: Deed): did is Work {
  return (WORK as readonly Deed[]).includes(did)
}

interface Sitting {
  readonly minutes: number
  readonly amount: number
}

/**
 * Common practice, no source: a knife gets on by some 30 mm of cut a minute in card, changes of blade and corners taken
 * in; rolling or folding a piece takes two minutes, fitting and gluing it six. Each may be out by half.
 */
const RULE_OF_THUMB: Record<Work, Pick<Rate, 'per' | 'minutes' | 'sitting'>> = {
  cut: { per: 'mm', minutes: 1 / 30, sitting: 2000 },
  formed: { per: 'piece', minutes: 2, sitting: 10 },
  glued: { per: 'piece', minutes: 6, sitting: 6 },
}

/** Standard deviation of a rule of thumb, and of a sitting about a rate, as a share of it. */
const OUT_BY = 0.25

/** How many entries the assumed spread counts for. */
const ASSUMED = 2

function rate(work: Work, sittings: readonly Sitting[]): Rate {
  const { per, ...thumb } = RULE_OF_THUMB[work]
  const n = sittings.length
  if (n === 0) {
    const { minutes, sitting } = thumb
    return { per, minutes, error: OUT_BY * minutes, spread: OUT_BY * minutes * sitting, sitting, entries: 0 }
  }
  const sitting = sum(sittings.map(({ amount }) => amount)) / n
  const minutes = sum(sittings.map((one) => one.minutes)) / (n * sitting)
  const strays = sum(sittings.map((one) => (one.minutes - minutes * one.amount) ** 2))
  const assumed = (OUT_BY * minutes * sitting) ** 2
  const spread = Math.sqrt((strays + ASSUMED * assumed) / (n - 1 + ASSUMED))
  return { per, minutes, error: spread / (Math.sqrt(n) * sitting), spread, sitting, entries: n }
}

function sum(numbers: readonly number[]): number {
  return numbers.reduce((total, number) => total + number, 0)
}
