import { type Finding, FindingError } from '../finding/finding'
import { intersect, subtract as cutAway, unite } from '../shape/boolean'
import { area, centroid } from '../shape/measure'
import type { Loop, Point, Polyline, Region } from '../shape/point'
import type { Pose } from '../shape/pose'
import { type Flat, type FlatLine, type FlatOpening, type FlatScore, plainFlat } from './flat'
import { type Bend, type Measured, bendAllowance, foldGain, setBack } from './fold'
import { add, along, degrees, dot, faceNormal, heightOver, radians, scale, toModel, toPiece } from './space'

/**
 * A folded part as a tree: a panel, and panels folded from its edges. Sizes are those of the finished part, apex to
 * apex on the face they are measured on; what the folds take up is worked out when the tree is laid flat.
 */
export interface Panel {
  readonly name: string
  /** Counter-clockwise in the panel's own axes, seen from the printed side. Edge i runs from point i to the next. */
  readonly outline: Loop
  readonly openings?: readonly FlatOpening[]
  readonly lines?: readonly FlatLine[]
  readonly folds?: readonly PanelFold[]
}

export interface PanelFold {
  /** The edge of this panel the other one is folded from. */
  readonly edge: number
  /** Degrees turned through: positive for a valley, seen from the printed side, negative for a mountain. */
  readonly angle: number
  readonly panel: Panel
  /** The other panel's edge on the fold; 0 where not given. */
  readonly onto?: number
  /** How far the middle of its edge lies from the middle of this one, along this edge; 0 where not given. */
  readonly shift?: number
}

export interface FoldStyle {
  readonly bend: Bend
  /** The face that sizes are taken on. */
  readonly measured: Measured
}

export interface FlatPanel {
  readonly name: string
  /** Where it lies in the blank. */
  readonly outline: Loop
}

export interface Unfolded {
  readonly flat: Flat
  readonly panels: readonly FlatPanel[]
  readonly findings: readonly Finding[]
}

/** A panel standing in the model; its pose is that of the panel's own axes, in the middle of the card. */
export interface StandingPanel {
  readonly name: string
  readonly panel: Panel
  readonly pose: Pose
}

/**
 * The flat blank of a folded part: every panel laid out beside the one it is folded from, further out or in by what the
 * fold gains ({@link foldGain}), the outline united, scores in the middle of their bends. Panels that lie over each
 * other in the flat, and panels that come to lie in the same place when folded, are findings.
 */
export function unfold(tree: Panel, style: FoldStyle): Unfolded {
  const placed = layOut(tree, style)
  const bodies = placed.map(({ region }) => region)
  const bridges = placed.flatMap(({ bridge }) => (bridge ? [bridge] : []))
  const openings = placed.flatMap(({ openings }) => openings)
  const united = unite(bodies[0]!, ...bodies.slice(1), ...bridges)
  const findings = [...overlapsInFlat(placed), ...overlapsFolded(tree, style)]
  const outer = united.filter((loop) => area([loop]) > 0).toSorted((a, b) => area([b]) - area([a]))
  const gaps = united.filter((loop) => area([loop]) < 0).map((loop): FlatOpening => ({ kind: 'opening', loop }))
  if (outer.length > 1) findings.push(inPieces(outer))
  const scores = placed.flatMap(({ score }) => (score ? [score] : []))
  const lines = placed.flatMap(({ lines }) => lines)
  const flat = plainFlat(outer[0]!, { openings: [...gaps, ...openings], scores, lines })
  return { flat, panels: placed.map(({ name, region }) => ({ name, outline: region[0]! })), findings }
}

/**
 * The part folded up: where each panel stands, `share` of the way from flat (0) to finished (1). The card bends round
 * its neutral layer, so a half-closed fold takes up the same strip over a wider radius.
 */
export function foldUp(tree: Panel, style: FoldStyle, at: Pose, share = 1): StandingPanel[] {
  const standing: StandingPanel[] = []
  const visit = (panel: Panel, pose: Pose): void => {
    standing.push({ name: panel.name, panel, pose })
    for (const fold of panel.folds ?? []) visit(fold.panel, foldedPose(panel, pose, fold, style, share))
  }
  visit(tree, at)
  return standing
}

/** Overlap of two panels that is put down to rounding, mm². */
const OVERLAP = 0.02

/** Panels folded into planes nearer than this share of the card's thickness cannot both be there. */
const SAME_PLANE = 0.5

interface Placed {
  readonly name: string
  readonly region: Region
  readonly parent: Placed | undefined
  /** Card between this panel and its parent where the fold needs more than the two have. */
  readonly bridge?: Region
  readonly score?: FlatScore
  readonly openings: readonly FlatOpening[]
  readonly lines: readonly FlatLine[]
}

