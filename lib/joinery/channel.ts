import { type Length, above0 } from '../length/length'
import { type Channel, channel as channelFlat } from '../craft/box'
import type { Draft } from '../model/draft'
import { craftDraft } from './craftDraft'
import { middleOfLeg } from './legs'
import { type Sized, bendOf } from './sized'

export interface ChannelOptions extends Omit<Sized, 'printed'> {
  readonly form: Channel['form']
  readonly web: Length
  readonly flange: Length
  /** Width of the brims of a hat; the flanges' unless said. */
  readonly brim?: Length
  readonly length: Length
}

/** A folded section by the run: angle, channel, joggle or hat, folded towards the print. */
export function channel(options: ChannelOptions): Draft {
  const { form, measured, brim } = options
  const { flat, findings } = channelFlat({
    form,
    measured,
    web: above0(options.web, 'the web of a channel'),
    flange: above0(options.flange, 'the flange of a channel'),
    length: above0(options.length, 'the length of a channel'),
    ...(brim && { brim: above0(brim, 'the brim of a channel') }),
    bend: bendOf(options),
  })
  return craftDraft(flat, options, [], findings, { kind: 'folded', base: middleOfLeg(flat, form === 'hat' ? 2 : 1) })
}
