import type { Finding } from '../finding/finding'
import { subtract } from '../shape/boolean'
import { area } from '../shape/measure'
import type { Loop } from '../shape/point'
import type { FlatOpening } from './flat'
import { type Plate, type Slot, plateRegion } from './plate'

/**
 * The plate with areas cut out of it that break through its edge. Openings that stay whole keep their kind. A plate
 * that falls into several pieces is a finding; the largest is given back.
 */
export function cutPlate(
  plate: Plate,
  tools: readonly Loop[],
  slots: readonly Slot[],
): { plate: Plate; findings: Finding[] } {
  const left = subtract(plateRegion(plate), ...tools.map((tool) => [tool]))
  const pieces = left.filter((loop) => area([loop]) > CRUMB).toSorted((p, q) => area([q]) - area([p]))
  const openings = left.filter((loop) => area([loop]) < 0).map((loop) => openingOf(loop, plate.openings))
  const all = [...(plate.slots ?? []), ...slots]
  return {
    plate: { ...plate, outline: pieces[0] ?? plate.outline, openings, slots: all },
    findings: pieces.length === 1 ? [] : [severed(plate, pieces)],
  }
}

/** Crumbs of card under this area, left between a slot and a curved edge, are cut away with the slot, mm². */
const CRUMB = 0.05

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
