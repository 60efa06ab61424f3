import { FindingError, type Finding } from '../finding/finding'
import { subtract } from '../shape/boolean'
import { area, boundsOf } from '../shape/measure'
import { offsetRegion } from '../shape/offset'
import type { Loop, Point, Region } from '../shape/point'
import type { Pose, Vector } from '../shape/pose'
import { trimRegion } from '../shape/trim'
import { inMm } from './figure'
import { type Flat, plainFlat } from './flat'
import { interlock } from './interlock'
import type { Plate } from './plate'
import { radians, toModel } from './space'

export interface Cradle {
  /** The run of frames it holds, in order from the bow, standing across the model. */
  readonly frames: readonly Plate[]
  /** Height of the building board in the model. */
  readonly board: number
  /** From the frame's outline to the saddle: the skin, and room for it. */
  readonly clearance: number
  /** How far up the saddles hold each frame, from its lowest point. */
  readonly rise: number
  /** Card left beside the hull at the top of a saddle. */
  readonly wall: number
  /** Places of the rails to starboard of the centre line; all run fore and aft. */
  readonly rails: readonly number[]
  readonly railHeight: number
  /** How far the rails run on beyond the first and last saddle. */
  readonly overhang: number
  /** Thickness of the card it is cut from. */
  readonly thickness: number
  readonly fit: number
  readonly web: number
}

/**
 * A building cradle: a saddle under each frame, cut from the frame's own outline so that a rake or a cant is held as
 * well, standing on rails that carry the stations. A saddle opens as wide as the hull is above it, so that the model
 * lifts straight out. Saddles come down over the rails in slots.
 */
export function cradle(spec: Cradle): {
  saddles: readonly Plate[]
  rails: readonly Plate[]
  crossings: ReturnType<typeof interlock>['crossings']
  findings: readonly Finding[]
} {
  if (spec.frames.length < 2 || spec.rails.length < 2) {
    throw new FindingError({
      id: 'cradle',
      severity: 'error',
      text: `a cradle of ${spec.frames.length} frames on ${spec.rails.length} rails, it takes 2 of each to stand`,
      remedy: 'give it the frames at both ends of the run and a rail on either side',
      found: Math.min(spec.frames.length, spec.rails.length),
      wanted: 2,
    })
  }
  const findings: Finding[] = []
  const saddles = spec.frames.map((frame) => saddleUnder(frame, spec, findings))
  const rails = spec.rails.map((y, i) => railAt(y, `rail ${i + 1}`, spec))
  const locked = interlock(rails, saddles, { fit: spec.fit, web: spec.web, upper: 'first' })
  return { saddles: locked.second, rails: locked.first, crossings: locked.crossings, findings: [...findings, ...locked.findings] }
}

export interface DihedralTemplate {
  readonly angle: number
  /** Where along the span it stands, from the root. */
  readonly from: number
  readonly to: number
  /** Height of the wing's underside over the board at the root. */
  readonly height: number
}

/** Stands on the board under a wing and holds its dihedral: the top rises by tan(angle) along the span. */
export function dihedralTemplate({ angle, from, to, height }: DihedralTemplate): Flat {
  const top = (y: number): number => height + y * Math.tan(radians(angle))
  const [low, high] = [Math.min(top(from), top(to)), to - from]
  if (!(low > 0) || !(high > 0) || Math.abs(angle) >= 90) throw badTemplate('dihedral', angle, from, to, low)
  return plainFlat([
    [0, 0],
    [to - from, 0],
    [to - from, top(to)],
    [0, top(from)],
  ])
}

export interface SweepTemplate {
  readonly angle: number
  /** Length of the leading edge it covers, measured square to the centre line. */
  readonly from: number
  readonly to: number
  /** Card behind the edge at the tip end. */
  readonly width: number
}

/**
 * Lies flat on the board against the centre line and holds a leading edge to its sweep: x runs outboard, y forward, and
 * the lower edge falls back by tan(angle).
 */
