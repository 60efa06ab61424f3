import { published } from './behaviour'
import type { Figure, Stock } from './card'
import { modulusFromDroop, STEEPEST_DROOP } from './droop'
import { withThickness } from './override'
import { type Curled, type Droop, type Readings, readingError } from './readings'
import { evenly, meanOf, rootSumSquares, type Uncertain, weightedMean } from './uncertain'
import { validateStock } from './validate'

/** Figures of a stock that its coupons can tell, by their place in {@link Stock}. */
export const MEASURABLE = [
  'thickness',
  'grammage',
  'fit.tight',
  'fit.sliding',
  'fit.loose',
  'fold.k',
  'fold.leastCurlAlong',
  'fold.leastCurlAcross',
  'modulus.along',
  'modulus.across',
] as const

export type Measurable = (typeof MEASURABLE)[number]

/** What was measured, each with its standard uncertainty; in the units of {@link Stock}. */
export type MeasuredFigures = Partial<Record<Measurable, Uncertain>>

export type Instrument = 'calipers' | 'rule'

/**
 * What lengths may be out by, ± mm, taken as even over that range: a vernier or dial caliper read to its division, a
 * steel rule read between its lines. Common practice; the instrument's own maker knows better.
 */
const LIMIT: Readonly<Record<Instrument, number>> = { calipers: 0.05, rule: 0.25 }

/**
 * Figures of a stock from the readings of its coupons, with their uncertainty. Droops and overhangs are read with a rule,
 * the other lengths `by` what is said.
 *
 * @throws FindingError naming the readings that contradict each other, or that no card gives
 */
export function figuresFrom(readings: Readings, stock: Stock, by: Instrument = 'calipers'): MeasuredFigures {
  const instrument = evenly(LIMIT[by])
  const thickness = readings.pile.length > 0 ? thicknessFrom(readings, stock, instrument) : undefined
  const grammage = readings.weight.length > 0 ? grammageFrom(readings, stock) : undefined
  const card: Card = {
    thickness: thickness ?? { value: stock.thickness.value, u: evenly(BATCH_THICKNESS) },
    grammage: grammage ?? { value: stock.grammage.value, u: evenly(BATCH_WEIGHT * stock.grammage.value) },
  }
  return {
    ...(thickness && { thickness }),
    ...(grammage && { grammage }),
    ...fitsFrom(readings, card),
    ...foldFrom(readings, stock, card, instrument),
    ...curlFrom('curl-along', readings.curlAlong, 'fold.leastCurlAlong'),
    ...curlFrom('curl-across', readings.curlAcross, 'fold.leastCurlAcross'),
    ...stiffnessFrom(readings, card),
  }
}

/** The stock with what was measured in place of its own figures; what follows from the thickness follows it. */
export function withMeasured(stock: Stock, figures: MeasuredFigures, when: string): Stock {
  const figure = (name: Measurable, old: Figure): Figure => {
    const measured = figures[name]
    return measured ? published(measured.value, `measured ${when}, ±${plain(2 * measured.u)} (95 %)`) : old
  }
  const base = figures.thickness ? withThickness(stock, figure('thickness', stock.thickness)) : stock
  const { fit, fold, modulus } = base
  return validateStock({
    ...base,
    grammage: figure('grammage', base.grammage),
    fit: {
      tight: figure('fit.tight', fit.tight),
      sliding: figure('fit.sliding', fit.sliding),
      loose: figure('fit.loose', fit.loose),
    },
    fold: {
      ...fold,
      k: figure('fold.k', fold.k),
      leastCurlAlong: figure('fold.leastCurlAlong', fold.leastCurlAlong),
      leastCurlAcross: figure('fold.leastCurlAcross', fold.leastCurlAcross),
    },
    modulus: { along: figure('modulus.along', modulus.along), across: figure('modulus.across', modulus.across) },
  })
}

/** A stock's figure at one of the measurable places. */
export function figureAt(stock: Stock, name: Measurable): Figure {
  const [head, tail] = name.split('.') as [keyof Stock, string | undefined]
  const found = stock[head] as unknown
  return (tail === undefined ? found : (found as Record<string, Figure>)[tail]) as Figure
}

/** What card of a batch is out by where it was not measured (JCP P20: ±0.025 mm, ±10 % in weight). */
const BATCH_THICKNESS = 0.025
const BATCH_WEIGHT = 0.1

interface Card {
  readonly thickness: Uncertain
  readonly grammage: Uncertain
}

