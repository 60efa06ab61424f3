import type { Finding } from '../finding/finding'
import type { Point, Region } from '../shape/point'
import { inMm } from './figure'
import { type Plate, type Slot, chordsOf, plateRegion } from './plate'
import { reliefRadius, slotsApart } from './slot'

export interface SlotLimits {
  /** Narrowest strip of card that may be left. */
  readonly web: number
  readonly end: 'square' | 'relief'
}

/**
 * What new slots leave of a plate: strips too narrow beside and below each of them, and slots, old ones included, that
 * come too near each other or run together because three plates meet in one place.
 */
export function webFindings(plate: Plate, cuts: readonly Slot[], limits: SlotLimits): Finding[] {
  const region = plateRegion(plate)
  const thin = cuts.flatMap((slot) => thinWebs(plate, region, slot, limits))
  return [...thin, ...crowded(plate, [...(plate.slots ?? []), ...cuts], limits.web)]
}

/** Slots with less card than this between them are one hole, mm. */
const NOTHING = 0.05

/** Strips left beside and below a slot, measured square to it in its closed half. */
function thinWebs(plate: Plate, region: Region, slot: Slot, options: SlotLimits): Finding[] {
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
      text: `the slot for ${slot.takes} leaves ${inMm(found)} of card, ${inMm(least)} is needed`,
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
      const meets = apart < NOTHING
      findings.push({
        id: meets ? 'three-meet' : 'narrow-web',
        severity: 'error',
        text: meets
          ? `${slot.takes} and ${other.takes} cross ${plate.name} in one place: 0.00 mm apart, ${inMm(least)} is needed`
          : `slots for ${slot.takes} and ${other.takes} leave ${inMm(apart)} between them, ${inMm(least)} is needed`,
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
