import { arcAbout } from './curve'
import { figure, place, shapeError } from './fault'
import { CHORD_TOLERANCE, type Loop, type Point, type Region } from './point'

/** A corner of a loop; the vertices of a flattened curve are none. */
export interface Corner {
  readonly at: Point
  /** Degrees the edge turns by, left above 0: a corner of an outline that sticks out, or of an opening that bites in. */
  readonly turn: number
  /** The vertex's index in its loop. */
  readonly index: number
  /** The number of its loop in the region, from 0. */
  readonly loop: number
}

/** Which corners: all, those that stick out of the card, those that bite into it, or those a function picks. */
export type CornerChoice = 'all' | 'out' | 'in' | ((corner: Corner) => boolean)

/** A vertex that turns by less than this is none, degrees. */
const LEAST_TURN = 10

/** All corners of a region, in the order of its loops. */
export function cornersOf(region: Region): Corner[] {
  return region.flatMap((loop, number) =>
    loop.flatMap((at, index): Corner[] => {
      const before = loop[(index + loop.length - 1) % loop.length]!
      const after = loop[(index + 1) % loop.length]!
      const turn = turnAt(before, at, after)
      return isCorner(before, at, after, turn) ? [{ at, turn, index, loop: number }] : []
    }),
  )
}

/**
 * The chosen corners rounded with a radius in mm.
 *
 * @throws FindingError where the edges beside a corner are too short for the radius
 */
export function filletRegion(region: Region, radius: number, which: CornerChoice = 'all'): Region {
  return cutCorners(region, radius, which, 'fillet', filletAt)
}

/**
 * The chosen corners cut off a distance in mm back along both edges.
 *
 * @throws FindingError where the edges beside a corner are too short for the distance
 */
export function chamferRegion(region: Region, distance: number, which: CornerChoice = 'all'): Region {
  return cutCorners(region, distance, which, 'chamfer', chamferAt)
}

/** What takes a corner's place, and how much of the edges beside it is used up. */
interface Cut {
  readonly back: number
  readonly points: readonly Point[]
}

type CutAt = (before: Point, corner: Corner, after: Point, size: number) => Cut

function cutCorners(region: Region, size: number, which: CornerChoice, word: string, cutAt: CutAt): Region {
  if (!(size >= 0 && Number.isFinite(size))) {
    throw shapeError(`bad-${word}`, `a ${word} of ${figure(size)} mm was asked for`, 'give a length of 0 mm or more', {
      found: size,
      wanted: 0,
    })
  }
  if (size === 0) return region
  const corners = cornersOf(region).filter(chooser(which))
  return region.map((loop, number) => {
    const cuts = new Map(
      corners
        .filter((corner) => corner.loop === number)
        .map((corner) => {
          const before = loop[(corner.index + loop.length - 1) % loop.length]!
          const after = loop[(corner.index + 1) % loop.length]!
          return [corner.index, cutAt(before, corner, after, size)]
        }),
    )
    if (cuts.size === 0) return loop
    checkRoom(loop, cuts, size, word)
    return loop.flatMap((point, i) => cuts.get(i)?.points ?? [point])
  })
}

function chooser(which: CornerChoice): (corner: Corner) => boolean {
  if (typeof which === 'function') return which
  if (which === 'out') return ({ turn }) => turn > 0
  if (which === 'in') return ({ turn }) => turn < 0
  return () => true
}

function filletAt(before: Point, { at, turn }: Corner, after: Point, radius: number): Cut {
  const half = (Math.abs(turn) * Math.PI) / 360
  const back = radius * Math.tan(half)
  const [from, to] = [towards(at, before, back), towards(at, after, back)]
  const [dx, dy] = [(at[0] - before[0]), (at[1] - before[1])]
  const length = Math.hypot(dx, dy)
  const sign = turn > 0 ? 1 : -1
  const centre: Point = [from[0] - (sign * radius * dy) / length, from[1] + (sign * radius * dx) / length]
  const points = arcAbout(from, centre, turn)
  return { back, points: [from, ...points.slice(0, -1), to] }
}

function chamferAt(before: Point, { at }: Corner, after: Point, distance: number): Cut {
  return { back: distance, points: [towards(at, before, distance), towards(at, after, distance)] }
}

function checkRoom(loop: Loop, cuts: ReadonlyMap<number, Cut>, size: number, word: string): void {
  loop.forEach((a, i) => {
    const j = (i + 1) % loop.length
    const used = (cuts.get(i)?.back ?? 0) + (cuts.get(j)?.back ?? 0)
    const b = loop[j]!
    const length = Math.hypot(b[0] - a[0], b[1] - a[1])
    if (used <= length + 1e-9) return
    const at = cuts.has(i) ? a : b
    const most = (size * length) / used
    throw shapeError(
      `${word}-too-large`,
      `a ${word} of ${figure(size)} mm at ${place(at)} uses ${figure(used)} mm of an edge ${figure(length)} mm long`,
      `make it ${figure(most)} mm or less, or choose fewer corners`,
      { found: size, wanted: most, at },
    )
  })
}

/** Degrees from one edge's direction to the next one's, left above 0. */
function turnAt(before: Point, at: Point, after: Point): number {
  const [ux, uy] = [at[0] - before[0], at[1] - before[1]]
  const [vx, vy] = [after[0] - at[0], after[1] - at[1]]
  return (Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy) * 180) / Math.PI
}

/**
 * A flattened curve of small radius turns as sharply at its vertices as a corner does, but its chords are short. An arc
 * that turned by as much within the shorter edge would stand off that edge by length/2 · tan(turn/4): where this is
 * within the chord tolerance (twice, for curves that have been through an offset), it may have been an arc.
 */
function isCorner(before: Point, at: Point, after: Point, turn: number): boolean {
  if (Math.abs(turn) < LEAST_TURN || Math.abs(turn) > 180 - 1e-6) return false
  const shorter = Math.min(
    Math.hypot(at[0] - before[0], at[1] - before[1]),
    Math.hypot(after[0] - at[0], after[1] - at[1]),
  )
  return (shorter / 2) * Math.tan((Math.abs(turn) * Math.PI) / 720) > 2 * CHORD_TOLERANCE
}

function towards(from: Point, to: Point, distance: number): Point {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  return [from[0] + ((to[0] - from[0]) * distance) / length, from[1] + ((to[1] - from[1]) * distance) / length]
}