/** t = pile / layers. */
function thicknessFrom({ pile }: Readings, stock: Stock, instrument: number): Uncertain {
  const each = pile.map(({ layers, thickness }) => thickness / layers)
  const least = Math.min(...pile.map(({ layers }) => layers))
  agree('pile', each, 'mm a layer')
  const measured = meanOf(each, instrument / least)
  plausible('pile', measured.value, stock.thickness.value, `mm a layer, ${stock.id} is taken as`, 'mm')
  return measured
}

/** G = weight / (sheets · area of a sheet). */
function grammageFrom({ weight }: Readings, { sheet, grammage, id }: Stock): Uncertain {
  const area = sheet.width * sheet.height * 1e-6
  const each = weight.map(({ sheets, grams }) => grams / (sheets * area))
  const limit = Math.max(...weight.map(({ sheets, limit }) => limit / (sheets * area)))
  agree('weight', each, 'g/m²')
  const measured = meanOf(each, evenly(limit))
  plausible('weight', measured.value, grammage.value, `g/m² for a sheet of ${sheet.name}, ${id} is taken as`, 'g/m²')
  return measured
}

/** A slot's width less the card's thickness is the fit; the ladder's steps say how well it is known. */
function fitsFrom({ holds, slides, drops }: Readings, { thickness }: Card): MeasuredFigures {
  const given = [
    ['fit.tight', 'holds', holds],
    ['fit.sliding', 'slides', slides],
    ['fit.loose', 'drops', drops],
  ] as const
  const made: { -readonly [name in Measurable]?: Uncertain } = {}
  let before: readonly [name: string, width: number] | undefined
  for (const [name, reading, width] of given) {
    if (width === undefined) continue
    if (before && width <= before[1]) {
      throw readingError(
        `${before[0]}=${plain(before[1])}mm and ${reading}=${plain(width)}mm contradict each other`,
        `a slot that the card ${reading === 'slides' ? 'slides into' : 'drops into'} is wider than one it ${before[0]} in`,
        { found: width, wanted: before[1] },
      )
    }
    if (width < 0.8 * thickness.value || width > 1.6 * thickness.value) {
      throw readingError(
        `${reading}=${plain(width)}mm is no slot of the ladder for card of ${plain(thickness.value)} mm`,
        `read the width beside the slot: they go from ${plain(LADDER[0]! * thickness.value)} to ` +
          `${plain(LADDER.at(-1)! * thickness.value)} mm`,
        { found: width, wanted: thickness.value },
      )
    }
    const step = (LADDER[1]! - LADDER[0]!) * thickness.value
    made[name] = { value: Math.max(0, width - thickness.value), u: rootSumSquares(evenly(step / 2), thickness.u) }
    before = [reading, width]
  }
  return made
}

/** Widths of the slots of a fit ladder, as shares of the card's thickness. */
export const LADDER: readonly number[] = Object.freeze(Array.from({ length: 11 }, (_, i) => (18 + i) / 20))

/**
 * A web between two scores p apart, each folded by 90°, measures W = p − BA + 2·(R + t) over its outer faces, where BA =
 * (π/2)·(R + K·t); over its inner ones 2·t less. With the stock's inside radius R that gives K.
 */
function foldFrom(readings: Readings, stock: Stock, { thickness }: Card, instrument: number): MeasuredFigures {
  const outer = readings.outside.map(({ web, measured }) => ({ reading: `outside=${web}`, gain: measured - web }))
  const inner = readings.inside.map(({ web, measured }) => ({ reading: `inside=${web}`, gain: measured - web }))
  if (outer.length + inner.length === 0) return {}
  const t = thickness.value
  if (outer.length > 0 && inner.length > 0) walls(mean(outer), mean(inner), t, instrument)
  const gains = [...outer.map(({ gain }) => gain), ...inner.map(({ gain }) => gain + 2 * t)]
  const gain = meanOf(gains, instrument)
  const { value: radius } = stock.fold.insideRadius
  const allowance = 2 * (radius + t) - gain.value
  const k = (allowance * 2) / Math.PI / t - radius / t
  const u = (2 / Math.PI / t) * rootSumSquares(gain.u, 2 * thickness.u)
  if (k < -2 * u || k > 1 + 2 * u) {
    const limits = [0, 1].map((limit) => 2 * (radius + t) - (Math.PI / 2) * (radius + limit * t))
    throw readingError(
      `the channels measure ${signed(gain.value)} mm over the distance of their scores, outside; ` +
        `card of ${plain(t)} mm gives ${signed(limits[1]!)} to ${signed(limits[0]!)} mm`,
      'measure over the outer faces with outside=…, between the inner ones with inside=…, folded to a right angle',
      { found: gain.value, wanted: k < 0 ? limits[0]! : limits[1]! },
    )
  }
  return { 'fold.k': { value: Math.min(1, Math.max(0, k)), u } }
}

