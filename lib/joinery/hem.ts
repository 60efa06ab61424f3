import { type Length, above0 } from '../length/length'
import { scoredBend } from '../craft/fold'
import { hemmedStrip } from '../craft/hem'
import type { Draft } from '../model/draft'
import { type CraftPart, craftDraft, stockOf } from './craftDraft'
import { middleOfLeg } from './legs'

export interface HemOptions extends CraftPart {
  /** `double` hides the raw edge inside. */
  readonly kind?: 'single' | 'double'
  /** From the far edge to the outermost line of the finished hem. */
  readonly leg: Length
  /** Width of the part that is turned back. */
  readonly hem: Length
  /** Along the hem. */
  readonly length: Length
  /** A valley turns the edge over the printed side. */
  readonly fold?: 'valley' | 'mountain'
}

/** A strip with an edge turned back on itself: running boards, table edges, coaming. */
export function hem(options: HemOptions): Draft {
  const stock = stockOf(options.stock)
  const { flat, findings } = hemmedStrip({
    kind: options.kind ?? 'single',
    leg: above0(options.leg, 'the leg of a hem'),
    hem: above0(options.hem, 'the width of a hem'),
    width: above0(options.length, 'the length of a hem'),
    fold: options.fold ?? 'mountain',
    bend: { ...scoredBend(stock), thickness: stock.measured },
  })
  return craftDraft(flat, options, [], findings, { kind: 'folded', base: middleOfLeg(flat, 0) })
}
