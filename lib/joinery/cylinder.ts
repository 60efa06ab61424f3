import { type Length, mm } from '../length/length'
import { type AxisCut, cylinder as cylinderFlat } from '../craft/develop/cylinder'
import type { Draft } from '../model/draft'
import { craftDraft, stockOf } from './craftDraft'
import { type Rolled, neutral } from './rolled'

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
  const flat = cylinderFlat({
    radius: mm(options.diameter) / 2,
    out: neutral(options, stock),
    bottom: bottom ? cutOf(bottom) : { height: 0 },
    top: cutOf(top),
    ...(from !== undefined && { from }),
    ...(to !== undefined && { to }),
  })
  return craftDraft(flat, options)
}

function cutOf({ height, tilt, towards }: CylinderCut): AxisCut {
  return { height: mm(height), ...(tilt !== undefined && { tilt }), ...(towards !== undefined && { towards }) }
}
