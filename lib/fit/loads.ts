import type { Finding } from '../finding/finding'
import { inMm } from '../craft/figure'
import type { Support } from '../model/relation'
import type { Vector } from '../shape/pose'

/** What one support carries, g. */
export interface Load {
  readonly name: string
  readonly at: Vector
  readonly load: number
}

/**
 * What supports carry of a mass on level ground. Three are settled by the balance of forces and moments alone; two are
 * a beam; of more than three, which only their stiffness would settle, the loads with the least sum of squares are
 * taken. A centre of gravity outside them is a finding: the model tips.
 */
export function loadsOn(supports: readonly Support[], mass: number, centre: Vector): { loads: Load[]; findings: Finding[] } {
  if (supports.length === 0) return { loads: [], findings: [] }
  const shares = supports.length === 1 ? [1] : sharesOf(supports, centre)
  if (!shares) return { loads: [], findings: [inLine(supports)] }
  const loads = supports.map(({ name, at }, i) => ({ name, at, load: mass * shares[i]! }))
  const off = offBalance(loads, mass, centre)
  const lifted = loads.filter(({ load }) => load < -1e-9 * mass).toSorted((a, b) => a.load - b.load)
  const findings = off > STEADY ? [aside(supports, off)] : lifted.length > 0 ? [tips(lifted[0]!)] : []
  return { loads, findings }
}

/** Farthest the centre of gravity may be off the line between two supports, mm. */
const STEADY = 0.5

/** Least-norm shares that balance force and both moments; in the line of two, force and the moment along it. */
function sharesOf(supports: readonly Support[], centre: Vector): number[] | undefined {
  const rows = rowsOf(supports)
  const wanted = [1, centre[0] - supports[0]!.at[0], centre[1] - supports[0]!.at[1]]
  if (supports.length === 2) {
    const [dx, dy] = [rows[1]![1]!, rows[2]![1]!]
    const squared = dx * dx + dy * dy
    if (squared < 1e-9) return undefined
    const second = (wanted[1]! * dx + wanted[2]! * dy) / squared
    return [1 - second, second]
  }
  // shares = Aᵀ (A Aᵀ)⁻¹ wanted
  const square = rows.map((a) => rows.map((b) => a.reduce((sum, value, i) => sum + value * b[i]!, 0)))
  const factors = solve(square, wanted)
  return factors && supports.map((_, i) => rows.reduce((sum, row, k) => sum + row[i]! * factors[k]!, 0))
}

function rowsOf(supports: readonly Support[]): number[][] {
  const [first] = supports
  return [supports.map(() => 1), supports.map(({ at }) => at[0] - first!.at[0]), supports.map(({ at }) => at[1] - first!.at[1])]
}

/** By Cramer's rule; undefined where the supports stand in one line. */
function solve(m: readonly (readonly number[])[], v: readonly number[]): number[] | undefined {
  const det = (a: readonly (readonly number[])[]): number =>
    a[0]![0]! * (a[1]![1]! * a[2]![2]! - a[1]![2]! * a[2]![1]!) -
    a[0]![1]! * (a[1]![0]! * a[2]![2]! - a[1]![2]! * a[2]![0]!) +
    a[0]![2]! * (a[1]![0]! * a[2]![1]! - a[1]![1]! * a[2]![0]!)
  const whole = det(m)
  const size = m[0]![0]! * m[1]![1]! * m[2]![2]!
  if (!(Math.abs(whole) > 1e-9 * Math.abs(size)) || size === 0) return undefined
  return [0, 1, 2].map((k) => det(m.map((row, i) => row.map((value, j) => (j === k ? v[i]! : value)))) / whole)
}

/** How far the loads together act from the centre of gravity, mm. */
function offBalance(loads: readonly Load[], mass: number, centre: Vector): number {
  const acts = [0, 1].map((k) => loads.reduce((sum, { load, at }) => sum + load * at[k]!, 0) / mass)
  return Math.hypot(acts[0]! - centre[0], acts[1]! - centre[1])
}

function tips({ name, load }: Load): Finding {
  return {
    id: 'tips',
    severity: 'warning',
    text: `the model tips: ${name} would have to be held down by ${Math.abs(load).toFixed(2)} g, 0 g is needed to stand`,
    remedy: 'move the supports about the centre of gravity, or put ballast on the other side',
    found: load,
    wanted: 0,
  }
}

function aside(supports: readonly Support[], off: number): Finding {
  const names = supports.map(({ name }) => name).join(' and ')
  return {
    id: 'tips',
    severity: 'warning',
    text: `the model tips: its centre of gravity is ${inMm(off)} beside ${names}, ${inMm(STEADY)} is steady`,
    remedy: 'say what else it stands on with standsOn, or move the supports',
    found: off,
    wanted: STEADY,
  }
}

function inLine(supports: readonly Support[]): Finding {
  return {
    id: 'tips',
    severity: 'warning',
    text: `the ${supports.length} supports stand in one line, 3 that do not are needed`,
    remedy: 'say what else it stands on with standsOn',
    found: supports.length,
    wanted: 3,
  }
}
