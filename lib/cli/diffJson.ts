import type { Changes, PieceChange } from '../revision/changes'
import type { Deviation } from '../revision/deviation'
import { againOf, countKinds, familyChanges, reachOf } from '../revision/familyChanges'
import type { Reach } from '../revision/hausdorff'

/** The changes of one model as plain data: every piece but the unchanged ones, which are counted. Lengths in mm. */
export function diffJson(changes: Changes): Record<string, unknown> {
  const { model, title, scale, thickness, pieces } = changes
  return {
    model,
    title,
    ...(scale && { scale }),
    ...(thickness.length > 0 && { thickness }),
    pieces: pieces.length,
    counts: Object.fromEntries(countKinds(pieces).map(({ kind, count }) => [kind, count])),
    again: againOf(pieces),
    families: familyChanges(changes).map(({ family, counts, worst, again }) => ({
      family,
      counts: Object.fromEntries(counts.map(({ kind, count }) => [kind, count])),
      again,
      ...(worst && { worst: { mark: worst.mark, deviation: round(reachOf(worst)) } }),
    })),
    changes: pieces.filter(({ kind, stands }) => kind !== 'unchanged' || stands !== undefined).map(changeJson),
  }
}

function changeJson({ mark, family, kind, also, before, after, deviation, stands, again }: PieceChange) {
  return {
    mark,
    family,
    kind,
    ...(also.length > 0 && { also }),
    again,
    ...(before && { before: sideJson(before) }),
    ...(after && { after: sideJson(after) }),
    ...(deviation && deviationJson(deviation)),
    ...(stands !== undefined && { stands: round(stands) }),
  }
}

function sideJson({ mark, stock, plies, copies, grain, fingerprint }: NonNullable<PieceChange['after']>) {
  return { mark, fingerprint, stock, plies, copies, ...(grain !== undefined && { grain }) }
}

function deviationJson({ distance, ends, folds, refolded, shift, area }: Deviation) {
  return {
    deviation: reachJson({ distance, ends }),
    ...(folds && { folds: reachJson(folds) }),
    refolded,
    shift: shift.map(round),
    area: { before: round(area.before), after: round(area.after) },
  }
}

function reachJson({ distance, ends: [before, after] }: Reach) {
  return { distance: round(distance), before: before.map(round), after: after.map(round) }
}

/** To 0.001, as manifests are. */
function round(value: number): number {
  return Math.round(value * 1000) / 1000 + 0
}
