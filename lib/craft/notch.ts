import type { Finding } from '../finding/finding'
import type { Loop, Point } from '../shape/point'
import type { Vector } from '../shape/pose'
import { cutPlate } from './cutPlate'
import { inMm } from './figure'
import { cutOut, lengthOf } from './line'
import { type Plate, type Slot, chordsOf, plateRegion } from './plate'
import { webFindings } from './slotWeb'
import { add, cross, degrees, dot, faceNormal, heightOver, mix, norm, scale, subtract, toModel, toPiece, unit } from './space'

export interface Stringer {
  readonly name: string
  /** The line it follows, on or near the skin, in space. */
  readonly line: readonly Vector[]
  /** Across the skin, and square to it. */
  readonly width: number
  readonly depth: number
  /** How far its outer face lies below the frames' outline; 0 for flush. */
  readonly under?: number
}

export interface NotchOptions {
  /** What a notch is wider than the stringer. */
  readonly fit: number
  readonly web: number
  /** Farthest the line may lie from a frame's outline. */
  readonly reach: number
}

/**
 * Cuts notches for a stringer into every frame its line passes through.
 *
 * At each frame the section stands square to the line and to the skin. Its two flanks are a slab that crosses the frame
 * at an angle a, so the notch is (width + fit)/sin a + t·|cot a| wide, as a slot for a plate would be. Its bottom is
 * the plane of the inner face, deepened by what that plane rises or falls within the frame's thickness. The outer face
 * lies `under` the outline everywhere: on a round frame the corners of the section decide, not its middle.
 */
export function notchFrames(
  frames: readonly Plate[],
  stringers: readonly Stringer[],
  options: NotchOptions,
): { frames: Plate[]; seats: Seat[]; findings: Finding[] } {
  const findings: Finding[] = []
  const seats: Seat[] = []
  const notched = frames.map((frame) => {
    const cuts = stringers.flatMap((stringer) =>
      passages(frame, stringer).map((at) => notchAt(frame, stringer, at, options)),
    )
    for (const cut of cuts) if ('finding' in cut) findings.push(cut.finding)
    const good = cuts.flatMap((cut) => ('finding' in cut ? [] : [cut]))
    if (good.length === 0) return frame
    seats.push(...good.map(({ seat }) => seat))
    const slots = good.map(({ slot }) => slot)
    findings.push(...webFindings(frame, slots, { web: options.web, end: 'square' }))
    const tools = good.map(({ tool }) => tool)
    const result = cutPlate(frame, tools, slots)
    findings.push(...result.findings)
    return result.plate
  })
  return { frames: notched, seats, findings }
}

/** How a stringer lies in a frame. */
export interface Seat {
  readonly stringer: string
  readonly frame: string
  /** Where its line goes through the frame's plane, and the middle of its section there. */
  readonly at: Vector
  readonly middle: Vector
  /** Unit directions along it and out of the frame, square to it. */
  readonly way: Vector
  readonly out: Vector
}

/** A stringer that passes a frame at less than this would need a slit along it, degrees. */
const LEAST_ANGLE = 15

/** Where the line goes through the frame's plane, and its direction there. */
interface Passage {
  readonly at: Vector
  readonly way: Vector
}

function passages(frame: Plate, { line }: Stringer): Passage[] {
  const found: Passage[] = []
  for (let i = 1; i < line.length; i++) {
    const [from, to] = [line[i - 1]!, line[i]!]
    const [before, after] = [heightOver(frame.pose, from), heightOver(frame.pose, to)]
    // Half-open, so that a frame standing at a point of the line is passed once; the line's last point counts too.
    const passes = before <= 0 !== after <= 0 || (after === 0 && i === line.length - 1 && before !== 0)
    if (passes) found.push({ at: mix(from, to, before / (before - after)), way: unit(subtract(to, from)) })
  }
  return found
}