/** Sends a point of a panel's axes to the blank: turned, then moved. */
interface Lay {
  readonly cos: number
  readonly sin: number
  readonly x: number
  readonly y: number
}

/** An edge as its panel sees it: middle, direction, and the way out of the panel. */
interface Edge {
  readonly middle: Point
  readonly way: Point
  readonly out: Point
  readonly length: number
}

function layOut(tree: Panel, style: FoldStyle): Placed[] {
  const all: Placed[] = []
  const visit = (panel: Panel, lay: Lay, parent: Placed | undefined, joint: Pick<Placed, 'bridge' | 'score'>): void => {
    const put = (line: Polyline): Polyline => line.map((point) => laid(lay, point))
    const placed: Placed = {
      name: panel.name,
      region: [put(panel.outline)],
      parent,
      openings: (panel.openings ?? []).map((opening) => ({ ...opening, loop: put(opening.loop) })),
      lines: (panel.lines ?? []).map((line) => ({ ...line, line: put(line.line) })),
      ...joint,
    }
    all.push(placed)
    for (const fold of panel.folds ?? []) {
      const gain = foldGain(fold.angle, style.bend, style.measured)
      const next = layOfChild(panel, lay, fold, gain)
      visit(fold.panel, next, placed, jointOf(panel, lay, fold, gain))
    }
  }
  visit(tree, { cos: 1, sin: 0, x: 0, y: 0 }, undefined, {})
  return all
}

function laid({ cos, sin, x, y }: Lay, [u, v]: Point): Point {
  return [cos * u - sin * v + x, sin * u + cos * v + y]
}

function edgeOf(panel: Panel, index: number): Edge {
  const { outline } = panel
  if (!(index in outline)) throw noEdge(panel, index)
  const [x0, y0] = outline[index]!
  const [x1, y1] = outline[(index + 1) % outline.length]!
  const length = Math.hypot(x1 - x0, y1 - y0)
  const way: Point = [(x1 - x0) / length, (y1 - y0) / length]
  return { middle: [(x0 + x1) / 2, (y0 + y1) / 2], way, out: [way[1], -way[0]], length }
}

/** The other panel's edge runs against this one's, `gain` further out. */
function layOfChild(panel: Panel, lay: Lay, fold: PanelFold, gain: number): Lay {
  const edge = edgeOf(panel, fold.edge)
  const child = edgeOf(fold.panel, fold.onto ?? 0)
  const shift = fold.shift ?? 0
  const meet = laid(lay, [
    edge.middle[0] + edge.way[0] * shift + edge.out[0] * gain,
    edge.middle[1] + edge.way[1] * shift + edge.out[1] * gain,
  ])
  // Turn that takes the child's edge direction to the reverse of this edge's, on top of this panel's own turn.
  const cos = -(child.way[0] * edge.way[0] + child.way[1] * edge.way[1])
  const sin = -(child.way[0] * edge.way[1] - child.way[1] * edge.way[0])
  const turned = { cos: lay.cos * cos - lay.sin * sin, sin: lay.sin * cos + lay.cos * sin, x: 0, y: 0 }
  const [x, y] = laid(turned, child.middle)
  return { ...turned, x: meet[0] - x, y: meet[1] - y }
}

function jointOf(panel: Panel, lay: Lay, fold: PanelFold, gain: number): Pick<Placed, 'bridge' | 'score'> {
  const edge = edgeOf(panel, fold.edge)
  const child = edgeOf(fold.panel, fold.onto ?? 0)
  const shift = fold.shift ?? 0
  const from = Math.max(-edge.length / 2, shift - child.length / 2)
  const to = Math.min(edge.length / 2, shift + child.length / 2)
  const at = (s: number, out: number): Point =>
    laid(lay, [
      edge.middle[0] + edge.way[0] * s + edge.out[0] * out,
      edge.middle[1] + edge.way[1] * s + edge.out[1] * out,
    ])
  const line = [at(from, gain / 2), at(to, gain / 2)]
  const score: FlatScore = { fold: fold.angle > 0 ? 'valley' : 'mountain', line, angle: Math.abs(fold.angle) }
  // Reaches a little into both panels, inside their corners, so that rounding cannot leave a slit.
  const far = Math.max(0, gain)
  const bridge: Loop = [
    at(from, far),
    at(from + LAP, far + LAP / 4),
    at(to - LAP, far + LAP / 4),
    at(to, far),
    at(to, 0),
    at(to - LAP, -LAP / 4),
    at(from + LAP, -LAP / 4),
    at(from, 0),
  ]
  return gain > -LAP ? { score, bridge: [bridge] } : { score }
}

/** How far a bridge laps over the panels it joins, mm. */
const LAP = 0.01

