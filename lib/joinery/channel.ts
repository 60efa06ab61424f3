import { type Length, mm } from '../length/length'
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
    web: mm(options.web),
    flange: mm(options.flange),
    length: mm(options.length),
    ...(brim && { brim: mm(brim) }),
    bend: bendOf(options),
  })
  return craftDraft(flat, options, [], findings, { kind: 'folded', base: middleOfLeg(flat, form === 'hat' ? 2 : 1) })
}
