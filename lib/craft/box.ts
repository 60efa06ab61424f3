import type { Finding } from '../finding/finding'
import { rectangleLoop } from './flat'
import { type Bend, type FoldedStrip, foldedStrip, setBack } from './fold'
import type { FoldStyle, Panel, PanelFold } from './panelTree'
import { edgeTab } from './tab'

export interface Tray {
  readonly length: number
  readonly width: number
  readonly height: number
  readonly measured: 'inside' | 'outside'
  readonly bend: Bend
  /** Depth of the glue tabs inside the four corners; 0 for none. */
  readonly tab: number
  /** Which side the sides turn to: valleys put the printed side inside. */
  readonly printed: 'inside' | 'outside'
}

/**
 * An open box by its inside or outside size, as a panel tree: bottom, four sides, and tabs that go behind the ends.
 * The long sides are shorter by a thickness at each end, so that their tabs lie inside the ends, and the ends reach
 * over the long sides' edges.
 */
export function tray(spec: Tray): { tree: Panel; style: FoldStyle; findings: readonly Finding[] } {
  const { length, width, height, bend, measured, tab } = spec
  const t = bend.thickness
  const findings: Finding[] = []
  const angle = spec.printed === 'inside' ? 90 : -90
  const endWidth = measured === 'inside' ? width + 2 * t : width
  const side = (name: string, [first, second]: [string, string]): Panel => {
    const outline = rectangleLoop(length - 2 * t, height)
    if (tab === 0) return { name, outline }
    // A tab begins where the bend of the fold beside it ends; edges 1 and 3 run away from that fold and towards it.
    const clear = setBack(90, bend, 'outside')
    const glued = edgeTab({ length: height - clear, depth: tab })
    const fold = (edge: 1 | 3, end: string): PanelFold => ({
      edge,
      angle,
      shift: edge === 1 ? clear / 2 : -clear / 2,
      panel: { name: `${name} ${end} tab`, outline: glued.outline },
    })
    findings.push(...glued.findings)
    return { name, outline, folds: [fold(1, first), fold(3, second)] }
  }
  const end = (name: string): Panel => ({ name, outline: rectangleLoop(endWidth, height) })
  const tree: Panel = {
    name: 'bottom',
    outline: rectangleLoop(length, width),
    folds: [
      { edge: 0, angle, panel: side('front', ['left', 'right']) },
      { edge: 1, angle, panel: end('right end') },
      { edge: 2, angle, panel: side('back', ['right', 'left']) },
      { edge: 3, angle, panel: end('left end') },
    ],
  }
  return { tree, style: { bend, measured }, findings }
}

/** The lid that goes over a tray: larger by its outside and a clearance all round, `height` deep inside. */
export function lidOver(under: Tray, height: number, clearance: number): Tray {
  const wall = under.measured === 'inside' ? 2 * under.bend.thickness : 0
  return {
    ...under,
    length: under.length + wall + 2 * clearance,
    width: under.width + wall + 2 * clearance,
    height,
    measured: 'inside',
  }
}

export interface Sleeve {
  readonly width: number
  readonly height: number
  readonly length: number
  readonly measured: 'inside' | 'outside'
  readonly bend: Bend
  /** Width of the glue flap, which lies inside the last side. */
  readonly flap: number
  readonly printed: 'inside' | 'outside'
}

/**
 * A four-sided tube: flap, height, width, height, width. The first side is shorter by the thickness of the last, which
 * the flap lies behind, and the last reaches over the first one's edge.
 */
export function sleeve(spec: Sleeve): ReturnType<typeof foldedStrip> {
  const { width, height, bend, measured } = spec
  const t = bend.thickness
  const last = measured === 'inside' ? width + t : width
  const angle = spec.printed === 'inside' ? 90 : -90
  const legs = [spec.flap, height - t, width, height, last]
  return foldedStrip({ legs, folds: [angle, angle, angle, angle], measured, width: spec.length, bend })
}

export interface Channel {
  /** `angle`: two legs; `channel`: flange, web, flange; `joggle`: flanges to either side; `hat`: with two brims. */
  readonly form: 'angle' | 'channel' | 'joggle' | 'hat'
  readonly web: number
  readonly flange: number
  /** Width of the brims of a hat. */
  readonly brim?: number
  readonly length: number
  readonly measured: FoldedStrip['measured']
  readonly bend: Bend
}

/** Folded sections by inside or outside size; valleys towards the printed side. */
export function channel(spec: Channel): ReturnType<typeof foldedStrip> {
  const { web, flange, brim = flange } = spec
  const shape = {
    angle: { legs: [flange, web], folds: [90] },
    channel: { legs: [flange, web, flange], folds: [90, 90] },
    joggle: { legs: [flange, web, flange], folds: [90, -90] },
    hat: { legs: [brim, flange, web, flange, brim], folds: [-90, 90, 90, -90] },
  }[spec.form]
  return foldedStrip({ ...shape, measured: spec.measured, width: spec.length, bend: spec.bend })
}
