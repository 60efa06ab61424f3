import type { Finding } from '../finding/finding'
import type { Point, Region } from '../shape/point'
import type { Vector } from '../shape/pose'
import { cutPlate } from './cutPlate'
import { inMm } from './figure'
import { type Chord, type Plate, type Slot, chordsOf, commonChords, plateRegion } from './plate'
import { slotLoop, slotWidth } from './slot'
import { webFindings } from './slotWeb'
import { add, along, cross, degrees, dot, faceNormal, norm, radians, scale, subtract, toPiece } from './space'

export interface InterlockOptions {
  /** What a slot is wider than the plate that goes in, and how far short of each other the two slot ends stop, mm. */
  readonly fit: number
  /** Which family's slots open towards `up`; `first` where not given. */
  readonly upper?: 'first' | 'second'
  /** The side the upper slots open to, by the component of the crossing along it; z where not given. */
  readonly up?: Vector
  readonly end?: 'square' | 'relief'
  /** Narrowest strip of card that may be left beside a slot. */
  readonly web: number
}

/** Two plates that pass through each other. */
export interface Crossing {
  readonly first: string
  readonly second: string
  /** Angle between the two cards, 0 to 90 degrees. */
  readonly angle: number
  /** Length over which they pass through each other, along the line both lie on. */
  readonly length: number
  /** Middle of the crossing, and the direction the upper slot opens to. */
  readonly at: Vector
  readonly towards: Vector
}

export interface Interlocked {
  readonly first: readonly Plate[]
  readonly second: readonly Plate[]
  readonly crossings: readonly Crossing[]
  readonly findings: readonly Finding[]
}

/**
 * Finds every crossing between two families of plates and cuts matching slots half-way into each.
 *
 * The planes of two plates share a line; where it runs in the card of both, they cross. Each crossing is halved at its
 * middle: one plate is slotted from there up, the other from there down, each as far as its own edge, so that the two
 * slide together along the line. For the width see {@link slotWidth}. Plates are given back in their order, with their
 * slots.
 */
export function interlock(first: readonly Plate[], second: readonly Plate[], options: InterlockOptions): Interlocked {
  const crossings: Crossing[] = []
  const findings: Finding[] = []
  const slots = new Map<Plate, Slot[]>([...first, ...second].map((plate) => [plate, []]))
  const met = new Set<Plate>()
  for (const a of first) {
    for (const b of second) {
      const meeting = meetingOf(a, b, options)
      if (!meeting) continue
      met.add(a).add(b)
      if ('finding' in meeting) {
        findings.push(meeting.finding)
        continue
      }
      crossings.push(meeting.crossing)
      slots.get(a)!.push(meeting.slotA)
      slots.get(b)!.push(meeting.slotB)
    }
  }
  findings.push(...lonely(first, second, met), ...lonely(second, first, met))
  const cut = (plate: Plate): Plate => cutSlots(plate, slots.get(plate)!, options, findings)
  return { first: first.map(cut), second: second.map(cut), crossings, findings }
}

/** Cards that stand at less than this to each other cannot be slotted; the slot would be a slit along the card. */
const LEAST_ANGLE = 15

/** Contact over less than this is a touch, not a crossing, mm. */
const TOUCH = 0.05

interface Meeting {
  readonly crossing: Crossing
  readonly slotA: Slot
  readonly slotB: Slot
}

/** One plate as it lies to the line of the crossing: a point of the line in its axes, the line's direction there. */
interface Lie {
  readonly plate: Plate
  readonly region: Region
  readonly from: Point
  readonly way: Point
  readonly width: number
}

