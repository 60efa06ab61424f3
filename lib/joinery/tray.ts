import { type Length, above0, from0 } from '../length/length'
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

/**
 * An open box: bottom, four sides, tabs behind the ends. The origin is a corner of the bottom, its length runs along x and
 * its width along y. The sides turn away from the printed side, or towards it with `printed: 'inside'`: so on
 * `plane.level(height)` a tray printed inside stands open upwards, one printed outside is a cover, open downwards.
 */
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
  const under = { ...trayOf(over), tab: tabOf(tab) }
  const { tree, style, findings } = trayTree(lidOver(under, above0(depth, 'the depth of a lid'), from0(clearance, 'the clearance of a lid')))
  return foldedDraft(over, { tree, findings }, style)
}

function trayOf(options: TrayOptions): Tray {
  const { length, width, height, tab, measured, printed = 'outside' } = options
  return {
    length: above0(length, 'the length of a tray'),
    width: above0(width, 'the width of a tray'),
    height: above0(height, 'the height of a tray'),
    tab: tabOf(tab),
    measured,
    printed,
    bend: bendOf(options),
  }
}

function tabOf(tab: Length | undefined): number {
  return tab ? above0(tab, 'the depth of a tab') : 0
}
