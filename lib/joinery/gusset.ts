import { type Length, above0, from0 } from '../length/length'
import { bench } from '../length/unit'
import { gusset as gussetFlat } from '../craft/strip'
import type { Draft } from '../model/draft'
import { type CraftPart, craftDraft } from './craftDraft'

export interface GussetOptions extends CraftPart {
  /** Lengths along the two pieces it holds. */
  readonly legs: readonly [Length, Length]
  /** Angle between the two, degrees; 90 where not given. */
  readonly angle?: number
  /** Cut off the corner, so that glue there does not hold it away; 0.6 mm where not given. */
  readonly relief?: Length
}

/**
 * A corner plate between two pieces, its corner at the origin and its first leg along x. Say what it stiffens with
 * `.gluedTo(ribs, spars)`, so that a gap is found.
 */
export function gusset({ legs, angle = 90, relief = bench.mm(0.6), ...part }: GussetOptions): Draft {
  const [along, up] = [above0(legs[0], 'the first leg of a gusset'), above0(legs[1], 'the second leg of a gusset')]
  return craftDraft(gussetFlat({ legs: [along, up], angle, relief: from0(relief, 'the relief of a gusset') }), part)
}
