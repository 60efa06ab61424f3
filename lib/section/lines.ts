import { type CallSite, callSite } from '../finding/site'
import { Length, between, mm } from '../length/length'
import { sectionError } from './fault'
import { hermite, naturalSlopes, pieceAt } from './spline'

/** A line of the subject: a place along it to a chord, a half-breadth, a height there. */
export type Line = (x: Length) => Length

/** A place and the value measured there. */
export type Measured = readonly [x: Length, value: Length]

export interface TableOptions {
  /**
   * `monotone` never swings past the values measured: level where two are alike, highest only where one is highest.
   * `natural` bends like a batten, smoother but free to swing past. Monotone unless said.
   */
  readonly curve?: 'monotone' | 'natural'
}

/**
 * A fair curve through values measured at a few stations, to be asked for any place between the first and the last:
 * `const halfBreadth = table([[full.m(0), full.m(0.1)], [full.m(1.2), full.m(0.66)], …])`.
 *
 * Monotone: piecewise cubic by Fritsch and Butland's slopes (SIAM J. Sci. Stat. Comput. 5, 1984). Natural: cubic
 * spline without curvature at its ends. Values keep their parts, so a table of full-size lengths gives one.
 *
 * @throws FindingError, when it is asked, for places out of order and for a place outside the table
 */
export function table(rows: readonly Measured[], { curve = 'monotone' }: TableOptions = {}): Line {
  const made = callSite()
  if (curve !== 'monotone' && curve !== 'natural') {
    throw sectionError(`table: a curve "${String(curve)}"`, "write 'monotone' or 'natural'")
  }
  if (rows.length < 2) {
    throw sectionError(`table: ${rows.length} rows, it needs 2 or more`, 'give at least both ends', {
      found: rows.length,
      wanted: 2,
    })
  }
  const values = rows.map(([, value]) => value)
  return (at) => {
    const knots = knotsOf(rows, made)
    const x = placeWithin(knots, mm(at))
    return curve === 'natural' ? natural(knots, values, x) : monotone(knots, values, x)
  }
}

/**
 * A straight line through two measured places, which goes on past both: the chord of a tapered wing,
 * `taper([full.m(0), full.m(3.4)], [semiSpan, full.m(1.7)])`.
 *
 * @throws FindingError, when it is asked, where both places are one
 */
export function taper([x0, from]: Measured, [x1, to]: Measured): Line {
  const made = callSite()
  return (at) => {
    const [start, end] = [mm(x0), mm(x1)]
    if (start === end) {
      throw sectionError(`taper: both ends are at ${start.toFixed(3)} mm`, 'give two places apart', { made })
    }
    return between(from, to, (mm(at) - start) / (end - start))
  }
}

function knotsOf(rows: readonly Measured[], made: CallSite): number[] {
  const knots = rows.map(([x]) => mm(x))
  for (let i = 1; i < knots.length; i++) {
    if (knots[i]! > knots[i - 1]!) continue
    const [before, here] = [knots[i - 1]!, knots[i]!]
    throw sectionError(
      `table: row ${i + 1} at ${here.toFixed(3)} mm does not come after row ${i} at ${before.toFixed(3)} mm`,
      'list the places in rising order, each once',
      { found: here, wanted: before, made },
    )
  }
  return knots
}

/** What sums of lengths may stand past an end by rounding, mm. */
const ROUNDING = 1e-6

function placeWithin(knots: readonly number[], x: number): number {
  const [first, last] = [knots[0]!, knots[knots.length - 1]!]
  if (x < first - ROUNDING || x > last + ROUNDING) {
    throw sectionError(
      `table: asked at ${x.toFixed(3)} mm, it runs from ${first.toFixed(3)} to ${last.toFixed(3)} mm at model size`,
      'ask within it, or add a row',
      { found: x, wanted: x < first ? first : last },
    )
  }
  return Math.min(last, Math.max(first, x))
}

/** The cubic stays between its two ends, so the result is a mixture of just these two lengths. */
function monotone(knots: readonly number[], values: readonly Length[], x: number): Length {
  const i = pieceAt(knots, x)
  const h = knots[i + 1]! - knots[i]!
  const t = (x - knots[i]!) / h
  const [a, b] = [mm(values[i]!), mm(values[i + 1]!)]
  if (a === b) return between(values[i]!, values[i + 1]!, t)
  const y = hermite(t, a, b, h * monotoneSlope(knots, values, i), h * monotoneSlope(knots, values, i + 1))
  return between(values[i]!, values[i + 1]!, (y - a) / (b - a))
}

/** Weighted harmonic mean of the rises on both sides; 0 where they have opposite signs. */
function monotoneSlope(knots: readonly number[], values: readonly Length[], i: number): number {
  const last = knots.length - 1
  const h = (k: number) => knots[k + 1]! - knots[k]!
  const rise = (k: number) => (mm(values[k + 1]!) - mm(values[k]!)) / h(k)
  if (last === 1) return rise(0)
  if (i === 0) return endSlope(h(0), h(1), rise(0), rise(1))
  if (i === last) return endSlope(h(last - 1), h(last - 2), rise(last - 1), rise(last - 2))
  const [before, after] = [rise(i - 1), rise(i)]
  if (before * after <= 0) return 0
  const [w1, w2] = [2 * h(i) + h(i - 1), h(i) + 2 * h(i - 1)]
  return (w1 + w2) / (w1 / before + w2 / after)
}

/** Slope of the parabola through three points at its end, held back where that would swing past. */
function endSlope(h0: number, h1: number, rise0: number, rise1: number): number {
  const slope = ((2 * h0 + h1) * rise0 - h0 * rise1) / (h0 + h1)
  if (slope * rise0 <= 0) return 0
  return rise0 * rise1 < 0 && Math.abs(slope) > Math.abs(3 * rise0) ? 3 * rise0 : slope
}

/** The spline is linear in its values, so each part of a length has a spline of its own. */
function natural(knots: readonly number[], values: readonly Length[], x: number): Length {
  const i = pieceAt(knots, x)
  const h = knots[i + 1]! - knots[i]!
  const t = (x - knots[i]!) / h
  const at = (part: (value: Length) => number): number => {
    const parts = values.map(part)
    if (parts.every((one) => one === 0)) return 0
    const slopes = naturalSlopes(knots, parts)
    return hermite(t, parts[i]!, parts[i + 1]!, h * slopes[i]!, h * slopes[i + 1]!)
  }
  const stocks = [...new Set(values.flatMap(({ plies }) => Object.keys(plies)))]
  const names = [...new Set(values.flatMap(({ dimensions }) => Object.keys(dimensions)))]
  return new Length({
    full: at(({ full }) => full),
    bench: at(({ bench }) => bench),
    plies: Object.fromEntries(stocks.map((stock) => [stock, at(({ plies }) => plies[stock] ?? 0)])),
    dimensions: Object.fromEntries(names.map((name) => [name, at(({ dimensions }) => dimensions[name] ?? 0)])),
  })
}
