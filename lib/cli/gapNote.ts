import { compareText, type Finding } from '../finding/finding'
import { inMm } from '../craft/figure'
import { resolveSite } from '../finding/site'
import type { Model } from '../model/model'
import { DEFAULT_SPACING } from '../model/spacing'
import type { Placement } from '../nest/nest'
import type { Manifest } from '../revision/manifest'
import type { Layout } from './layout'

/** Where the gap has changed since the build before: which of the pieces that have not changed had to move for it. */
export function gapNote(
  before: Manifest | undefined,
  { spacing = DEFAULT_SPACING }: Model,
  kept: ReadonlyMap<string, readonly Placement[]>,
  layouts: readonly Layout[],
): Finding[] {
  if (!before) return []
  const was = (before.spacing ?? DEFAULT_SPACING).gap
  const { gap } = spacing
  if (Math.abs(gap - was) < 0.0005) return []
  const now = new Map(layouts.flatMap(({ placements }) => placements.map((placement) => [placement.id, placement])))
  const held = [...kept.values()].flat()
  const moved = held.filter((place) => !samePlace(place, now.get(place.id))).map(({ id }) => id).toSorted(compareText)
  const named = moved.length > MOST_NAMED ? `${moved.slice(0, MOST_NAMED).join(', ')}…` : moved.join(', ')
  const what = moved.length === 0 ? 'no piece had to move for it' : `${moved.length} of ${held.length} pieces lay too near another and have a new place (${named})`
  const site = resolveSite(spacing.site)
  return [
    {
      id: 'gap-changed',
      severity: 'note',
      text: `the gap between pieces is ${inMm(gap)} now, it was ${inMm(was)}: ${what}`,
      remedy:
        gap < was
          ? 'build with --repack to lay all pieces out afresh, which makes use of the room'
          : 'print the sheets again; build with --repack to lay all pieces out afresh',
      found: gap,
      wanted: was,
      ...(site && { site }),
    },
  ]
}

function samePlace(a: Placement, b: Placement | undefined): boolean {
  return b !== undefined && a.sheet === b.sheet && a.x === b.x && a.y === b.y && a.turn === b.turn
}

const MOST_NAMED = 5
