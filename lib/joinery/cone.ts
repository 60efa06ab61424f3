import { type Length, mm } from '../length/length'
import { frustum, obliqueFrustum } from '../craft/develop/cone'
import type { Draft } from '../model/draft'
import { craftDraft, stockOf } from './craftDraft'
import { type Rolled, neutral } from './rolled'

export interface ConeOptions extends Rolled {
  /** Diameters; one of them may be 0. */
  readonly bottom: Length
  readonly top: Length
  readonly height: Length
  /** How far the top stands beside the bottom, for an oblique cone. */
  readonly shift?: readonly [Length, Length]
  /** Part of the round covered by a right cone, degrees; all of it unless said. */
  readonly turn?: number
}

/** A cone or a part of one, as funnels, cowlings and ventilators are, butted along its seam. */
export function cone(options: ConeOptions): Draft {
  const stock = stockOf(options.stock)
  const [bottom, top, height] = [mm(options.bottom) / 2, mm(options.top) / 2, mm(options.height)]
  const out = neutral(options, stock)
  const { shift, turn } = options
  if (!shift) return craftDraft(frustum({ bottom, top, height, out, ...(turn && { turn }) }), options)
  const { flat, findings } = obliqueFrustum({ bottom, top, height, shift: [mm(shift[0]), mm(shift[1])], out })
  return craftDraft(flat, options, [], findings)
}