function meetingOf(a: Plate, b: Plate, options: InterlockOptions): Meeting | { finding: Finding } | undefined {
  const [na, nb] = [faceNormal(a.pose), faceNormal(b.pose)]
  const shared = cross(na, nb)
  const sine = norm(shared)
  if (sine < Math.sin(radians(LEAST_ANGLE))) return undefined
  const angle = degrees(Math.atan2(sine, Math.abs(dot(na, nb))))
  const towards = upwards(scale(shared, 1 / sine), options.up ?? [0, 0, 1])
  const origin = linePoint(a, b, na, nb, towards)
  const lieA = lieOf(a, origin, towards, slotWidth(a.thickness, b.thickness, angle, options.fit))
  const lieB = lieOf(b, origin, towards, slotWidth(b.thickness, a.thickness, angle, options.fit))
  const common = commonChords(chordsAt(lieA, 0), chordsAt(lieB, 0))
  const touch = touching(lieA, lieB, common)
  if (touch !== undefined) return { finding: touchOnly(a, b, touch) }
  if (common.length === 0) return undefined
  const low = common[0]![0]
  const high = common.at(-1)![1]
  const middle = (low + high) / 2
  const aUp = (options.upper ?? 'first') === 'first'
  const half = options.fit / 2
  const slotA = slotOf(lieA, b.name, middle, aUp ? 1 : -1, half, [low, high])
  const slotB = slotOf(lieB, a.name, middle, aUp ? -1 : 1, half, [low, high])
  const at = along(origin, towards, middle)
  return { crossing: { first: a.name, second: b.name, angle, length: high - low, at, towards }, slotA, slotB }
}

function upwards(direction: Vector, up: Vector): Vector {
  const rise = dot(direction, up)
  const decisive = Math.abs(rise) > 1e-9 ? rise : (direction.find((part) => Math.abs(part) > 1e-9) ?? 1)
  return decisive < 0 ? scale(direction, -1) : direction
}

/** The point of the common line nearest to the first plate's origin. */
function linePoint(a: Plate, b: Plate, na: Vector, nb: Vector, way: Vector): Vector {
  const shared = cross(na, nb)
  const byA = scale(cross(nb, shared), dot(na, a.pose.origin))
  const byB = scale(cross(shared, na), dot(nb, b.pose.origin))
  const point = scale(add(byA, byB), 1 / dot(shared, shared))
  return along(point, way, dot(subtract(a.pose.origin, point), way))
}

function lieOf(plate: Plate, origin: Vector, towards: Vector, width: number): Lie {
  const { right, up } = plate.pose
  const way: Point = [dot(towards, right), dot(towards, up)]
  return { plate, region: plateRegion(plate), from: toPiece(plate.pose, origin), way, width }
}

/** Where the line, moved sideways in the plate, runs in its card. */
function chordsAt({ region, from, way }: Lie, sideways: number): Chord[] {
  return chordsOf(region, [from[0] - way[1] * sideways, from[1] + way[0] * sideways], way)
}

/**
 * Where the plates meet without passing through each other: the common line is hardly longer than a point, or one of
 * them ends within the other's card. Returns the length of contact, or undefined where they cross, or never meet.
 */
function touching(a: Lie, b: Lie, common: readonly Chord[]): number | undefined {
  const length = common.reduce((sum, [from, to]) => sum + to - from, 0)
  const through = [a, b].map((lie, i) => {
    const other = chordsAt(i === 0 ? b : a, 0)
    return [-1, 1].map((side) => lengthOf(commonChords(chordsAt(lie, (side * lie.width) / 2), other)))
  })
  const sides = through.flat()
  if (length > TOUCH && sides.every((side) => side > TOUCH)) return undefined
  if (length > 1e-9) return length
  const endsAt = through.find(([left, right]) => Math.max(left!, right!) > TOUCH)
  return endsAt ? Math.max(...endsAt) : undefined
}

function lengthOf(chords: readonly Chord[]): number {
  return chords.reduce((sum, [from, to]) => sum + to - from, 0)
}

