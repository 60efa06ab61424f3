import { FindingError } from '../finding/finding'
import { suggest } from '../finding/nearest'
import { mm } from '../length/length'
import type { At } from '../model/draft'
import type { Loop, Point } from '../shape/point'
import { turnAt } from '../craft/line'
import type { RunSection } from './sections'

/**
 * A place on a section where a skin begins or ends: its outermost point to one side, or a point that a function of the
 * section gives, which need only be near the edge.
 */
export type EdgePlace = 'left' | 'right' | 'top' | 'bottom' | ((section: RunSection) => At)

/** Farthest a point given may lie from the section, mm: beyond that it was meant for another one. */
const NEAR = 1

/** Longest straight step of a stretch, mm, so that a ruling can begin wherever it is wanted. */
const STEP = 2.5

/** Points nearer than this are one, mm: cuts of earlier steps leave such crumbs. */
const CRUMB = 0.02

/**
 * The part of a section's outline from one place counter-clockwise to another, in the section's own axes; without an
 * end, once round to where it began.
 *
 * @throws FindingError for a place that is not on the section, and for two that are one
 */
export function stretchOf(section: RunSection, from: EdgePlace, to?: EdgePlace): Point[] {
  const { loop } = section
  const start = placeOn(section, from, to === undefined ? 'seam' : 'last')
  const end = to === undefined ? start : placeOn(section, to, 'first')
  const count = loop.length
  const points: Point[] = [pointAt(loop, start)]
  if (to !== undefined && Math.abs(end - start) < 1e-9) throw noStretch(section, pointAt(loop, start))
  const wanted = end <= start ? end + count : end
  for (let i = Math.floor(start) + 1; i < wanted; i++) points.push(loop[i % count]!)
  points.push(pointAt(loop, end))
  return stepped(withoutCrumbs(points))
}

/** So many straight facets in place of a curve, narrow where it bends most: for scoring what is too tight to curl. */
export function facetted(points: readonly Point[], count: number): Point[] {
  const along = [0]
  const turned = [0]
  for (let i = 1; i < points.length; i++) {
    along.push(along[i - 1]! + Math.hypot(points[i]![0] - points[i - 1]![0], points[i]![1] - points[i - 1]![1]))
    const turn = i + 1 < points.length ? Math.abs(turnAt(points[i - 1]!, points[i]!, points[i + 1]!)) : 0
    turned.push(turned[i - 1]! + turn)
  }
  const whole = turned.at(-1)! || 1
  const measure = along.map((s, i) => s / along.at(-1)! / 2 + (turned[i]! + (turned[i - 1] ?? 0)) / 4 / whole)
  const last = measure.at(-1)!
  return Array.from({ length: count + 1 }, (_, k) => {
    const i = Math.max(
      1,
      measure.findIndex((value) => value >= (last * k) / count - 1e-12),
    )
    const t = ((last * k) / count - measure[i - 1]!) / (measure[i]! - measure[i - 1]! || 1)
    return mixed(points[i - 1]!, points[i]!, t)
  })
}

/** Which of several outermost points is taken: the first or last of them, or the last for the seam of a ring. */
type Tie = 'first' | 'last' | 'seam'

/** Place on a loop as a number: 3.25 is a quarter of the way from its point 3 to the next. */
function placeOn(section: RunSection, place: EdgePlace, tie: Tie): number {
  if (typeof place === 'function') return nearestPlace(section, place)
  if (EDGES.includes(place)) return outermost(section.loop, place, tie)
  throw new FindingError({
    id: 'skin-edge',
    severity: 'error',
    text: `a skin is to begin or end at "${String(place)}" of ${section.name}, which is no place on a section`,
    remedy: suggest(String(place), EDGES),
  })
}

const EDGES: readonly string[] = ['left', 'right', 'top', 'bottom']

/**
 * Where several points are outermost between two corners, as on a cut-off trailing edge, the one that makes the stretch the
 * shorter; on a curve the one that is, and on a flat that a curve runs into its middle, so that two halves meet there.
 */
