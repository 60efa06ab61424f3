import type { Loop, Point, Region } from '../shape/point'
import type { Pose } from '../shape/pose'
import { crossingsOf } from '../shape/span'
import type { FlatOpening } from './flat'

/** A flat piece of card standing in the model, as the kernels that fit pieces to each other take it. */
export interface Plate {
  /** How findings call it: its mark. */
  readonly name: string
  readonly pose: Pose
  /** Counter-clockwise. */
  readonly outline: Loop
  /** Clockwise. */
  readonly openings: readonly FlatOpening[]
  readonly thickness: number
  /** Slots cut by an earlier interlock, so that a later one keeps clear of them. */
  readonly slots?: readonly Slot[]
}

/** A slot that has been cut into a plate's edge to take another plate. */
export interface Slot {
  /** The plate that goes in. */
  readonly takes: string
  /** Middle of the slot's closed end. */
  readonly end: Point
  /** Unit direction from the closed end to the mouth. */
  readonly towards: Point
  readonly width: number
  /** From the closed end to where the edge of the plate was, along the middle. */
  readonly depth: number
}

/** The plate's card as a filled area. */
export function plateRegion(plate: Plate): Region {
  return [plate.outline, ...plate.openings.map((opening) => opening.loop)]
}

/** A stretch of a line that lies in card, by distances along it. */
export type Chord = readonly [from: number, to: number]

/** Where the line through a point in a unit direction runs in a region: stretches in order along it. */
export function chordsOf(region: Region, from: Point, way: Point): Chord[] {
  const stretches = crossingsOf(region, from, [from[0] + way[0], from[1] + way[1]])
  return stretches.map(({ enter, leave }) => [enter, leave])
}

/** What two sets of stretches have in common. */
export function commonChords(a: readonly Chord[], b: readonly Chord[]): Chord[] {
  const common: Chord[] = []
  for (const [from, to] of a) {
    for (const [start, end] of b) {
      const low = Math.max(from, start)
      const high = Math.min(to, end)
      if (high > low) common.push([low, high])
    }
  }
  return common
}
