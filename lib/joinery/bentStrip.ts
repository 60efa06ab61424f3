import type { Seat } from '../craft/notch'
import { add, along, cross, distance, mix, scale, subtract, unit } from '../craft/space'
import type { Curved, Ruling } from '../model/form'
import type { Vector } from '../shape/pose'
import type { Strip } from './stringers'
import { thinned } from './rulings'

/** A strip as it lies in the notches of its frames, and straight on beyond the last ones. */
export function bentInto(strip: Strip, { from, to }: { from: number; to: number }, seats: readonly Seat[]): Curved {
  const runs = runOf(strip.line)
  const rests = seats
    .map((seat) => ({ ...seat, s: alongLine(strip.line, runs, seat.at) }))
    .toSorted((a, b) => a.s - b.s)
  const places = [...runs, ...rests.map(({ s }) => s)].filter((s) => s > from + NEAR && s < to - NEAR)
  const stops = [from, ...places.toSorted((a, b) => a - b), to].filter((s, i, all) => i === 0 || s - all[i - 1]! > NEAR)
  const onEdge = strip.of.options.lies === 'on edge'
  return thinned(
    stops.map((s): Ruling => {
      const { middle, way, out } = lieAt(strip.line, runs, rests, s)
      const across = onEdge ? out : unit(cross(out, way))
      const half = strip.breadth / 2
      const x = s - from
      return { flat: [[x, 0], [x, strip.breadth]], model: [along(middle, across, -half), along(middle, across, half)] }
    }),
  )
}

/** Places nearer than this are one, mm. */
const NEAR = 0.05

function runOf(line: readonly Vector[]): number[] {
  const runs = [0]
  for (let i = 1; i < line.length; i++) runs.push(runs[i - 1]! + distance(line[i - 1]!, line[i]!))
  return runs
}

function alongLine(line: readonly Vector[], runs: readonly number[], point: Vector): number {
  let best = { s: 0, off: Infinity }
  for (let i = 1; i < line.length; i++) {
    const step = runs[i]! - runs[i - 1]!
    const s = Math.min(step, distance(line[i - 1]!, point))
    const off = distance(mix(line[i - 1]!, line[i]!, s / step), point)
    if (off < best.off) best = { s: runs[i - 1]! + s, off }
  }
  return best.s
}

type Rest = Seat & { readonly s: number }

/** Between two frames the strip goes from its seat in one to its seat in the other beside its line. */
function lieAt(
  line: readonly Vector[],
  runs: readonly number[],
  rests: readonly Rest[],
  s: number,
): { middle: Vector; way: Vector; out: Vector } {
  const i = Math.max(1, runs.findIndex((run) => run >= s - 1e-9))
  const step = runs[i]! - runs[i - 1]!
  const at = mix(line[i - 1]!, line[i]!, (s - runs[i - 1]!) / step)
  const after = rests.find((rest) => rest.s >= s) ?? rests.at(-1)!
  const before = rests.findLast((rest) => rest.s <= s) ?? rests[0]!
  const share = after.s - before.s < 1e-9 ? 0 : Math.min(1, Math.max(0, (s - before.s) / (after.s - before.s)))
  const beside = mix(subtract(before.middle, before.at), subtract(after.middle, after.at), share)
  const way = unit(subtract(line[i]!, line[i - 1]!))
  const out = unit(add(scale(before.out, 1 - share), scale(after.out, share)))
  return { middle: add(at, beside), way, out }
}
