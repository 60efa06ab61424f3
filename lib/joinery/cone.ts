import { type Length, above0, from0, mm } from '../length/length'
import { type Frustum, frustum, frustumSector, obliqueFrustum } from '../craft/develop/cone'
import { radians } from '../craft/space'
import type { Draft } from '../model/draft'
import { craftDraft, stockOf } from './craftDraft'
import type { Curved, Form } from '../model/form'
import type { Point } from '../shape/point'
import { type Rolled, neutral } from './rolled'
import { type End, closedRound, coneWall, curledRound } from './round'
import { curvedAs, toMiddle } from './rulings'

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
  const [bottom, top, height] = [
    from0(options.bottom, 'the bottom diameter of a cone') / 2,
    from0(options.top, 'the top diameter of a cone') / 2,
    above0(options.height, 'the height of a cone'),
  ]
  const out = neutral(options, stock)
  const { shift, turn } = options
  const { measured = 'outside' } = options
  if (!shift) {
    const right: Frustum = { bottom, top, height, out, ...(turn && { turn }) }
    return craftDraft(frustum(right), options, [], [], standing(right, measured, stock.measured))
  }
  const oblique = { bottom, top, height, shift: [mm(shift[0]), mm(shift[1])], out } as const
  const { flat, development, findings } = obliqueFrustum(oblique)
  return craftDraft(flat, options, [], findings, curvedAs(development, toMiddle(measured, stock.measured)))
}

/** On its bottom, about the axis of its pose. */
function standing(spec: Frustum, measured: 'inside' | 'outside', thickness: number): Form {
  const { bottom, top, height, turn = 360 } = spec
  const wide = (thickness * Math.hypot(height, bottom - top)) / height
  const outside = measured === 'outside' ? 0 : wide
  const curled = coneLines(spec, outside - wide / 2)
  return turn === 360 ? closedRound(coneWall(bottom + outside, top + outside, height, thickness), curled) : curled
}

/** The straight lines of a right cone, so far out from the radii that are given to the middle of its card; from `start` round. */
export function coneLines(spec: Frustum, out: number, start = 0): Curved {
  const { bottom, top, height, turn = 360 } = spec
  const { inner, outer, sector } = frustumSector(spec)
  const angle = (sector * turn) / 360
  const apexUp = bottom > top
  const flatAt = (radius: number, share: number): Point => {
    const at = radians((apexUp ? -90 : 90) + (apexUp ? 1 : -1) * angle * (share - 0.5))
    return [radius * Math.cos(at), radius * Math.sin(at)]
  }
  const line = (share: number): [End, End] => [
    { flat: flatAt(apexUp ? outer : inner, share), radius: bottom + out, height: 0 },
    { flat: flatAt(apexUp ? inner : outer, share), radius: Math.max(0, top + out), height },
  ]
  return curledRound(turn, line, start)
}
