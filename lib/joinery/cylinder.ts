import { type Length, above0, mm } from '../length/length'
import { type AxisCut, type Cylinder, cutHeight, cylinder as cylinderFlat } from '../craft/develop/cylinder'
import { radians } from '../craft/space'
import type { Draft } from '../model/draft'
import { craftDraft, stockOf } from './craftDraft'
import type { Form } from '../model/form'
import { type Rolled, neutral } from './rolled'
import { type End, closedRound, curledRound, ring } from './round'
import { toMiddle } from './rulings'

export interface CylinderOptions extends Rolled {
  readonly diameter: Length
  readonly bottom?: CylinderCut
  readonly top: CylinderCut
  /** Part of the round covered, degrees counter-clockwise seen from the top. */
  readonly from?: number
  readonly to?: number
}

/** A plane that ends a cylinder: its height on the axis, and how it leans up by `tilt` degrees towards a direction. */
export interface CylinderCut {
  readonly height: Length
  readonly tilt?: number
  readonly towards?: number
}

/** A cylinder, its ends square or cut at an angle, as pipes that meet are. */
export function cylinder(options: CylinderOptions): Draft {
  const stock = stockOf(options.stock)
  const { bottom, top, from, to } = options
  const spec: Cylinder = {
    radius: above0(options.diameter, 'the diameter of a cylinder') / 2,
    out: neutral(options, stock),
    bottom: bottom ? cutOf(bottom) : { height: 0 },
    top: cutOf(top),
    ...(from !== undefined && { from }),
    ...(to !== undefined && { to }),
  }
  const middle = toMiddle(options.measured ?? 'outside', stock.measured)
  return craftDraft(cylinderFlat(spec), options, [], [], standing(spec, middle, stock.measured))
}

/** On its bottom, about the axis of its pose. */
function standing(spec: Cylinder, middle: number, thickness: number): Form {
  const { radius, out = 0, bottom, top, from = 0, to = 360 } = spec
  const inside = radius + middle - thickness / 2
  const around = radius + out
  const curled = curledRound(
    to - from,
    (share) => {
      const turned = (to - from) * share
      const x = around * radians(turned)
      const end = (cut: AxisCut): End => {
        const height = cutHeight(cut, around, from + turned)
        return { flat: [x, height], radius: radius + middle, height }
      }
      return [end(bottom), end(top)]
    },
    from,
  )
  const level = to - from === 360 && !bottom.tilt && !top.tilt
  return level ? closedRound(ring(inside, inside + thickness, bottom.height, top.height), curled) : curled
}

function cutOf({ height, tilt, towards }: CylinderCut): AxisCut {
  return { height: mm(height), ...(tilt !== undefined && { tilt }), ...(towards !== undefined && { towards }) }
}
