import type { Finding } from '../finding/finding'
import { inMm } from '../craft/figure'
import type { Model } from '../model/model'
import type { Clearance } from '../model/relation'
import { apart } from './contact'
import { type Scene, type Standing, about, nameOf } from './scene'

/** How far beyond what was asked for is measured, mm. */
const BEYOND = 40

/** Of pairs that are as near but for less than this the first one counts, mm. */
const SAME = 1e-4

/** A distance that was asked for, and what it is between the nearest of both. */
export interface MeasuredClearance extends Pick<Clearance, 'name' | 'least' | 'most'> {
  /** Undefined where one of the two has no piece with a place. */
  readonly nearest?: { readonly a: string; readonly b: string; readonly gap: number }
  /** Whether they are further apart than could be told. */
  readonly beyond: boolean
  readonly finding?: Finding
}

/** Distances that were asked for, in their order, each with a finding where it is not kept. */
export function clearancesIn({ relations }: Pick<Model, 'relations'>, scene: Scene): MeasuredClearance[] {
  return relations.flatMap((relation) => (relation.kind === 'clearance' ? [measured(relation, scene)] : []))
}

function measured(clearance: Clearance, scene: Scene): MeasuredClearance {
  const { name, least, most } = clearance
  const [ours, theirs] = [clearance.a, clearance.b].map((marks) => marks.flatMap((mark) => scene.byMark.get(mark) ?? []))
  const asked = { name, least, ...(most !== undefined && { most }) }
  const far = (most ?? least) + BEYOND
  let nearest: Nearest | undefined
  for (const a of ours!) {
    for (const b of theirs!) {
      if (a === b) continue
      const gap = apart(a, b, scene, nearest?.gap ?? far)
      if (!nearest || gap < nearest.gap - SAME) nearest = { a, b, gap }
    }
  }
  if (!nearest) {
    // Pieces that the model has not are said when it is evaluated.
    const gone = clearance.a.length === 0 || clearance.b.length === 0
    return { ...asked, beyond: false, ...(!gone && { finding: notMeasured(clearance, ours!.length, theirs!.length) }) }
  }
  const { a, b, gap } = nearest
  const wide = most !== undefined && gap > most
  const kept = gap >= least && !wide
  return {
    ...asked,
    nearest: { a: nameOf(a), b: nameOf(b), gap },
    beyond: gap >= far,
    ...(!kept && { finding: notKept(clearance, nearest, wide) }),
  }
}

interface Nearest {
  readonly a: Standing
  readonly b: Standing
  readonly gap: number
}

function notKept({ name, least, most }: Clearance, { a, b, gap }: Nearest, wide: boolean): Finding {
  const wanted = wide ? most! : least
  return {
    id: 'clearance',
    severity: 'warning',
    text: `${name}: ${nameOf(a)} is ${inMm(gap)} from ${nameOf(b)}, ${wide ? 'at most' : 'at least'} ${inMm(wanted)} is wanted`,
    remedy: wide ? 'bring them nearer' : 'move them apart, or make one of them smaller',
    ...about(a),
    found: gap,
    wanted,
  }
}

function notMeasured({ name, a, b }: Clearance, ours: number, theirs: number): Finding {
  const [marks, found] = ours === 0 ? [a, ours] : [b, theirs]
  const more = marks.length > 1 ? ` and ${marks.length - 1} more` : ''
  return {
    id: 'clearance',
    severity: 'warning',
    text: `${name}: cannot be measured, of ${marks[0]}${more} ${found} stand in the finished model, 1 or more are needed`,
    remedy: 'say where they stand with .place(…); jigs are gone by then',
    mark: marks[0]!,
    found,
    wanted: 1,
  }
}
