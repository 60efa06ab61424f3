import type { Loop, Point, Region } from '../shape/point'
import type { Pose } from '../shape/pose'
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

/**
 * Where the line through a point in a unit direction runs in a region: stretches in order along it. A point just on
 * the line counts as left of it, so that ends always come in pairs.
 */
export function chordsOf(region: Region, [px, py]: Point, [dx, dy]: Point): Chord[] {
  const at: number[] = []
  for (const loop of region) {
    let [x0, y0] = loop.at(-1)!
    let side0 = dx * (y0 - py) - dy * (x0 - px)
    for (const [x1, y1] of loop) {
      const side1 = dx * (y1 - py) - dy * (x1 - px)
      if (side0 < 0 !== side1 < 0) {
        const t = side0 / (side0 - side1)
        at.push(dx * (x0 + t * (x1 - x0) - px) + dy * (y0 + t * (y1 - y0) - py))
      }
      ;[x0, y0, side0] = [x1, y1, side1]
    }
  }
  at.sort((a, b) => a - b)
  return Array.from({ length: at.length >> 1 }, (_, i): Chord => [at[2 * i]!, at[2 * i + 1]!])
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
