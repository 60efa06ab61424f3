import type { Finding } from '../finding/finding'
import { area } from '../shape/measure'
import { subtract as cutAway } from '../shape/boolean'
import type { Loop, Point, Region } from '../shape/point'
import type { Vector } from '../shape/pose'
import type { FlatOpening } from './flat'
import { type Chord, type Plate, type Slot, chordsOf, commonChords, plateRegion } from './plate'
import { reliefRadius, slotLoop, slotWidth, slotsApart } from './slot'
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

/** Crumbs of card under this area, left between a slot and a curved edge, are cut away with the slot, mm². */
const CRUMB = 0.05

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
  const edge = edgeBeyond(lie, 0, sense, reach) ?? (sense > 0 ? reach[1] : reach[0])
  const end: Point = [lie.from[0] + lie.way[0] * start, lie.from[1] + lie.way[1] * start]
  const towards: Point = [lie.way[0] * sense, lie.way[1] * sense]
  return { takes, end, towards, width: lie.width, depth: (edge - start) * sense }
}

/** How far the card that the slot opens runs on along the line, at a distance sideways from it. */
function edgeBeyond(lie: Lie, sideways: number, sense: 1 | -1, [low, high]: Chord): number | undefined {
  const touched = chordsAt(lie, sideways).filter(([from, to]) => to > low && from < high)
  if (touched.length === 0) return undefined
  return sense > 0 ? touched.at(-1)![1] : touched[0]![0]
}

function cutSlots(plate: Plate, cuts: readonly Slot[], options: InterlockOptions, findings: Finding[]): Plate {
  if (cuts.length === 0) return plate
  const region = plateRegion(plate)
  const all = [...(plate.slots ?? []), ...cuts]
  for (const slot of cuts) findings.push(...thinWebs(plate, region, slot, options))
  findings.push(...crowded(plate, all, options.web))
  const tools = cuts.map((slot): Region => [slotLoop(slot, mouthOf(region, slot), options.end ?? 'square')])
  const left = cutAway(region, ...tools)
  const pieces = left.filter((loop) => area([loop]) > CRUMB).toSorted((p, q) => area([q]) - area([p]))
  if (pieces.length !== 1) findings.push(severed(plate, pieces))
  const openings = left.filter((loop) => area([loop]) < 0).map((loop) => openingOf(loop, plate.openings))
  return { ...plate, outline: pieces[0] ?? plate.outline, openings, slots: all }
}

/** How far the mouth must be cut so that no part of the edge across the slot's width is left standing. */
function mouthOf(region: Region, slot: Slot): number {
  const { end, towards, width, depth } = slot
  const sideways = [-width / 2, 0, width / 2]
  for (const loop of region) {
    for (const [x, y] of loop) {
      const off = towards[0] * (y - end[1]) - towards[1] * (x - end[0])
      if (Math.abs(off) < width / 2) sideways.push(off)
    }
  }
  const ends = sideways.map((off) => {
    const from: Point = [end[0] - towards[1] * off, end[1] + towards[0] * off]
    return chordsOf(region, from, towards).find(([start, stop]) => start < depth && stop > depth - width)?.[1] ?? depth
  })
  return Math.max(depth, ...ends) + TOUCH
}

/** Strips left beside and below a slot, measured square to it in its closed half. */
function thinWebs(plate: Plate, region: Region, slot: Slot, options: InterlockOptions): Finding[] {
  const { end, towards, width, depth } = slot
  const least = options.web
  const across: Point = [-towards[1], towards[0]]
  let thinnest = Infinity
  for (const share of [0, 0.25, 0.5]) {
    const at: Point = [end[0] + towards[0] * depth * share, end[1] + towards[1] * depth * share]
    const chord = chordsOf(region, at, across).find(([from, to]) => from < 0 && to > 0)
    if (chord) thinnest = Math.min(thinnest, -chord[0] - width / 2, chord[1] - width / 2)
  }
  const back: Point = [-towards[0], -towards[1]]
  const below = chordsOf(region, end, back).find(([from, to]) => from < 0 && to > 0)
  if (below) thinnest = Math.min(thinnest, below[1] - (options.end === 'relief' ? reliefRadius(slot) : 0))
  if (thinnest >= least) return []
  const found = Math.max(0, thinnest)
  return [
    {
      id: 'narrow-web',
      severity: 'error',
      text: `the slot for ${slot.takes} leaves ${found.toFixed(2)} mm of card, ${least.toFixed(2)} mm is needed`,
      remedy: 'move the slot or the opening beside it, or let the other plate end here',
      mark: plate.name,
      at: [end[0], end[1]],
      found,
      wanted: least,
    },
  ]
}

/** Slots of one plate that run into each other, or nearly. */
function crowded(plate: Plate, slots: readonly Slot[], least: number): Finding[] {
  const findings: Finding[] = []
  for (const [i, slot] of slots.entries()) {
    for (const other of slots.slice(i + 1)) {
      if (farApart(slot, other, least)) continue
      const apart = slotsApart(slot, other)
      if (apart >= least) continue
      const meets = apart <= 0
      findings.push({
        id: meets ? 'three-meet' : 'narrow-web',
        severity: 'error',
        text: meets
          ? `${slot.takes} and ${other.takes} cross ${plate.name} in one place: slots 0.00 mm apart, ${least.toFixed(2)} mm is needed`
          : `the slots for ${slot.takes} and ${other.takes} leave ${apart.toFixed(2)} mm between them, ${least.toFixed(2)} mm is needed`,
        remedy: meets ? 'let one of the three end at the others, or move it' : 'move one of the two plates',
        mark: plate.name,
        at: [slot.end[0], slot.end[1]],
        found: Math.max(0, apart),
        wanted: least,
      })
    }
  }
  return findings
}

/** Whether two slots are plainly further apart than that, by a circle round each. */
function farApart(a: Slot, b: Slot, least: number): boolean {
  const x = a.end[0] - b.end[0] + (a.towards[0] * a.depth - b.towards[0] * b.depth) / 2
  const y = a.end[1] - b.end[1] + (a.towards[1] * a.depth - b.towards[1] * b.depth) / 2
  return Math.hypot(x, y) > (a.depth + a.width + b.depth + b.width) / 2 + least
}

function openingOf(loop: Loop, before: readonly FlatOpening[]): FlatOpening {
  const size = area([loop])
  const same = before.find((opening) => Math.abs(area([opening.loop]) - size) < 1e-3)
  return { kind: same?.kind ?? 'opening', loop }
}

function severed(plate: Plate, pieces: readonly Loop[]): Finding {
  const areas = pieces.map((loop) => area([loop]).toFixed(1))
  return {
    id: 'slot-severs',
    severity: 'error',
    text: `slots cut ${plate.name} into ${pieces.length} pieces of ${areas.join(', ')} mm², 1 is meant`,
    remedy: 'make the piece deeper there, or give its slots to the other family',
    mark: plate.name,
    found: pieces.length,
    wanted: 1,
  }
}

function touchOnly(a: Plate, b: Plate, length: number): Finding {
  return {
    id: 'touch-only',
    severity: 'warning',
    text: `${a.name} and ${b.name} touch over ${length.toFixed(2)} mm and do not pass through each other, no slot is cut`,
    remedy: 'let the one run past the other, or join them with a tab or a gusset',
    mark: a.name,
    found: length,
    wanted: TOUCH,
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
