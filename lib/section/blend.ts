import type { Aerofoil } from './aerofoil'
import { sectionError } from './fault'
import type { Curve } from './refine'
import { pieceAt } from './spline'

/**
 * The section a share t of the way from one to another, as ribs change from root to tip: each surface point by point
 * at equal shares of its arc. t = 0 gives the first section, t = 1 the second; thickness and camber in between are
 * those of straight ruling lines between the two surfaces.
 *
 * @throws FindingError for a share outside 0 to 1
 */
export function blend(from: Aerofoil, to: Aerofoil, t: number): Aerofoil {
  if (!(t >= -ROUNDING && t <= 1 + ROUNDING)) {
    throw sectionError(`blend: a share of ${t}, it lies from 0 to 1`, `give 0 for ${from.name}, 1 for ${to.name}`)
  }
  const share = Math.min(1, Math.max(0, t))
  const [a, b] = [arcsOf(from), arcsOf(to)]
  return {
    name: `${from.name} to ${to.name}, ${Number(share.toFixed(4))}`,
    upper: mixed(from.upper, a.upper, to.upper, b.upper, share),
    lower: mixed(from.lower, a.lower, to.lower, b.lower, share),
  }
}

/** What a quotient such as y.over(semiSpan) may stand past its end. */
const ROUNDING = 1e-9

/** Keeps the first section's parameter, which crowds points at the nose. */
function mixed(a: Curve, arcsA: Arcs, b: Curve, arcsB: Arcs, t: number): Curve {
  if (t === 0) return a
  return (u) => {
    const [ax, ay] = a(u)
    const [bx, by] = b(parameterAt(arcsB, shareAt(arcsA, u)))
    return [ax + (bx - ax) * t, ay + (by - ay) * t]
  }
}

/** Share of the arc run through at equally spaced parameters, 0 to 1. */
type Arcs = Float64Array

/** Enough that chords fall short of their arcs by less than 0.01 mm on a metre of chord. */
const SAMPLES = 256

/** A section is blended with at every rib, so its arcs are measured once. */
const measured = new WeakMap<Aerofoil, { upper: Arcs; lower: Arcs }>()

function arcsOf(section: Aerofoil): { upper: Arcs; lower: Arcs } {
  let arcs = measured.get(section)
  if (!arcs) {
    arcs = { upper: measure(section.upper), lower: measure(section.lower) }
    measured.set(section, arcs)
  }
  return arcs
}

function measure(curve: Curve): Arcs {
  const arcs = new Float64Array(SAMPLES + 1)
  let before = curve(0)
  for (let i = 1; i <= SAMPLES; i++) {
    const at = curve(i / SAMPLES)
    arcs[i] = arcs[i - 1]! + Math.hypot(at[0] - before[0], at[1] - before[1])
    before = at
  }
  const whole = arcs[SAMPLES]!
  return arcs.map((run) => run / whole)
}

function shareAt(arcs: Arcs, u: number): number {
  const i = Math.min(SAMPLES - 1, Math.floor(u * SAMPLES))
  return arcs[i]! + (arcs[i + 1]! - arcs[i]!) * (u * SAMPLES - i)
}

function parameterAt(arcs: Arcs, share: number): number {
  const i = pieceAt(arcs, share)
  return (i + (share - arcs[i]!) / (arcs[i + 1]! - arcs[i]!)) / SAMPLES
}
