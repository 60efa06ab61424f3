import { type Length, above0 } from '../length/length'
import { sleeve as sleeveFlat } from '../craft/box'
import type { Draft } from '../model/draft'
import { craftDraft } from './craftDraft'
import { middleOfLeg } from './legs'
import { type Sized, bendOf } from './sized'

export interface SleeveOptions extends Sized {
  readonly width: Length
  readonly height: Length
  readonly length: Length
  /** Width of the glue flap inside the last side. */
  readonly flap: Length
}

/** A four-sided tube with a glue flap: cases, ducts, posts. */
export function sleeve(options: SleeveOptions): Draft {
  const { printed = 'outside', measured } = options
  const { flat, findings } = sleeveFlat({
    width: above0(options.width, 'the width of a sleeve'),
    height: above0(options.height, 'the height of a sleeve'),
    length: above0(options.length, 'the length of a sleeve'),
    flap: above0(options.flap, 'the flap of a sleeve'),
    measured,
    printed,
    bend: bendOf(options),
  })
  return craftDraft(flat, options, [], findings, { kind: 'folded', base: middleOfLeg(flat, 2) })
}
