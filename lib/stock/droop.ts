/**
 * Stiffness of card from how far a strip droops under its own weight.
 *
 * A strip clamped level and hanging over by L sags by δ = q·L⁴/(8·E·I) at its end (cantilever under an even load, any
 * handbook of strength of materials), q its weight per length and I = w·t³/12; the width cancels. Card droops further
 * than that small-deflection formula holds for, so the bent line is worked out in full: with u the distance from the
 * free end and θ the slope, E·I·θ″ = −q·u·cos θ. Measured in units of (E·I/q)^⅓ it has one solution for each end
 * slope, so a droop gives its load number β = q·L³/(E·I) at once.
 */
export interface DroopTest {
  /** Length that hangs free, mm. */
  readonly overhang: number
  /** How far the end lies below the clamped edge, mm. */
  readonly droop: number
  /** mm */
  readonly thickness: number
  /** g/m² */
  readonly grammage: number
}

/** Young's modulus along the strip, GPa. */
export function modulusFromDroop({ overhang, droop, thickness, grammage }: DroopTest): number {
  const weight = grammage * 1e-3 * GRAVITY
  const stiffness = (weight * (overhang * 1e-3) ** 3) / loadNumber(droop / overhang)
  return (12 * stiffness) / (thickness * 1e-3) ** 3 / 1e9
}

/** Standard acceleration of free fall, m/s² (3rd CGPM, 1901). */
const GRAVITY = 9.80665

/** Steeper than this the strip hangs more than it bends, and the reading tells little of its stiffness. */
export const STEEPEST_DROOP = 0.7

/**
 * Load number β = q·L³/(E·I) at which the end droops by a share of the overhang: 8 times the share while that is small.
 *
 * @param share above 0, at most {@link STEEPEST_DROOP}
 */
export function loadNumber(share: number): number {
  let [low, high] = [0, Math.PI / 2]
  for (let i = 0; i < 60; i++) {
    const slope = (low + high) / 2
    if (bentStrip(slope).droop < share) low = slope
    else high = slope
  }
  return bentStrip((low + high) / 2).load
}

/** The strip whose free end has this slope: its load number, and where the end lies, as shares of the overhang. */
export function bentStrip(endSlope: number): { load: number; droop: number; reach: number } {
  let at: State = { slope: endSlope, turn: 0, down: 0, out: 0 }
  let u = 0
  for (;;) {
    const next = step(at, u, STEP)
    if (next.slope <= 0) break
    at = next
    u += STEP
  }
  // The clamped edge lies within the next step, where the slope comes down to nothing.
  let [low, high] = [0, STEP]
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2
    if (step(at, u, middle).slope > 0) low = middle
    else high = middle
  }
  const { down, out } = step(at, u, low)
  const length = u + low
  return { load: length ** 3, droop: down / length, reach: out / length }
}

const STEP = 0.02

/** Slope and its change, and how far the strip has gone down and out since the free end. */
interface State {
  readonly slope: number
  readonly turn: number
  readonly down: number
  readonly out: number
}

/** One step of the classical Runge–Kutta method. */
function step(from: State, u: number, h: number): State {
  const a = rates(from, u)
  const b = rates(moved(from, a, h / 2), u + h / 2)
  const c = rates(moved(from, b, h / 2), u + h / 2)
  const d = rates(moved(from, c, h), u + h)
  const mean = (name: keyof State) => (a[name] + 2 * b[name] + 2 * c[name] + d[name]) / 6
  return moved(from, { slope: mean('slope'), turn: mean('turn'), down: mean('down'), out: mean('out') }, h)
}

function rates({ slope, turn }: State, u: number): State {
  return { slope: turn, turn: -u * Math.cos(slope), down: Math.sin(slope), out: Math.cos(slope) }
}

function moved(from: State, rate: State, h: number): State {
  return {
    slope: from.slope + h * rate.slope,
    turn: from.turn + h * rate.turn,
    down: from.down + h * rate.down,
    out: from.out + h * rate.out,
  }
}