function outermost(loop: Loop, side: 'left' | 'right' | 'top' | 'bottom', tie: Tie): number {
  const axis = side === 'left' || side === 'right' ? 0 : 1
  const sign = side === 'right' || side === 'top' ? 1 : -1
  const most = Math.max(...loop.map((point) => sign * point[axis]!))
  const on = loop.map((point) => sign * point[axis]! > most - CRUMB)
  const count = loop.length
  const first = Math.max(0, loop.findIndex((_, i) => on[i] && !on[(i + count - 1) % count]))
  const last = Math.max(0, loop.findIndex((_, i) => on[i] && !on[(i + 1) % count]))
  const corner = [first, last].some((i) => Math.abs(turnAt(loop[(i + count - 1) % count]!, loop[i]!, loop[(i + 1) % count]!)) > KNUCKLE)
  if (first === last || corner || tie === 'seam') return tie === 'first' ? first : last
  const run = Array.from({ length: ((last - first + count) % count) + 1 }, (_, i) => (first + i) % count)
  const top = run.filter((i) => sign * loop[i]![axis]! > most - SAME)
  return top.length === 2 ? (top[0]! + ((top[1]! - top[0]! + count) % count) / 2) % count : top[top.length >> 1]!
}

/** A turn from which an outline has a corner, degrees. */
const KNUCKLE = 20

/** Points that differ by less are as far out, mm. */
const SAME = 1e-6

function nearestPlace(section: RunSection, place: (section: RunSection) => At): number {
  const { loop, name } = section
  const [x, y] = place(section).map(mm) as [number, number]
  const best = { place: 0, off: Infinity }
  for (let i = 0; i < loop.length; i++) {
    const p = loop[i]!
    const q = loop[i + 1 < loop.length ? i + 1 : 0]!
    const dx = q[0] - p[0]
    const dy = q[1] - p[1]
    const t = Math.min(1, Math.max(0, ((x - p[0]) * dx + (y - p[1]) * dy) / (dx * dx + dy * dy)))
    const offX = p[0] + t * dx - x
    const offY = p[1] + t * dy - y
    if (offX * offX + offY * offY > best.off * best.off) continue
    const off = Math.hypot(offX, offY)
    if (off >= best.off - 1e-9) continue
    best.place = i + (t > 1 - 1e-6 ? 1 : t < 1e-6 ? 0 : t)
    best.off = off
  }
  if (best.off <= NEAR) return best.place % loop.length
  throw new FindingError({
    id: 'skin-edge',
    severity: 'error',
    text:
      `a skin is to end at (${x.toFixed(2)}, ${y.toFixed(2)}) mm on ${name}, ` +
      `${best.off.toFixed(2)} mm from its edge, ${NEAR.toFixed(2)} mm is allowed`,
    remedy: 'give a point on the section',
    mark: name,
    at: [x, y],
    found: best.off,
    wanted: NEAR,
  })
}

function noStretch({ name }: RunSection, [x, y]: Point): FindingError {
  return new FindingError({
    id: 'skin-edge',
    severity: 'error',
    text: `a skin begins and ends at one point of ${name}, (${x.toFixed(2)}, ${y.toFixed(2)}) mm`,
    remedy: 'give two places, or no end for a skin that goes all round',
    mark: name,
    at: [x, y],
  })
}

function pointAt(loop: Loop, place: number): Point {
  const i = Math.floor(place)
  return mixed(loop[i % loop.length]!, loop[(i + 1) % loop.length]!, place - i)
}

function mixed(p: Point, q: Point, t: number): Point {
  return t === 0 ? p : [p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t]
}

function withoutCrumbs(points: readonly Point[]): Point[] {
  const kept: Point[] = [points[0]!]
  const end = points.at(-1)!
  for (const point of points.slice(1)) {
    const last = kept.at(-1)!
    if (Math.hypot(point[0] - last[0], point[1] - last[1]) > CRUMB) kept.push(point)
  }
  if (kept.at(-1) !== end) kept[kept.length - 1] = end
  return kept
}

function stepped(points: readonly Point[]): Point[] {
  const all: Point[] = [points[0]!]
  for (let i = 1; i < points.length; i++) {
    const [p, q] = [points[i - 1]!, points[i]!]
    const steps = Math.max(1, Math.ceil(Math.hypot(q[0] - p[0], q[1] - p[1]) / STEP))
    for (let k = 1; k <= steps; k++) all.push(k === steps ? q : mixed(p, q, k / steps))
  }
  return all
}
