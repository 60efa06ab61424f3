import { alternateGrain, wrappedPlies } from '../craft/laminate'
import { type Flat, plainFlat, rectangleLoop } from '../craft/flat'
import { checkCurl } from '../craft/fold'
import { radians } from '../craft/space'
import { type Length, mm } from '../length/length'
import type { Draft } from '../model/draft'
import type { Form, Ruling } from '../model/form'
import { type CraftPart, craftDraft, craftError, stockOf } from './craftDraft'
import { type End, closedRound, curledRound, ring } from './round'

export interface WrappedOptions extends Omit<CraftPart, 'plies'> {
  /** Along the former, where the first ply lies. */
  readonly length: Length
  /** Across the strip. */
  readonly width: Length
  readonly plies: number
  /** Degrees the former turns through under the plies: 180 for a U; 360, a closed ring, where not given. */
  readonly turning?: number
  /**
   * `across` the strip in all plies, which curls easiest, taken where not given; or `alternate`, turned by 90° from ply
   * to ply, for a ring too wide to warp.
   */
  readonly grain?: 'across' | 'alternate'
}

/** The plies by number from the former outwards: `{ W1: piece…, W2: piece… }`, for a family's function to return. */
export type WrappedPlies = Record<string, Draft>

/**
 * Plies wrapped one on another round a curve, `XR-W1`, `XR-W2`, each a strip of its own length: ply i is
 * L + θ·(i(t + g) + K·t), glue line g, as a curve a distance d outside another is longer by d times its turn (Steiner's
 * formula for parallel curves). A line across the middle of each says how they lie: on the joint of the ply below in a
 * ring, which staggers the joints, and over the middle of the ply below on an open curve.
 *
 * A former tighter than the stock curls, at its mean radius L/θ, is a warning for each ply it creases.
 *
 * @throws FindingError unless there is at least one ply and the former turns by 0° or more
 */
export function wrapped(options: WrappedOptions): WrappedPlies {
  const { plies, turning = 360, grain = 'across', copies = 1 } = options
  checkWrap(plies, turning)
  const stock = stockOf(options.stock)
  const part = { stock: options.stock, copies }
  const [length, width] = [mm(options.length), mm(options.width)]
  const { measured: thickness, glueLine, fold } = stock
  const lengths = wrappedPlies({ length, turning, plies, thickness, glueLine: glueLine.value, k: fold.k.value })
  const turns = grain === 'alternate' ? alternateGrain(plies) : lengths.map(() => 0)
  const run = {}
  const strips = lengths.map((along, i) => {
    const inside = turning === 0 ? Infinity : length / radians(turning) + i * (thickness + glueLine.value)
    const findings = checkCurl(inside, turns[i]!, stock)
    const notes = [`Ply ${i + 1} of ${plies} from the former outwards, ${along.toFixed(2)} mm. ${laid(i, turning)}`]
    const out = i * (thickness + glueLine.value) + thickness / 2
    const form = turning > 0 ? roundFormer(inside, thickness, { along, width, turning, ply: i }) : straight(along, width, out)
    const layer = { of: run, number: i }
    return [`W${i + 1}`, craftDraft(stripOf(along, width, 90 - turns[i]!), part, notes, findings, form, layer)] as const
  })
  return Object.fromEntries(strips)
}

/** About the axis of its pose, half the width to either side of it; an open curve begins at its x. */
function roundFormer(
  inside: number,
  thickness: number,
  { along, width, turning, ply }: { along: number; width: number; turning: number; ply: number },
): Form {
  const radius = inside + thickness / 2
  const line = (share: number): [End, End] => [
    { flat: [along * share, 0], radius, height: -width / 2 },
    { flat: [along * share, width], radius, height: width / 2 },
  ]
  if (turning !== 360) return curledRound(turning, line)
  // Each joint comes opposite that of the ply below.
  return closedRound(ring(inside, inside + thickness, -width / 2, width / 2), curledRound(turning, line, 180 * (ply % 2)))
}

/** On a straight former, from its x on; the plies one over the other towards the printed side. */
function straight(along: number, width: number, out: number): Form {
  const line = (x: number): Ruling => ({ flat: [[x, 0], [x, width]], model: [[x, -width / 2, out], [x, width / 2, out]] })
  return { kind: 'curved', rulings: [line(0), line(along)] }
}

function laid(i: number, turning: number): string {
  if (turning < 360) return i === 0 ? 'The line marks its middle.' : 'Its line comes over that of the ply below.'
  return i === 0 ? 'Ends butted.' : 'Ends butted, its line over the joint of the ply below.'
}

function stripOf(length: number, width: number, grain: number): Flat {
  const middle = [
    [length / 2, 0],
    [length / 2, width],
  ] as const
  const lines = [{ kind: 'align', line: middle, closed: false }] as const
  return { ...plainFlat(rectangleLoop(length, width), { lines }), grain }
}

function checkWrap(plies: number, turning: number): void {
  if (!Number.isInteger(plies) || plies < 1) {
    const text = `wrapped was given ${plies} plies`
    throw craftError({ id: 'wrapped', text, remedy: 'give a whole number of 1 or more', found: plies, wanted: 1 })
  }
  if (!(turning >= 0)) {
    const text = `wrapped was given a former that turns by ${turning}°`
    throw craftError({ id: 'wrapped', text, remedy: 'give 0° or more: 360 for a ring', found: turning, wanted: 0 })
  }
}
