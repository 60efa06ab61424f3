import type { Finding } from '../finding/finding'
import { type Length, mm } from '../length/length'
import { type Measured, scoredBend, setBack } from '../craft/fold'
import { type FoldStyle, type Panel, type PanelFold, unfold } from '../craft/panelTree'
import { type EdgeTab, MITRE, edgeTab } from '../craft/tab'
import type { Draft, Grain } from '../model/draft'
import { inscribedCircle } from '../shape/measure'
import type { Loop } from '../shape/point'
import type { Shape } from '../shape/shape'
import type { Stock } from '../stock/card'
import { type CraftPart, craftDraft, craftError, stockOf } from './craftDraft'

/** An edge of a panel: the longest to one side, or by number along its outline. */
export type PanelEdge = 'left' | 'right' | 'top' | 'bottom' | number

/** A flat part of something folded, and what is folded from its edges. */
export interface FoldedPanel {
  readonly name: string
  readonly shape: Shape
  readonly folds: readonly FoldedEdge[]
}

/** What is folded from an edge, seen from the printed side: towards the eye (`valley`) or away from it, degrees. */
export type FoldedEdge = { readonly edge: PanelEdge } & ({ readonly valley: number } | { readonly mountain: number }) &
  (
    | {
        readonly panel: FoldedPanel
        /** The panel's own edge on the fold, its bottom unless said. */
        readonly onto?: PanelEdge
        /** How far the middle of its edge stands beside the middle of this one, counter-clockwise. */
        readonly shift?: Length
      }
    | {
        /** Depth of a glue tab along the whole edge. */
        readonly tab: Length
        /** Angle of the tab's ends, degrees; 45 unless said. */
        readonly mitre?: number
      }
  )

/**
 * A panel and what is folded from it: `panel('pan', rectangleFrom(…), { edge: 'right', valley: 78, onto: 'left', panel:
 * panel('back', …) }, { edge: 'left', mountain: 90, tab: bench.mm(2) })`.
 */
export function panel(name: string, shape: Shape, ...folds: FoldedEdge[]): FoldedPanel {
  return Object.freeze({ name, shape, folds })
}

export interface FoldedOptions extends CraftPart {
  /** The face on which the panels' sizes are taken, where the faces would meet if the folds were sharp. */
  readonly measured?: Measured
  /** How the grain must run, from the first panel's x. */
  readonly grain?: Grain
}

/**
 * A part folded from one blank, described as it stands: panels by their finished sizes and what is folded from their
 * edges. The blank has each fold's allowance BA = (π/180)·A·(R + K·t) in it, for the stock's own K and R. Panels that
 * would lie over each other, flat or folded, are findings.
 */
export function folded(options: FoldedOptions, root: FoldedPanel): Draft {
  const stock = stockOf(options.stock)
  const style: FoldStyle = {
    bend: { ...scoredBend(stock), thickness: stock.measured },
    measured: options.measured ?? 'outside',
  }
  return foldedDraft(options, treeOf(root, style, stock), style)
}

/** The draft of a panel tree, with what unfolding it found. */
export function foldedDraft(
  options: FoldedOptions,
  tree: { readonly tree: Panel; readonly findings: readonly Finding[] },
  style: FoldStyle,
): Draft {
  const { flat, findings } = unfold(tree.tree, style)
  const grain = grainOf(options.grain)
  const base = inscribedCircle([tree.tree.outline]).centre
  const said = [...tree.findings, ...findings]
  return craftDraft({ ...flat, ...(grain !== undefined && { grain }) }, options, [], said, { kind: 'folded', base })
}

function treeOf(root: FoldedPanel, style: FoldStyle, stock: Stock): { tree: Panel; findings: Finding[] } {
  const findings: Finding[] = []
  const visit = ({ name, shape, folds }: FoldedPanel): Panel => {
    const outline = shape.outline()
    return {
      name,
      outline,
      openings: shape.holes().map((hole) => ({ kind: 'opening', loop: hole.outline().toReversed() })),
      folds: folds.map((fold): PanelFold => {
        const edge = edgeOf(outline, fold.edge, name)
        const angle = angleOf(fold, name)
        if ('panel' in fold) {
          const child = visit(fold.panel)
          const onto = edgeOf(child.outline, fold.onto ?? 'bottom', fold.panel.name)
          return { edge, angle, panel: child, onto, ...(fold.shift && { shift: mm(fold.shift) }) }
        }
        // A tab begins where the bend of its own fold ends, and must leave the folds beside it alone.
        const spec: EdgeTab = { length: lengthOf(outline, edge), depth: mm(fold.tab), ...ends(fold.mitre ?? MITRE) }
        const least = setBack(angle, style.bend, style.measured) + stock.knife.scoreToCut.value
        if (spec.depth < least) findings.push(shallowTab(spec.depth, least, name))
        const glued = edgeTab(spec)
        findings.push(...glued.findings)
        return { edge, angle, panel: { name: `${name} tab`, outline: glued.outline } }
      }),
    }
  }
  return { tree: visit(root), findings }
}

function ends(mitre: number): Pick<EdgeTab, 'start' | 'end'> {
  return { start: mitre, end: mitre }
}

function angleOf(fold: FoldedEdge, name: string): number {
  const angle = 'valley' in fold ? fold.valley : fold.mountain
  if (angle > 0 && angle < 180) return 'valley' in fold ? angle : -angle
  throw craftError({
    id: 'fold-angle',
    text: `panel ${name}: a fold through ${angle}°`,
    remedy: 'fold through more than 0° and less than 180°',
    found: angle,
    wanted: 180,
  })
}

/** The longest edge whose middle lies furthest to the side. */
function edgeOf(outline: Loop, edge: PanelEdge, name: string): number {
  if (typeof edge === 'number') {
    if (Number.isInteger(edge) && edge >= 0 && edge < outline.length) return edge
    throw craftError({
      id: 'fold-edge',
      text: `panel ${name} has no edge ${edge}; its edges run from 0 to ${outline.length - 1}`,
      remedy: 'name one of its sides, or count along its outline',
      found: edge,
      wanted: outline.length - 1,
    })
  }
  const [axis, sign] = SIDES[edge]
  const middles = outline.map((p, i) => (sign * (p[axis] + outline[(i + 1) % outline.length]![axis])) / 2)
  const most = Math.max(...middles)
  const span = Math.max(...middles) - Math.min(...middles)
  const near = middles.map((middle, i) => (middle > most - span * 0.05 ? lengthOf(outline, i) : 0))
  return near.indexOf(Math.max(...near))
}

const SIDES = { left: [0, -1], right: [0, 1], top: [1, 1], bottom: [1, -1] } as const

function lengthOf(outline: Loop, edge: number): number {
  const [p, q] = [outline[edge]!, outline[(edge + 1) % outline.length]!]
  return Math.hypot(q[0] - p[0], q[1] - p[1])
}

function grainOf(grain: Grain | undefined): number | undefined {
  if (grain === undefined || grain === 'any') return undefined
  return grain === 'along' ? 0 : grain === 'across' ? 90 : grain
}

function shallowTab(depth: number, least: number, name: string): Finding {
  return {
    id: 'shallow-tab',
    severity: 'warning',
    text: `a tab ${depth.toFixed(2)} mm deep on panel ${name}; its fold and the knife take ${least.toFixed(2)} mm`,
    remedy: `make it ${least.toFixed(2)} mm deep or more`,
    found: depth,
    wanted: least,
  }
}
