import type { Finding } from '../finding/finding'
import { inMm } from './figure'
import { radians } from './space'

/** A card that plies may be cut from. */
export interface PlyStock {
  readonly id: string
  readonly thickness: number
  /** Dried glue between this ply and the next, mm. */
  readonly glueLine: number
}

export interface Lamination {
  /** Stock ids from one face to the other. */
  readonly plies: readonly string[]
  /** Direction of each ply's grain, degrees from the first one's. */
  readonly grains: readonly number[]
  readonly thickness: number
  /** Thickness reached less thickness wanted. */
  readonly error: number
  readonly findings: readonly Finding[]
}

/** More plies than this in one lamination is a block, not a lamination. */
const MOST_PLIES = 24

/**
 * Plies to reach a wanted thickness from the stock at hand: Σ thickness + a glue line between each two. The fewest
 * plies that come within `tolerance` win; where none do, the nearest sum is given with an error that says by how much
 * it misses. Mixed stocks lie symmetrically about the middle as far as their numbers allow, so that the lamination
 * stays flat.
 */
export function laminate(target: number, stocks: readonly PlyStock[], tolerance = 0.1): Lamination {
  const best = nearest(target, stocks, tolerance)
  const plies = symmetric(best.counts, stocks)
  const error = best.thickness - target
  const findings: Finding[] = []
  if (Math.abs(error) > tolerance) {
    findings.push({
      id: 'ply-thickness',
      severity: 'error',
      text:
        `${inMm(target)} wanted, the nearest lamination is ${inMm(best.thickness)} ` +
        `(${plies.length} ${plies.length === 1 ? 'ply' : 'plies'} of ${[...new Set(plies)].join(' and ')})`,
      remedy: `design for ${inMm(best.thickness)}, allow ${inMm(Math.abs(error))}, or add a stock`,
      found: best.thickness,
      wanted: target,
    })
  }
  return { plies, grains: alternateGrain(plies.length), thickness: best.thickness, error, findings }
}

/**
 * Grain of each ply, degrees from the first: turned by 90° from ply to ply and the same seen from either face, as a
 * balanced laminate needs to stay flat. An even number has its two middle plies alike.
 */
export function alternateGrain(count: number): number[] {
  return Array.from({ length: count }, (_, i) => (Math.min(i, count - 1 - i) % 2 === 0 ? 0 : 90))
}

export interface WrappedPlies {
  /** Length along the former, where the first ply lies. */
  readonly length: number
  /** Degrees the former turns through under the plies: 360 for a ring, 180 for a U. */
  readonly turning: number
  readonly plies: number
  readonly thickness: number
  readonly glueLine: number
  /** Place of the neutral layer, as a share of the thickness from the inside. */
  readonly k: number
}

/**
 * Flat length of each ply wrapped round a curve, from the former outwards: a curve at a distance d outside another is
 * longer by d times the angle it turns through (Steiner), and ply i keeps its length at d = i(t + g) + K·t.
 */
export function wrappedPlies(spec: WrappedPlies): number[] {
  const { length, turning, plies, thickness, glueLine, k } = spec
  return Array.from({ length: plies }, (_, i) => {
    const out = i * (thickness + glueLine) + k * thickness
    return length + radians(turning) * out
  })
}

interface Candidate {
  readonly counts: readonly number[]
  readonly thickness: number
}

function nearest(target: number, stocks: readonly PlyStock[], tolerance: number): Candidate {
  let best: Candidate | undefined
  for (const counts of combinations(stocks.length, MOST_PLIES)) {
    const thickness = thicknessOf(counts, stocks)
    if (best === undefined || better({ counts, thickness }, best, target, tolerance)) best = { counts, thickness }
  }
  return best ?? { counts: [], thickness: 0 }
}

/** Within tolerance beats without; within it, fewer plies win; else, or at a tie, the smaller error. */
function better(a: Candidate, b: Candidate, target: number, tolerance: number): boolean {
  const [errorA, errorB] = [Math.abs(a.thickness - target), Math.abs(b.thickness - target)]
  const [inA, inB] = [errorA <= tolerance, errorB <= tolerance]
  if (inA !== inB) return inA
  if (inA && total(a.counts) !== total(b.counts)) return total(a.counts) < total(b.counts)
  return errorA < errorB - 1e-9 || (errorA < errorB + 1e-9 && total(a.counts) < total(b.counts))
}

/** Every way to take 1 to `most` plies from so many stocks. */
function* combinations(stocks: number, most: number): Generator<number[]> {
  if (stocks === 0) return
  const counts = Array.from({ length: stocks }, () => 0)
  for (;;) {
    let i = 0
    while (i < stocks && total(counts) === most) counts[i++] = 0
    if (i === stocks) return
    counts[i]!++
    yield [...counts]
  }
}

function thicknessOf(counts: readonly number[], stocks: readonly PlyStock[]): number {
  const plies = symmetric(counts, stocks).map((id) => stocks.find((stock) => stock.id === id)!)
  return plies.reduce((sum, ply, i) => {
    const glue = i === 0 ? 0 : Math.max(ply.glueLine, plies[i - 1]!.glueLine)
    return sum + ply.thickness + glue
  }, 0)
}

/** Lays the plies from both faces inwards, pairs first; odd ones end in the middle. */
function symmetric(counts: readonly number[], stocks: readonly PlyStock[]): string[] {
  const face: string[] = []
  const middle: string[] = []
  for (const [i, count] of counts.entries()) {
    for (let pair = 0; pair < Math.floor(count / 2); pair++) face.push(stocks[i]!.id)
    if (count % 2 === 1) middle.push(stocks[i]!.id)
  }
  return [...face, ...middle, ...face.toReversed()]
}

function total(counts: readonly number[]): number {
  return counts.reduce((sum, count) => sum + count, 0)
}
