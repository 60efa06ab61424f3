import type { Aerofoil } from './aerofoil'
import { sectionError } from './fault'
import type { Curve } from './refine'
import { pieceAt } from './spline'

/**
 * The section a share t of the way from one to another, as ribs change from root to tip: on either surface, points at
 * the same station of the chord are joined by straight lines, as a wing is lofted along lines of equal per cent of the
 * chord. t = 0 gives the first section, t = 1 the second; half-way from 9 % to 15 % of one family stands 12 %.
 *
 * @throws FindingError for a share outside 0 to 1
 */
export function blend(from: Aerofoil, to: Aerofoil, t: number): Aerofoil {
  if (!(t >= -ROUNDING && t <= 1 + ROUNDING)) {
    throw sectionError(`blend: a share of ${t}, it lies from 0 to 1`, `give 0 for ${from.name}, 1 for ${to.name}`)
  }
  const share = Math.min(1, Math.max(0, t))
  const [a, b] = [runsOf(from), runsOf(to)]
  return {
    name: `${from.name} to ${to.name}, ${Number(share.toFixed(4))}`,
    upper: mixed(from.upper, a.upper, to.upper, b.upper, share),
    lower: mixed(from.lower, a.lower, to.lower, b.lower, share),
  }
}

/** What a quotient such as y.over(semiSpan) may stand past its end. */
const ROUNDING = 1e-9

/** Keeps the first section's parameter, which crowds points at the nose. */
function mixed(a: Curve, runsA: Runs, b: Curve, runsB: Runs, t: number): Curve {
  if (t === 0) return a
  return (u) => {
    const [ax, ay] = a(u)
    const [bx, by] = b(parameterAt(runsB, shareAt(runsA, u)))
    return [ax + (bx - ax) * t, ay + (by - ay) * t]
  }
}

/**
 * Share of the way along the chord at equally spaced parameters, 0 to 1. It is an arc length that counts height but a
 * hundredth: nearly the station on the chord, yet it goes on rising where a blunt nose stands upright.
 */
type Runs = Float64Array

const SAMPLES = 256
const HEIGHT_COUNTS = 0.01

/** The same two sections are blended at every rib, so their runs are measured once. */
const measured = new WeakMap<Aerofoil, { upper: Runs; lower: Runs }>()

function runsOf(section: Aerofoil): { upper: Runs; lower: Runs } {
  let runs = measured.get(section)
  if (!runs) {
    runs = { upper: measure(section.upper), lower: measure(section.lower) }
    measured.set(section, runs)
  }
  return runs
}

function measure(curve: Curve): Runs {
  const runs = new Float64Array(SAMPLES + 1)
  let before = curve(0)
  for (let i = 1; i <= SAMPLES; i++) {
    const at = curve(i / SAMPLES)
    runs[i] = runs[i - 1]! + Math.hypot(at[0] - before[0], HEIGHT_COUNTS * (at[1] - before[1]))
    before = at
  }
  const whole = runs[SAMPLES]!
  return runs.map((run) => run / whole)
}

function shareAt(runs: Runs, u: number): number {
  const i = Math.min(SAMPLES - 1, Math.floor(u * SAMPLES))
  return runs[i]! + (runs[i + 1]! - runs[i]!) * (u * SAMPLES - i)
}

function parameterAt(runs: Runs, share: number): number {
  const i = pieceAt(runs, share)
  return (i + (share - runs[i]!) / (runs[i + 1]! - runs[i]!)) / SAMPLES
}
