import { FindingError } from '../finding/finding'
import { intersect, subtract } from '../shape/boolean'
import { area } from '../shape/measure'
import { offsetRegion, strokeLine } from '../shape/offset'
import type { Loop, Point, Polyline, Region } from '../shape/point'
import { inMm } from './figure'
import { type Flat, type FlatScore, plainFlat, rectangleLoop } from './flat'
import { type Bend, foldGain } from './fold'
import { turnAt } from './line'
import { radians } from './space'

/** A strip glued behind a butt joint, half of its width on each piece, with the line of the joint drawn on it. */
export function joinerStrip(joint: Polyline, width: number): Flat {
  const [outline] = strokeLine(joint, width)
  if (!outline) throw tooNarrow('a joiner strip', width)
  return plainFlat(outline, { lines: [{ kind: 'align', line: joint, closed: false }] })
}

/**
 * A doubler round an opening: a ring of the given width, kept `inset` away from the outline of the piece it lies on.
 * The opening goes through it as well.
 */
export function doubler(outline: Loop, opening: Loop, { width, inset }: { width: number; inset: number }): Flat {
  const hole = area([opening]) < 0 ? opening.toReversed() : opening
  const grown = offsetRegion([hole], width, 'round')
  const room = offsetRegion([outline], -inset)
  const ring = subtract(intersect(grown, room), [hole])
  const body = largest(ring)
  if (!body) throw tooNarrow('a doubler', width)
  const holes = ring.filter((loop) => area([loop]) < 0)
  return plainFlat(body, { openings: holes.map((loop) => ({ kind: 'opening', loop })) })
}

export interface Gusset {
  /** Lengths along the two pieces it holds. */
  readonly legs: readonly [number, number]
  /** Angle between the pieces, degrees. */
  readonly angle: number
  /** Cut off the corner, so that glue there does not hold it away. */
  readonly relief: number
}

/** A corner plate between two pieces at an angle, its corner at the origin and the first leg along x. */
export function gusset({ legs: [first, second], angle, relief }: Gusset): Flat {
  if (!(relief < Math.min(first, second)) || !(angle > 0 && angle < 180)) {
    throw new FindingError({
      id: 'gusset',
      severity: 'error',
      text: `a gusset of ${first.toFixed(2)} by ${inMm(second)} at ${angle}° with ${inMm(relief)} off its corner`,
      remedy: 'give an angle between 0 and 180° and a relief shorter than both legs',
      found: relief,
      wanted: Math.min(first, second),
    })
  }
  const on = (reach: number): Point => [reach * Math.cos(radians(angle)), reach * Math.sin(radians(angle))]
  const corner: Loop = relief > 0 ? [on(relief), [relief, 0]] : [[0, 0]]
  return plainFlat([...corner, [first, 0], on(second)])
}

export interface EdgeStrip {
  /** Thickness of the lamination whose cut edge it hides. */
  readonly width: number
  readonly bend: Bend
  /** Longest strip the sheet allows. */
  readonly longest: number
  /** Point of the outline where the strip begins. */
  readonly start?: number
  /** Turn of the outline from which the strip is scored instead of curled, degrees. */
  readonly crease?: number
}

/**
 * The strip that runs round the cut edge of a lamination, printed side out. Round a curve that turns by θ its neutral
 * layer gains θ·K·t over the edge; at a corner it folds, measured on the face that lies on the edge: inside at an
 * outward corner (a mountain), outside at an inward one (a valley). Cut into equal parts where the sheet is too short.
 * `corners` are the places along it that come to the points of the outline, once round.
 */
export function edgeStrip(loop: Loop, spec: EdgeStrip): { strips: Flat[]; length: number; corners: number[] } {
  const { width, bend, longest, start = 0, crease = 25 } = spec
  const seam = cornerGain(loop, start, bend, crease)
  const scores: { at: number; angle: number }[] = []
  // The corner it begins at is half taken up at either end of the strip, and is folded where the ends meet.
  let length = seam.gain / 2
  const corners = [0]
  for (let k = 0; k < loop.length; k++) {
    const [point, after] = [loop[(start + k) % loop.length]!, loop[(start + k + 1) % loop.length]!]
    const { gain, turn } = cornerGain(loop, (start + k) % loop.length, bend, crease)
    if (k > 0) {
      if (Math.abs(turn) >= crease) scores.push({ at: length + gain / 2, angle: turn })
      corners.push(length + gain / 2)
      length += gain
    }
    length += Math.hypot(after[0] - point[0], after[1] - point[1])
  }
  length += seam.gain / 2
  corners.push(length)
  const count = Math.ceil(length / longest - 1e-9)
  const each = length / count
  const strips = Array.from({ length: count }, (_, i) => {
    const own = scores.filter(({ at }) => at > i * each && at <= (i + 1) * each)
    return plainFlat(rectangleLoop(each, width), {
      scores: own.map(({ at, angle }) => acrossStrip(at - i * each, width, angle)),
    })
  })
  return { strips, length, corners }
}

function cornerGain(loop: Loop, i: number, bend: Bend, crease: number): { gain: number; turn: number } {
  const n = loop.length
  const turn = turnAt(loop[(i + n - 1) % n]!, loop[i]!, loop[(i + 1) % n]!)
  if (Math.abs(turn) < crease) return { turn, gain: radians(turn) * bend.k * bend.thickness }
  return { turn, gain: foldGain(turn, bend, turn > 0 ? 'inside' : 'outside') }
}

function acrossStrip(x: number, width: number, turn: number): FlatScore {
  const line: Polyline = [
    [x, 0],
    [x, width],
  ]
  return { fold: turn > 0 ? 'mountain' : 'valley', line, angle: Math.abs(turn) }
}

function largest(region: Region): Loop | undefined {
  return region.filter((loop) => area([loop]) > 0).toSorted((a, b) => area([b]) - area([a]))[0]
}

function tooNarrow(what: string, width: number): FindingError {
  return new FindingError({
    id: 'strip-width',
    severity: 'error',
    text: `${what} of ${inMm(width)} leaves no card`,
    remedy: 'make it wider, or keep less away from the edge',
    found: width,
    wanted: 0,
  })
}
