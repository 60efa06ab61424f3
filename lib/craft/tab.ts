import type { Finding } from '../finding/finding'
import type { Loop, Point, Polyline } from '../shape/point'
import { inMm } from './figure'
import type { Fold, FlatScore } from './flat'
import { cutOut, interiorAngle, lengthOf, turnAt, turnOf, withoutRepeats } from './line'
import { radians } from './space'

/** Glue tabs: strips of card left along an edge, folded over and glued behind the neighbour. */

/** Angle of a tab's ends to its edge where nothing asks for less, degrees (common practice). */
export const MITRE = 45

/** Narrowest tip a tab may end in, mm: less does not hold glue. */
const TIP = 0.5

export interface EdgeTab {
  readonly length: number
  readonly depth: number
  /** Angle of each end to the edge, inside the tab: 90 for a square end. */
  readonly start?: number
  readonly end?: number
}

/**
 * A tab along a straight edge, from the origin along x, the tab above. Where the mitred ends meet before the depth is
 * reached the tab is cut to the depth that its edge allows, with a finding that says so.
 */
export function edgeTab({ length, depth, start = MITRE, end = MITRE }: EdgeTab): {
  outline: Loop
  findings: Finding[]
} {
  const [first, last] = [slope(start), slope(end)]
  const most = first + last > 0 ? (length - TIP) / (first + last) : Infinity
  const findings = depth > most ? [deepTab(depth, Math.max(0, most), length)] : []
  const reach = Math.min(depth, Math.max(0, most))
  const outline: Loop = [
    [0, 0],
    [length, 0],
    [length - reach * last, reach],
    [reach * first, reach],
  ]
  return { outline, findings }
}

/**
 * Largest angle for the ends of two tabs on the edges that meet in a corner. In the flat the tabs share the angle
 * outside the corner, 360° − θ; folded in behind the piece they share θ itself. A little less than half of the smaller
 * one each, and they cannot run into each other either way.
 */
export function cornerMitre(interior: number, wanted = MITRE): number {
  return Math.min(wanted, interior / 2 - SLACK, (360 - interior) / 2 - SLACK)
}

/** Kept clear on each side of the line that two tabs share, degrees. */
const SLACK = 2

export interface TabbedLoop {
  readonly outline: Loop
  readonly scores: readonly FlatScore[]
  readonly findings: readonly Finding[]
}

/**
 * A straight-edged outline with tabs on some of its edges, ends mitred by the corners beside them. Edge i runs from
 * point i to the next; `angle` is the fold, degrees.
 */