/** The slot from the middle of the crossing to the plate's edge; `sense` 1 opens it along the line, −1 against it. */
function slotOf(lie: Lie, takes: string, middle: number, sense: 1 | -1, half: number, reach: Chord): Slot {
  const start = middle - sense * half
  const edge = edgeBeyond(lie, sense, reach)
  const end: Point = [lie.from[0] + lie.way[0] * start, lie.from[1] + lie.way[1] * start]
  const towards: Point = [lie.way[0] * sense, lie.way[1] * sense]
  return { takes, end, towards, width: lie.width, depth: (edge - start) * sense }
}

/** Where the card that the slot opens ends along the line: it may run on beyond the crossing. */
function edgeBeyond(lie: Lie, sense: 1 | -1, [low, high]: Chord): number {
  const touched = chordsAt(lie, 0).filter(([from, to]) => to > low && from < high)
  return sense > 0 ? touched.at(-1)![1] : touched[0]![0]
}

function cutSlots(plate: Plate, cuts: readonly Slot[], options: InterlockOptions, findings: Finding[]): Plate {
  if (cuts.length === 0) return plate
  const region = plateRegion(plate)
  const kind = options.end ?? 'square'
  findings.push(...webFindings(plate, cuts, { web: options.web, end: kind }))
  const tools = cuts.map((slot) => slotLoop(slot, mouthOf(region, slot), kind))
  const cut = cutPlate(plate, tools, cuts)
  findings.push(...cut.findings)
  return cut.plate
}

/** How far the mouth must be cut so that no part of the edge across the slot's width is left standing. */
function mouthOf(region: Region, { end, towards, width, depth }: Slot): number {
  const edgeAt = (off: number): number => {
    const from: Point = [end[0] - towards[1] * off, end[1] + towards[0] * off]
    return chordsOf(region, from, towards).find(([start, stop]) => start < depth && stop > depth - width)?.[1] ?? depth
  }
  const sides = [edgeAt(-width / 2), edgeAt(width / 2)]
  const ends = [depth, ...sides]
  for (const loop of region) {
    for (const [x, y] of loop) {
      const off = towards[0] * (y - end[1]) - towards[1] * (x - end[0])
      const forward = towards[0] * (x - end[0]) + towards[1] * (y - end[1])
      // A corner between the sides counts where it stands over both of them.
      if (Math.abs(off) < width / 2 && forward > Math.min(...sides)) ends.push(edgeAt(off))
    }
  }
  return Math.max(...ends) + TOUCH
}

function touchOnly(a: Plate, b: Plate, length: number): Finding {
  return {
    id: 'touch-only',
    severity: 'warning',
    text: `${a.name} and ${b.name} touch over ${inMm(length)} without passing through each other, no slot is cut`,
    remedy: 'let the one run past the other, or join them with a tab or a gusset',
    mark: a.name,
    found: length,
  }
}

/** Plates that meet none of the other family; where all of it stands parallel, that is why. */
function lonely(family: readonly Plate[], others: readonly Plate[], met: ReadonlySet<Plate>): Finding[] {
  return family
    .filter((plate) => !met.has(plate) && others.length > 0)
    .map((plate): Finding => {
      const angles = others.map((other) => {
        const [n, m] = [faceNormal(plate.pose), faceNormal(other.pose)]
        return degrees(Math.atan2(norm(cross(n, m)), Math.abs(dot(n, m))))
      })
      const steepest = Math.max(...angles)
      const names = others.length === 1 ? others[0]!.name : `any of ${others.length} plates, ${others[0]!.name} and on`
      const parallel = steepest < LEAST_ANGLE
      return {
        id: parallel ? 'parallel-planes' : 'no-crossing',
        severity: parallel ? 'error' : 'warning',
        text: parallel
          ? `${plate.name} stands at ${steepest.toFixed(1)}° to ${names}, slots need ${LEAST_ANGLE}°`
          : `${plate.name} does not cross ${names}`,
        remedy: parallel ? 'turn one of the two families' : 'leave it out, or lengthen one of the plates',
        mark: plate.name,
        ...(parallel && { found: steepest, wanted: LEAST_ANGLE }),
      }
    })
}