function notchAt(
  frame: Plate,
  stringer: Stringer,
  { at, way }: Passage,
  { fit, reach }: NotchOptions,
): { tool: Loop; slot: Slot; seat: Seat } | { finding: Finding } {
  const { pose, thickness } = frame
  const point = toPiece(pose, at)
  const edge = nearestOnLoop(frame.outline, point)
  if (edge.off > reach) return { finding: offLine(frame, stringer, point, edge.off, reach) }
  const outwards = outwardAt(frame.outline, edge.along, stringer.width)
  const out = add(scale(pose.right, outwards[0]), scale(pose.up, outwards[1]))
  const face = faceNormal(pose)
  const steepness = degrees(Math.asin(Math.min(1, Math.abs(dot(way, face)))))
  if (steepness < LEAST_ANGLE) return { finding: alongFrame(frame, stringer, point, steepness) }
  const flank = unit(cross(way, out))
  const inner = unit(cross(flank, way))
  // Direction of the flanks in the frame's plane, into the card.
  const sunk = cross(face, flank)
  const sine = norm(sunk)
  const down = scale(sunk, (dot(sunk, out) > 0 ? -1 : 1) / sine)
  const into: Point = [dot(down, pose.right), dot(down, pose.up)]
  const width = (stringer.width + fit) / sine + thickness * Math.abs(dot(face, flank) / sine)
  const fall = -dot(down, inner)
  const start = deepestEntry(frame, edge.point, into, stringer.width / sine)
  const below = (stringer.depth + (stringer.under ?? 0)) / fall
  const depth = start + below + (thickness / 2) * Math.abs(dot(face, inner) / fall) + fit / 2
  const end: Point = [edge.point[0] + into[0] * depth, edge.point[1] + into[1] * depth]
  const slot: Slot = { takes: stringer.name, end, towards: [-into[0], -into[1]], width, depth }
  // The bottom runs along the inner face, which leans in the frame's plane where the line passes askew.
  const bottom = cross(face, inner)
  const lean = slopeOf([dot(bottom, pose.right), dot(bottom, pose.up)], into)
  const half = start + ((stringer.under ?? 0) + stringer.depth / 2) / fall
  const middle = toModel(pose, [edge.point[0] + into[0] * half, edge.point[1] + into[1] * half])
  const seat: Seat = { stringer: stringer.name, frame: frame.name, at, middle, way, out: inner }
  return { tool: notchLoop(slot, lean), slot, seat }
}

/** How far the bottom rises towards the left of the way in, per mm. */
function slopeOf(line: Point, into: Point): number {
  const across = line[1] * into[0] - line[0] * into[1]
  return across === 0 ? 0 : (line[0] * into[0] + line[1] * into[1]) / across
}

function notchLoop({ end, towards, width, depth }: Slot, lean: number): Loop {
  const half = width / 2
  const mouth = depth + width
  const place = (across: number, forward: number): Point => [
    end[0] + towards[0] * forward - towards[1] * across,
    end[1] + towards[1] * forward + towards[0] * across,
  ]
  // Across counts to the left of the way out, which is the right of the way in.
  return [place(-half, mouth), place(half, mouth), place(half, half * lean), place(-half, -half * lean)]
}

/** How far in, from a point of the outline, card begins across the whole width of the section. */
function deepestEntry(frame: Plate, from: Point, into: Point, width: number): number {
  const region = plateRegion(frame)
  const entries = [-0.5, 0, 0.5].map((share) => {
    const start: Point = [from[0] - into[1] * width * share, from[1] + into[0] * width * share]
    const chords = chordsOf(region, start, into).map(([enter]) => enter)
    return chords.toSorted((a, b) => Math.abs(a) - Math.abs(b))[0] ?? 0
  })
  return Math.max(...entries)
}

function nearestOnLoop(loop: Loop, [x, y]: Point): { point: Point; along: number; off: number } {
  let best = { point: loop[0]!, along: 0, off: Infinity }
  let along = 0
  for (const [i, [ax, ay]] of loop.entries()) {
    const [bx, by] = loop[(i + 1) % loop.length]!
    const [dx, dy] = [bx - ax, by - ay]
    const length = Math.hypot(dx, dy)
    const t = Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / (length * length)))
    const point: Point = [ax + t * dx, ay + t * dy]
    const off = Math.hypot(x - point[0], y - point[1])
    if (off < best.off) best = { point, along: along + t * length, off }
    along += length
  }
  return best
}

/** The way out of the outline over a width, square to the chord under it: steady on curves, halved at a chine. */
function outwardAt(loop: Loop, along: number, width: number): Point {
  const closed = [...loop, loop[0]!]
  const total = lengthOf(closed)
  const at = (s: number): Point => {
    const place = ((s % total) + total) % total
    return cutOut(closed, place, Math.min(total, place + 1e-6))[0] ?? loop[0]!
  }
  const [from, to] = [at(along - width / 2), at(along + width / 2)]
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  return [(to[1] - from[1]) / length, -(to[0] - from[0]) / length]
}

function alongFrame(frame: Plate, stringer: Stringer, [x, y]: Point, angle: number): Finding {
  return {
    id: 'stringer-along',
    severity: 'error',
    text: `stringer ${stringer.name} passes ${frame.name} at ${angle.toFixed(1)}°, a notch needs ${LEAST_ANGLE}°`,
    remedy: 'end the stringer before this frame, or turn the frame',
    mark: frame.name,
    at: [x, y],
    found: angle,
    wanted: LEAST_ANGLE,
  }
}

function offLine(frame: Plate, stringer: Stringer, [x, y]: Point, off: number, reach: number): Finding {
  return {
    id: 'stringer-off',
    severity: 'error',
    text: `stringer ${stringer.name} passes ${inMm(off)} from the outline of ${frame.name}, ${inMm(reach)} is allowed`,
    remedy: 'move the line to the outline, or end it before this frame',
    mark: frame.name,
    at: [x, y],
    found: off,
    wanted: reach,
  }
}