export function tabbedOutline(
  loop: Loop,
  edges: readonly number[],
  { depth, fold, angle = 90 }: { depth: number; fold: Fold; angle?: number },
): TabbedLoop {
  const outline: Point[] = []
  const scores: FlatScore[] = []
  const findings: Finding[] = []
  for (const [i, from] of loop.entries()) {
    const to = loop[(i + 1) % loop.length]!
    outline.push(from)
    if (!edges.includes(i)) continue
    const length = Math.hypot(to[0] - from[0], to[1] - from[1])
    const [start, end] = [cornerMitre(interiorAngle(loop, i)), cornerMitre(interiorAngle(loop, (i + 1) % loop.length))]
    const tab = edgeTab({ length, depth, start, end })
    const way: Point = [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
    // Outside of a counter-clockwise outline is on the right of its edges.
    const place = ([x, y]: Point): Point => [from[0] + way[0] * x + way[1] * y, from[1] + way[1] * x - way[0] * y]
    outline.push(place(tab.outline[3]!), place(tab.outline[2]!))
    scores.push({ fold, line: [from, to], angle })
    findings.push(...tab.findings.map((finding) => ({ ...finding, at: [from[0], from[1]] as const })))
  }
  return { outline, scores, findings }
}

export interface Teeth {
  readonly depth: number
  /** Widest tooth, mm. */
  readonly widest: number
  /** Farthest that a tooth's straight fold may lie from the curve, mm. */
  readonly sagitta?: number
  /** Card left out between two teeth at the edge, mm. */
  readonly notch?: number
  /** Degrees the teeth are folded through; 90 where not given. */
  readonly angle?: number
}

/** Tabs along an edge: what takes the edge's place in the outline, and the folds. */
export interface TabRun {
  /** From the edge's first point to its last, out round each tab. */
  readonly edge: Polyline
  readonly folds: readonly Polyline[]
  readonly tabs: readonly Loop[]
  readonly findings: readonly Finding[]
}

/** Taper of a tooth's sides beyond what the curve asks for, degrees: room for the glue and the hand. */
const TAPER = 5

/**
 * Share of the edge's turn by which teeth close up, at the worst stage of folding through an angle A: on a hollow edge
 * they do so from the start, by cos 0 = 1; on a round one they spread in the flat, stand side by side at 90°, and close
 * up beyond, by −cos A.
 */
function closing(turn: number, angle: number): number {
  return turn < 0 ? 1 : Math.max(0, -Math.cos(radians(angle)))
}

/**
 * A toothed tab along a curved edge with the outside on its right. Teeth are as wide as allowed where the edge is
 * straight and narrower where it bends, so that a straight fold stays within the sagitta: w = √(8·r·s). Each tapers by
 * half of what it and its neighbour close up ({@link closing}).
 */
export function toothedTab(edge: Polyline, spec: Teeth): TabRun {
  const { widest, sagitta = 0.1, notch = 0.2, angle = 90 } = spec
  const measure = toothMeasure(edge, widest, sagitta)
  const count = Math.max(1, Math.ceil(measure.at(-1)! - 1e-9))
  const cuts = Array.from({ length: count + 1 }, (_, i) => placeOf(edge, measure, (measure.at(-1)! * i) / count))
  const spans = cuts
    .slice(1)
    .map((to, i): Span => [cuts[i]! + (i === 0 ? 0 : notch / 2), to - (i === count - 1 ? 0 : notch / 2)])
  return tabsOver(edge, spans, spec.depth, angle)
}

/**
 * Tabs that alternate between two edges to be joined: odd places on the first, even ones on the second, so that each
 * laps behind the other in turn. The second edge is the same curve in its own outline and so runs the other way.
 */
export function alternatingTabs(
  first: Polyline,
  second: Polyline,
  { depth, count, gap = 0.4, angle = 90 }: { depth: number; count: number; gap?: number; angle?: number },
): { first: TabRun; second: TabRun } {
  const [a, b] = [lengthOf(first), lengthOf(second)]
  const place = (k: number, length: number): Span => [
    (length * k) / count + gap / 2,
    (length * (k + 1)) / count - gap / 2,
  ]
  const places = Array.from({ length: count }, (_, k) => k)
  const onFirst = places.filter((k) => k % 2 === 0).map((k) => place(k, a))
  const onSecond = places.filter((k) => k % 2 === 1).map((k) => place(count - 1 - k, b))
  return {
    first: tabsOver(first, onFirst, depth, angle),
    second: tabsOver(
      second,
      onSecond.toSorted((p, q) => p[0] - q[0]),
      depth,
      angle,
    ),
  }
}

/** Stretch of an edge by distance along it. */
type Span = readonly [from: number, to: number]

function tabsOver(edge: Polyline, spans: readonly Span[], depth: number, angle: number): TabRun {
  const line: Point[] = []
  const folds: Polyline[] = []
  const tabs: Loop[] = []
  const findings: Finding[] = []
  const total = lengthOf(edge)
  let reached = 0
  for (const [from, to] of spans) {
    const base = cutOut(edge, from, to)
    const tooth = toothOn(base, depth, angle)
    if (tooth.finding) findings.push(tooth.finding)
    line.push(...cutOut(edge, reached, from), ...tooth.tip)
    folds.push(base)
    tabs.push([...base.toReversed(), ...tooth.tip])
    reached = to
  }
  line.push(...cutOut(edge, reached, total))
  return { edge: withoutRepeats(line), folds, tabs, findings }
}

/** The two outer corners of a tooth, on the right of its base, in the base's direction. */
function toothOn(base: Polyline, depth: number, angle: number): { tip: [Point, Point]; finding?: Finding } {
  const [from, to] = [base[0]!, base.at(-1)!]
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  const way: Point = [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
  const turn = turnOf(base)
  const taper = Math.tan(radians((Math.abs(turn) * closing(turn, angle)) / 2 + TAPER))
  const most = Math.max(0, (length - TIP) / (2 * taper))
  const reach = Math.min(depth, most)
  const place = (along: number): Point => [
    from[0] + way[0] * along + way[1] * reach,
    from[1] + way[1] * along - way[0] * reach,
  ]
  const tip: [Point, Point] = [place(reach * taper), place(length - reach * taper)]
  if (depth <= most) return { tip }
  return { tip, finding: { ...deepTab(depth, most, length), at: [from[0], from[1]] } }
}

/**
 * How many teeth the edge asks for up to each of its points: ∫ max(1/widest, √(κ/8s)) ds, the curvature κ at a point
 * being its turn over the half segments beside it.
 */
function toothMeasure(edge: Polyline, widest: number, sagitta: number): number[] {
  const steps = edge.slice(1).map((point, i) => Math.hypot(point[0] - edge[i]![0], point[1] - edge[i]![1]))
  const need = edge.map((point, i) => {
    if (i === 0 || i === edge.length - 1) return 1 / widest
    const turn = Math.abs(radians(turnAt(edge[i - 1]!, point, edge[i + 1]!)))
    const curvature = turn / ((steps[i - 1]! + steps[i]!) / 2)
    return Math.max(1 / widest, Math.sqrt(curvature / (8 * sagitta)))
  })
  const measure = [0]
  for (const [i, step] of steps.entries()) {
    // The ends have no turn of their own and go with their neighbour.
    const [p, q] = [i === 0 ? need[1]! : need[i]!, i === steps.length - 1 ? need[i]! : need[i + 1]!]
    measure.push(measure[i]! + (step * (Math.max(p, 1 / widest) + Math.max(q, 1 / widest))) / 2)
  }
  return measure
}

/** Distance along the edge at which the measure reaches a value. */
function placeOf(edge: Polyline, measure: readonly number[], value: number): number {
  let along = 0
  for (let i = 1; i < edge.length; i++) {
    const step = Math.hypot(edge[i]![0] - edge[i - 1]![0], edge[i]![1] - edge[i - 1]![1])
    if (measure[i]! >= value - 1e-12) {
      const rise = measure[i]! - measure[i - 1]!
      return along + (rise === 0 ? 0 : (step * (value - measure[i - 1]!)) / rise)
    }
    along += step
  }
  return along
}

/** How far an end runs in along the edge for each mm of depth: cot of its angle. */
function slope(angle: number): number {
  return angle >= 90 ? 0 : 1 / Math.tan(radians(angle))
}

function deepTab(depth: number, most: number, length: number): Finding {
  return {
    id: 'deep-tab',
    severity: 'error',
    text: `a tab ${inMm(depth)} deep on an edge of ${inMm(length)}, which allows ${inMm(most)}`,
    remedy: `make the tab ${inMm(most)} deep or less, or its ends squarer`,
    found: depth,
    wanted: most,
  }
}