function foldedPose(panel: Panel, pose: Pose, fold: PanelFold, style: FoldStyle, share: number): Pose {
  const edge = edgeOf(panel, fold.edge)
  const child = edgeOf(fold.panel, fold.onto ?? 0)
  const { bend, measured } = style
  const back = setBack(fold.angle, bend, measured)
  const allowance = bendAllowance(Math.abs(fold.angle), bend)
  const turn = radians(Math.abs(fold.angle)) * share
  const sense = fold.angle > 0 ? 1 : -1
  const inModel = ([u, v]: Point): Pose['right'] => add(scale(pose.right, u), scale(pose.up, v))
  const [way, out, face] = [inModel(edge.way), inModel(edge.out), faceNormal(pose)]
  const shift = fold.shift ?? 0
  const tangent = along(along(toModel(pose, edge.middle), way, shift), out, -back)
  // Radius at the middle of the card; with no turn the bend is a straight strip.
  const radius = turn === 0 ? Infinity : allowance / turn + (0.5 - bend.k) * bend.thickness
  const forward = turn === 0 ? allowance : radius * Math.sin(turn)
  const aside = turn === 0 ? 0 : radius * (1 - Math.cos(turn)) * sense
  const onwards = add(scale(out, Math.cos(turn)), scale(face, Math.sin(turn) * sense))
  const meet = along(along(along(tangent, out, forward), face, aside), onwards, -back)
  // The child's edge runs against this one and its inside lies onwards.
  const right = add(scale(way, -child.way[0]), scale(onwards, -child.out[0]))
  const up = add(scale(way, -child.way[1]), scale(onwards, -child.out[1]))
  const origin = along(along(meet, right, -child.middle[0]), up, -child.middle[1])
  return { origin, right, up }
}

function overlapsInFlat(placed: readonly Placed[]): Finding[] {
  const findings: Finding[] = []
  for (const [i, a] of placed.entries()) {
    for (const b of placed.slice(i + 1)) {
      if (b.parent === a) continue
      // Where sizes are taken outside, panels reach over their fold line into their parent's corner.
      const parents = [a.parent, b.parent].flatMap((parent) => (parent ? [parent.region] : []))
      const over = cutAway(intersect(a.region, b.region), ...parents)
      if (area(over) <= OVERLAP) continue
      findings.push({
        id: 'panels-overlap',
        severity: 'error',
        text: `flat, panels ${a.name} and ${b.name} lie over each other by ${area(over).toFixed(2)} mm², 0 is allowed`,
        remedy: 'make one of them narrower, mitre it, or fold it from another edge',
        at: [...centroid(over)] as [number, number],
        found: area(over),
        wanted: 0,
      })
    }
  }
  return findings
}

/** Panels that lie in one plane when folded and cover the same place there, such as two tabs turned into one corner. */
function overlapsFolded(tree: Panel, { bend, measured }: FoldStyle): Finding[] {
  const findings: Finding[] = []
  const standing = foldUp(tree, { bend, measured }, { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 1, 0] })
  for (const [i, a] of standing.entries()) {
    for (const b of standing.slice(i + 1)) {
      const lean = Math.abs(dot(faceNormal(a.pose), faceNormal(b.pose)))
      if (degrees(Math.acos(Math.min(1, lean))) > 1) continue
      const corners = b.panel.outline.map((point) => toModel(b.pose, point))
      if (Math.max(...corners.map((corner) => Math.abs(heightOver(a.pose, corner)))) > SAME_PLANE * bend.thickness)
        continue
      const seen = corners.map((corner) => toPiece(a.pose, corner))
      const loop = dot(faceNormal(a.pose), faceNormal(b.pose)) > 0 ? seen : seen.toReversed()
      const over = area(intersect([a.panel.outline], [loop]))
      if (over <= OVERLAP) continue
      findings.push({
        id: 'panels-collide',
        severity: 'error',
        text: `folded up, panels ${a.name} and ${b.name} take the same place over ${over.toFixed(2)} mm², 0 is allowed`,
        remedy: 'mitre them, shorten one, or let one lie behind the other',
        found: over,
        wanted: 0,
      })
    }
  }
  return findings
}

function noEdge(panel: Panel, index: number): FindingError {
  return new FindingError({
    id: 'panel-edge',
    severity: 'error',
    text: `a fold on edge ${index} of panel ${panel.name}, which has edges 0 to ${panel.outline.length - 1}`,
    remedy: 'count edges from 0, each from its point to the next',
    found: index,
    wanted: panel.outline.length - 1,
  })
}

function inPieces(outer: readonly Loop[]): Finding {
  return {
    id: 'blank-in-pieces',
    severity: 'error',
    text: `the blank falls into ${outer.length} pieces, 1 is meant`,
    remedy: 'check that each panel is folded from an edge it shares',
    found: outer.length,
    wanted: 1,
  }
}
