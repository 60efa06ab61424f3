import { FindingError, type Finding } from '../finding/finding'
import type { Stock } from '../stock/card'
import { inMm } from './figure'
import { type Flat, type FlatScore, plainFlat, rectangleLoop } from './flat'
import { radians } from './space'

/**
 * Folds in card of a given thickness.
 *
 * Bent through an angle A over an inside radius R, the layer K·t from the inside of the card keeps its length, so the
 * bend takes up BA = (π/180)·A·(R + K·t) of the flat strip: the bend allowance of sheet metal work (Machinery's
 * Handbook; FAA AMT Handbook – Airframe, vol. 1, ch. 4). No K is published for card; a stock states its own.
 */
export interface Bend {
  readonly thickness: number
  /** Inside radius of the finished fold. */
  readonly radius: number
  /** Place of the neutral layer, as a share of the thickness from the inside. */
  readonly k: number
}

/** The fold a stock makes along a score. */
export function scoredBend(stock: Stock): Bend {
  return { thickness: stock.thickness.value, radius: stock.fold.insideRadius.value, k: stock.fold.k.value }
}

/** Flat length taken up by a fold through `angle` degrees: (π/180)·A·(R + K·t). */
export function bendAllowance(angle: number, bend: Bend): number {
  return radians(angle) * (bend.radius + bend.k * bend.thickness)
}

/**
 * Which face of the card a size is taken on, apex to apex. At a fold the inside face is the one in the hollow;
 * `printed` and `back` name a face of the whole piece, as a part with folds both ways needs.
 */
export type Measured = 'inside' | 'outside' | 'printed' | 'back'

/**
 * Distance from the apex (where the faces would meet if the fold were sharp) to where the bend begins:
 * R·tan(A/2) on the inside face, (R + t)·tan(A/2) on the outside one. `angle` is positive for a valley, negative for a
 * mountain.
 *
 * @throws FindingError from 180° on, where the faces never meet; such a fold is a hem
 */
export function setBack(angle: number, bend: Bend, measured: Measured): number {
  const turn = Math.abs(angle)
  if (!(turn < 180)) {
    throw new FindingError({
      id: 'fold-angle',
      severity: 'error',
      text: `a fold of ${turn}° between sizes taken to the apex; the faces meet only below 180°`,
      remedy: 'fold through less than 180°, or make it a hem',
      found: turn,
      wanted: 180,
    })
  }
  const inside = measured === 'inside' || (measured === 'printed' && angle > 0) || (measured === 'back' && angle < 0)
  return Math.tan(radians(turn / 2)) * (bend.radius + (inside ? 0 : bend.thickness))
}

/**
 * What the flat strip gains at a fold over the sum of the two sizes beside it: BA − 2·set-back. Negative for sizes
 * taken outside, where its amount is the trade's bend deduction.
 */
export function foldGain(angle: number, bend: Bend, measured: Measured): number {
  return bendAllowance(Math.abs(angle), bend) - 2 * setBack(angle, bend, measured)
}

export interface FoldedStrip {
  /** Sizes of the legs, one more than there are folds. */
  readonly legs: readonly number[]
  /** Degrees turned through at each fold, positive for a valley, negative for a mountain. */
  readonly folds: readonly number[]
  readonly measured: Measured
  readonly width: number
  readonly bend: Bend
}

/**
 * The flat blank of a strip folded along parallel scores, running along x from the origin. Each score lies in the
 * middle of its bend. A leg shorter than what its folds take from it is an error.
 */
export function foldedStrip(strip: FoldedStrip): { flat: Flat; length: number; findings: Finding[] } {
  const { legs, folds, measured, bend, width } = strip
  if (legs.length !== folds.length + 1) {
    throw new FindingError({
      id: 'strip-legs',
      severity: 'error',
      text: `a strip of ${legs.length} legs with ${folds.length} folds`,
      remedy: `give ${folds.length + 1} legs: one more than folds`,
      found: legs.length,
      wanted: folds.length + 1,
    })
  }
  const findings: Finding[] = []
  const scores: FlatScore[] = []
  let x = 0
  for (const [i, leg] of legs.entries()) {
    const before = i === 0 ? 0 : setBack(folds[i - 1]!, bend, measured)
    const after = i === folds.length ? 0 : setBack(folds[i]!, bend, measured)
    const straight = leg - before - after
    if (straight < 0) findings.push(shortLeg(i, leg, before + after, [x, width / 2]))
    x += straight
    if (i === folds.length) break
    const allowance = bendAllowance(Math.abs(folds[i]!), bend)
    scores.push(crossScore(x + allowance / 2, width, folds[i]!))
    x += allowance
  }
  return { flat: plainFlat(rectangleLoop(x, width), { scores, grain: 90 }), length: x, findings }
}

function crossScore(x: number, width: number, angle: number): FlatScore {
  const line = [[x, 0] as const, [x, width] as const]
  return { fold: angle > 0 ? 'valley' : 'mountain', line, angle: Math.abs(angle) }
}

function shortLeg(index: number, leg: number, taken: number, at: readonly [number, number]): Finding {
  return {
    id: 'short-leg',
    severity: 'error',
    text: `leg ${index + 1} is ${inMm(leg)}, its folds take up ${inMm(taken)} of it`,
    remedy: 'make the leg longer, fold through less, or take a thinner stock',
    at,
    found: leg,
    wanted: taken,
  }
}

/** Says whether a fold along a score is one the stock can make: its inside radius has a floor. */
export function checkFold(radius: number, stock: Stock): Finding[] {
  const least = stock.fold.insideRadius.value
  if (radius >= least) return []
  return [
    {
      id: 'tight-bend',
      severity: 'warning',
      text: `fold of inside radius ${inMm(radius)}, ${stock.title} folds to ${inMm(least)}`,
      remedy: `fold to ${inMm(least)} or more, or take a thinner stock`,
      found: radius,
      wanted: least,
    },
  ]
}

/**
 * Says whether the stock can be curled to a radius without a crease. `axisToGrain` is the angle from the grain to the
 * axis of the curl, degrees: 0 where the axis runs along the grain (the easy way), 90 across it. Between the two the
 * limit goes over as cos² and sin², as stiffness does to first order (common practice, no published limit for card).
 */
export function checkCurl(radius: number, axisToGrain: number, stock: Stock): Finding[] {
  const least = leastCurl(axisToGrain, stock)
  if (radius >= least) return []
  const easy = stock.fold.leastCurlAlong.value
  const turnIt = radius >= easy ? 'turn the piece so that the axis of the curl runs along the grain' : undefined
  return [
    {
      id: 'tight-bend',
      severity: 'warning',
      text:
        `curl of radius ${inMm(radius)}, its axis ${Math.round(Math.abs(axisToGrain))}° from the grain; ` +
        `${stock.title} takes ${inMm(least)}`,
      remedy: `${turnIt ?? 'score it into facets'}, or take a thinner stock`,
      found: radius,
      wanted: least,
    },
  ]
}

/** Smallest radius to which the stock curls without a crease, its axis at an angle to the grain. */
export function leastCurl(axisToGrain: number, stock: Stock): number {
  const across = Math.sin(radians(axisToGrain)) ** 2
  return stock.fold.leastCurlAlong.value * (1 - across) + stock.fold.leastCurlAcross.value * across
}
