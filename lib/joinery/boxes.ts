import { type Length, mm } from '../length/length'
import { type Channel, type Tray, channel as channelFlat, lidOver, sleeve as sleeveFlat, tray as trayTree } from '../craft/box'
import { type Bend, scoredBend } from '../craft/fold'
import type { Draft } from '../model/draft'
import { type CraftPart, craftDraft, stockOf } from './craftDraft'
import { foldedDraft } from './folded'

interface Sized extends CraftPart {
  /** Whether the sizes are those of the room inside or of the finished box. */
  readonly measured: 'inside' | 'outside'
  /** Which side the print comes to; outside unless said. */
  readonly printed?: 'inside' | 'outside'
}

export interface TrayOptions extends Sized {
  readonly length: Length
  readonly width: Length
  readonly height: Length
  /** Depth of the glue tabs behind the ends; no tabs where not given. */
  readonly tab?: Length
}

/** An open box: bottom, four sides, tabs behind the ends. */
export function tray(options: TrayOptions): Draft {
  const { tree, style, findings } = trayTree(trayOf(options))
  return foldedDraft(options, { tree, findings }, style)
}

export interface LidOptions {
  /** Inside. */
  readonly depth: Length
  /** Room between tray and lid all round. */
  readonly clearance: Length
  /** Depth of the glue tabs behind the ends; no tabs where not given. */
  readonly tab?: Length
}

/** The lid that goes over a tray. */
export function lid(over: TrayOptions, { depth, clearance, tab }: LidOptions): Draft {
  const under = { ...trayOf(over), tab: tab ? mm(tab) : 0 }
  const { tree, style, findings } = trayTree(lidOver(under, mm(depth), mm(clearance)))
  return foldedDraft(over, { tree, findings }, style)
}

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
    width: mm(options.width),
    height: mm(options.height),
    length: mm(options.length),
    flap: mm(options.flap),
    measured,
    printed,
    bend: bendOf(options),
  })
  return craftDraft(flat, options, [], findings)
}

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
  return craftDraft(flat, options, [], findings)
}

function trayOf(options: TrayOptions): Tray {
  const { length, width, height, tab, measured, printed = 'outside' } = options
  return {
    length: mm(length),
    width: mm(width),
    height: mm(height),
    tab: tab ? mm(tab) : 0,
    measured,
    printed,
    bend: bendOf(options),
  }
}

function bendOf({ stock }: CraftPart): Bend {
  const card = stockOf(stock)
  return { ...scoredBend(card), thickness: card.measured }
}