function mean(list: readonly { gain: number }[]): number {
  return list.reduce((sum, { gain }) => sum + gain, 0) / list.length
}

function walls(outside: number, inside: number, t: number, instrument: number): void {
  const found = outside - inside
  if (Math.abs(found - 2 * t) <= 4 * instrument * Math.SQRT2) return
  throw readingError(
    `outside and inside readings differ by ${plain(found)} mm, two walls of ${plain(t)} mm by ${plain(2 * t)} mm`,
    'measure both again, each on the channel its number says, close to the folds',
    { found, wanted: 2 * t },
  )
}

/** The truth lies between the former that went well and the next thinner one. */
function curlFrom(reading: string, curled: Curled | undefined, name: Measurable): MeasuredFigures {
  if (!curled) return {}
  const { smooth, creased = 0 } = curled
  if (creased >= smooth) {
    throw readingError(
      `${reading}: smooth at ${plain(smooth)} mm, creased at ${plain(creased)} mm`,
      'the radius that creases comes second and is the smaller one',
      { found: creased, wanted: smooth },
    )
  }
  return { [name]: { value: smooth, u: evenly((smooth - creased) / 2) } }
}

function stiffnessFrom(readings: Readings, card: Card): MeasuredFigures {
  const along = modulusOf('droop-along', readings.droopAlong, card)
  const across = modulusOf('droop-across', readings.droopAcross, card)
  if (along && across && across.value - along.value > 2 * rootSumSquares(along.u, across.u)) {
    throw readingError(
      `droop-along gives ${plain(along.value)} GPa and droop-across ${plain(across.value)} GPa; card is stiffer along its grain`,
      "are the two strips mixed up? If not, the grain runs the other way: give the stock grain: 'short' (or 'long')",
      { found: across.value, wanted: along.value },
    )
  }
  return { ...(along && { 'modulus.along': along }), ...(across && { 'modulus.across': across }) }
}

/** E goes with G, L⁴ (nearly), t⁻³ and δ⁻¹; their relative uncertainties add as such. */
function modulusOf(reading: string, tests: readonly Droop[], { thickness, grammage }: Card): Uncertain | undefined {
  if (tests.length === 0) return undefined
  const rule = evenly(LIMIT.rule)
  const each = tests.map(({ overhang, droop }) => {
    const share = droop / overhang
    if (share > STEEPEST_DROOP || droop < LEAST_DROOP) {
      throw readingError(
        `${reading}: a droop of ${plain(droop)} mm over ${plain(overhang)} mm`,
        share > STEEPEST_DROOP
          ? `let less hang over: at most ${plain(STEEPEST_DROOP * overhang)} mm of droop at this overhang`
          : `let more hang over: a droop below ${LEAST_DROOP} mm cannot be read with a rule`,
        { found: droop, wanted: share > STEEPEST_DROOP ? STEEPEST_DROOP * overhang : LEAST_DROOP },
      )
    }
    const value = modulusFromDroop({ overhang, droop, thickness: thickness.value, grammage: grammage.value })
    return { value, u: value * rootSumSquares((4 * rule) / overhang, rule / droop) }
  })
  const read = weightedMean(each)
  const scatter = each.length > 1 ? meanOf(each.map(({ value }) => value), 0).u : 0
  const shared = rootSumSquares(grammage.u / grammage.value, (3 * thickness.u) / thickness.value)
  return { value: read.value, u: rootSumSquares(Math.max(read.u, scatter), read.value * shared) }
}

/** mm */
const LEAST_DROOP = 2

/** Readings of one thing that differ by more than a tenth are not of one thing. */
function agree(reading: string, values: readonly number[], unit: string): void {
  const [least, most] = [Math.min(...values), Math.max(...values)]
  if (most <= 1.1 * least) return
  throw readingError(
    `${reading}: the readings give ${plain(least)} and ${plain(most)} ${unit}`,
    'they contradict each other by more than a tenth: count and measure again',
    { found: most, wanted: least },
  )
}

function plausible(reading: string, value: number, taken: number, what: string, unit: string): void {
  if (value <= 2 * taken && value >= taken / 2) return
  throw readingError(
    `${reading}: ${plain(value)} ${what} ${plain(taken)} ${unit}`,
    'look at the number of layers or sheets, and at the unit; for another card make a stock of its own',
    { found: value, wanted: taken },
  )
}

function plain(value: number): string {
  return String(Number(value.toPrecision(3)))
}

function signed(value: number): string {
  return `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(2)}`
}
