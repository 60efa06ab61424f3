import { type Length, mm } from '../length/length'
import { frustum, obliqueFrustum } from '../craft/develop/cone'
import { type AxisCut, cylinder as cylinderFlat } from '../craft/develop/cylinder'
import { squareToRound } from '../craft/develop/transition'
import { taperedTube as taperedPlies } from '../craft/taperedTube'
import type { Draft } from '../model/draft'
import type { Stock } from '../stock/card'
import { type CraftPart, craftDraft, stockOf } from './craftDraft'

interface Rolled extends CraftPart {
  /** The face on which the diameters are taken, outside unless said. */
  readonly measured?: 'inside' | 'outside'
}

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

export interface TransitionOptions extends CraftPart {
  /** Sides of the rectangle. */
  readonly width: Length
  readonly depth: Length
  /** Diameter of the circle. */
  readonly diameter: Length
  readonly height: Length
  /** How far the circle stands beside the rectangle. */
  readonly shift?: readonly [Length, Length]
}

/** From a rectangle to a circle, as air trunks and chimney caps go: sizes are those of the finished outside. */
export function transition(options: TransitionOptions): Draft {
  const stock = stockOf(options.stock)
  const { shift } = options
  const { flat, findings } = squareToRound({
    width: mm(options.width),
    depth: mm(options.depth),
    radius: mm(options.diameter) / 2,
    height: mm(options.height),
    divisions: 48,
    out: neutral({ ...options, measured: 'outside' }, stock),
    ...(shift && { shift: [mm(shift[0]), mm(shift[1])] as const }),
  })
  return craftDraft(flat, options, [], findings)
}

export interface TaperedTubeOptions extends CraftPart {
  /** Diameters of the bore at both ends. */
  readonly bottom: Length
  readonly top: Length
  readonly length: Length
}

/** A tapered tube of so many plies, each cut for its own place in the wall, from the bore outwards. */
export function taperedTube({ plies = 2, ...options }: TaperedTubeOptions): Record<string, Draft> {
  const stock = stockOf(options.stock)
  const layers = taperedPlies({
    bottom: mm(options.bottom),
    top: mm(options.top),
    length: mm(options.length),
    plies,
    thickness: stock.measured,
    glueLine: stock.glueLine.value,
    k: stock.fold.k.value,
  })
  const all = layers.map(({ flat, seamAt }, i) => {
    const note = `Ply ${i + 1} of ${plies} from the bore outwards, its seam ${seamAt}° round.`
    return [String(i + 1), craftDraft(flat, options, [note])] as const
  })
  return Object.fromEntries(all)
}

function cutOf({ height, tilt, towards }: CylinderCut): AxisCut {
  return { height: mm(height), ...(tilt !== undefined && { tilt }), ...(towards !== undefined && { towards }) }
}

/** From the face that is measured to the card's neutral layer, outwards. */
function neutral({ measured = 'outside' }: Rolled, stock: Stock & { measured: number }): number {
  const k = stock.fold.k.value
  return measured === 'inside' ? k * stock.measured : (k - 1) * stock.measured
}