export function sweepTemplate({ angle, from, to, width }: SweepTemplate): Flat {
  const edge = (x: number): number => -x * Math.tan(radians(angle))
  if (!(to > from) || !(width > 0) || Math.abs(angle) >= 90) throw badTemplate('sweep', angle, from, to, width)
  const front = Math.max(edge(from), edge(to)) + width
  const datum = { kind: 'datum' as const, line: [[0, edge(from)] as const, [0, front] as const], closed: false }
  return plainFlat(
    [
      [0, edge(from)],
      [to - from, edge(to)],
      [to - from, front],
      [0, front],
    ],
    { lines: [datum] },
  )
}

function saddleUnder(frame: Plate, spec: Cradle, findings: Finding[]): Plate {
  const hull = offsetRegion([frame.outline], spec.clearance, 'round')
  const top = boundsOf(hull).minY + spec.rise
  const held = trimRegion(hull, [0, top], [1, top], 'right')
  const { minX, maxX, minY } = boundsOf(held)
  const [left, right] = [minX - spec.wall, maxX + spec.wall]
  const [lowLeft, lowRight] = [boardAt(frame.pose, left, spec.board), boardAt(frame.pose, right, spec.board)]
  const under = minY - Math.max(lowLeft, lowRight)
  if (under < spec.web) findings.push(lowHull(frame, under, spec.web))
  const blank: Loop = [
    [left, lowLeft],
    [right, lowRight],
    [right, top],
    [left, top],
  ]
  // Cut from the hull's lower edge straight up, so that a hull that draws in above is not held down.
  const room: Loop = [...lowerEdge(held), [maxX, top + 1], [minX, top + 1]]
  const outline = largest(subtract([blank], [room])) ?? blank
  return { name: `${frame.name} saddle`, pose: frame.pose, outline, openings: [], thickness: spec.thickness }
}

function largest(region: Region): Loop | undefined {
  return region.filter((loop) => area([loop]) > 0).toSorted((a, b) => area([b]) - area([a]))[0]
}

/** The edge seen from below, from left to right. */
function lowerEdge(region: Region): Point[] {
  const loop = largest(region) ?? []
  const leftmost = loop.reduce((best, point, i) => (lessLeft(point, loop[best]!) ? i : best), 0)
  const rightmost = loop.reduce(
    (best, point, i) => (lessLeft([-point[0], point[1]], [-loop[best]![0], loop[best]![1]]) ? i : best),
    0,
  )
  const chain: Point[] = []
  for (let i = leftmost; ; i = (i + 1) % loop.length) {
    chain.push(loop[i]!)
    if (i === rightmost) return chain
  }
}

/** Further left, or as far left and lower. */
function lessLeft(a: Point, b: Point): boolean {
  return a[0] < b[0] - 1e-9 || (a[0] < b[0] + 1e-9 && a[1] < b[1])
}

function boardAt({ origin, right, up }: Pose, u: number, board: number): number {
  return (board - origin[2] - u * right[2]) / up[2]
}

function railAt(y: number, name: string, spec: Cradle): Plate {
  const feet = spec.frames.map((frame) => {
    const { minX, maxX } = boundsOf([frame.outline])
    const v = boardAt(frame.pose, (minX + maxX) / 2, spec.board)
    return toModel(frame.pose, [(minX + maxX) / 2, v])[0]
  })
  const start = Math.min(...feet) - spec.overhang
  const length = Math.max(...feet) + spec.overhang - start
  const origin: Vector = [start, y, spec.board]
  const outline: Loop = [
    [0, 0],
    [length, 0],
    [length, spec.railHeight],
    [0, spec.railHeight],
  ]
  return { name, pose: { origin, right: [1, 0, 0], up: [0, 0, 1] }, outline, openings: [], thickness: spec.thickness }
}

function lowHull(frame: Plate, under: number, web: number): Finding {
  return {
    id: 'cradle-low',
    severity: 'error',
    text: `${frame.name} stands ${inMm(under)} over the board, its saddle needs ${inMm(web)}`,
    remedy: 'lower the board',
    mark: frame.name,
    found: under,
    wanted: web,
  }
}

function badTemplate(kind: string, angle: number, from: number, to: number, least: number): FindingError {
  return new FindingError({
    id: 'angle-template',
    severity: 'error',
    text: `a ${kind} template of ${angle}° from ${inMm(from)} to ${inMm(to)}, ${inMm(least)} at its thinnest`,
    remedy: 'give an angle below 90°, an end beyond the start, and card all along it',
    found: least,
    wanted: 0,
  })
}
