import { type Length, above0, mm } from '../length/length'
import { squareToRound } from '../craft/develop/transition'
import type { Draft } from '../model/draft'
import { type CraftPart, craftDraft, stockOf } from './craftDraft'
import { neutral } from './rolled'
import { curvedAs, toMiddle } from './rulings'

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
  const { flat, development, findings } = squareToRound({
    width: above0(options.width, 'the width of a transition'),
    depth: above0(options.depth, 'the depth of a transition'),
    radius: above0(options.diameter, 'the diameter of a transition') / 2,
    height: above0(options.height, 'the height of a transition'),
    divisions: 48,
    out: neutral({ ...options, measured: 'outside' }, stock),
    ...(shift && { shift: [mm(shift[0]), mm(shift[1])] as const }),
  })
  return craftDraft(flat, options, [], findings, curvedAs(development, toMiddle('outside', stock.measured)))
}
