import { type Length, mm } from '../length/length'
import { type Tray, lidOver, tray as trayTree } from '../craft/box'
import type { Draft } from '../model/draft'
import { foldedDraft } from './folded'
import { type Sized, bendOf } from './sized'

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
