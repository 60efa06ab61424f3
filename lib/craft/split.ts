import { intersect, subtract } from '../shape/boolean'
import { area, boundsOf } from '../shape/measure'
import { offsetRegion, strokeLine } from '../shape/offset'
import type { Loop, Point, Polyline, Region } from '../shape/point'
import { contains } from '../shape/place'
import { crossingsOf } from '../shape/span'
import type { Flat, FlatLine, FlatScore } from './flat'

/** Joints lie across x or across y. */
export type Axis = 'x' | 'y'

export interface SplitFlat {
  /** From the first joint's near side on; what falls apart between two joints is a tile each. */
  readonly tiles: readonly Flat[]
  /** Strips to glue behind the joints, kept clear of edges, slots and openings; the joint and its ticks are on them. */
  readonly joiners: readonly JoinerFlat[]
}

export interface JoinerFlat {
  readonly flat: Flat
  /** The tiles on either side of the joint, by their places in the list. */
  readonly tiles: readonly number[]
}

/**
 * Cuts a flat thing straight across at some places of its axis, in rising order. Register ticks run across each joint at
 * a third and two thirds of every stretch of card, on both tiles and on the joiner. Nothing is moved: tiles and joiners
 * keep the axes of the whole. Joiners stop short of folds as well.
 */
export function splitFlat(flat: Flat, axis: Axis, places: readonly number[], width: number): SplitFlat {
  const whole: Region = [flat.outline, ...flat.openings.map(({ loop }) => loop)]
  const ends = [-FAR, ...places, FAR]
  const ticks = places.flatMap((place) => ticksAt(whole, axis, place))
  const lines = [...flat.lines, ...ticks.map((line): FlatLine => ({ kind: 'align', line, closed: false }))]
  const tiles = ends.slice(1).flatMap((to, i) => {
    const from = ends[i]!
    const body = intersect(whole, [band(axis, from, to)])
    return partsOf(body).map((part): Flat => ({
      ...flat,
      ...withOpenings(part, flat),
      scores: flat.scores
        .flatMap((score) => clipped(score.line, false, axis, from, to).map(({ line }): FlatScore => ({ ...score, line })))
        .filter(({ line }) => isOn(part, line)),
      lines: lines
        .flatMap((one) => clipped(one.line, one.closed, axis, from, to).map((cut): FlatLine => ({ ...one, ...cut })))
        .filter(({ line }) => isOn(part, line)),
    }))
  })
  const clear = withoutFolds(offsetRegion(whole, -INSET), flat.scores)
  const joiners = places.flatMap((place) => {
    const strip = intersect(clear, [band(axis, place - width / 2, place + width / 2)])
    return partsOf(strip).flatMap((part): JoinerFlat[] => {
      const joint = stretches(part, axis, place)
      if (joint.length === 0) return []
      const joints = joint.map(({ enter, leave }) => [at(axis, place, enter), at(axis, place, leave)])
      const drawn = [...joints, ...ticks.filter((line) => isOn(part, line))]
      const marked = drawn.map((line): FlatLine => ({ kind: 'align', line, closed: false }))
      const { enter, leave } = joint[0]!
      const sides = [-BESIDE, BESIDE].map((off) => at(axis, place + off, (enter + leave) / 2))
      const met = sides.map((point) => tiles.findIndex(({ outline }) => contains([outline], point))).filter((i) => i >= 0)
      return [{ flat: { ...withOpenings(part, flat), scores: [], lines: marked, grain: axis === 'x' ? 0 : 90 }, tiles: met }]
    })
  })
  return { tiles, joiners }
}

/** Far enough beside a joint to be on a tile, mm. */
const BESIDE = 0.01

function withoutFolds(region: Region, scores: readonly FlatScore[]): Region {
  return scores.length === 0 ? region : subtract(region, ...scores.map(({ line }) => strokeLine(line, 2 * INSET)))
}

/** A joiner keeps this far from every edge, mm, so that neither it nor its glue shows. */
const INSET = 1
const TICK = 4
const FAR = 1e5

function at(axis: Axis, place: number, across: number): Point {
  return axis === 'x' ? [place, across] : [across, place]
}

function ticksAt(region: Region, axis: Axis, place: number): Polyline[] {
  const heights = stretches(region, axis, place).flatMap(({ enter, leave }) =>
    [1, 2].map((n) => enter + ((leave - enter) * n) / 3),
  )
  return heights.map((across) => [at(axis, place - TICK, across), at(axis, place + TICK, across)])
}

function band(axis: Axis, from: number, to: number): Loop {
  const corners: Loop = [at(axis, from, -FAR), at(axis, to, -FAR), at(axis, to, FAR), at(axis, from, FAR)]
  return axis === 'x' ? corners : corners.toReversed()
}

/** Where a line across the axis runs in card, by the other coordinate. */
function stretches(region: Region, axis: Axis, place: number): { enter: number; leave: number }[] {
  return crossingsOf(region, at(axis, place, 0), at(axis, place, 1)).filter(({ enter, leave }) => leave - enter > 0.1)
}

/** Each outer loop with the holes inside it. */
function partsOf(region: Region): Region[] {
  const outer = region.filter((loop) => area([loop]) > 0)
  const holes = region.filter((loop) => area([loop]) < 0)
  return outer
    .map((loop) => [loop, ...holes.filter((hole) => subtract([hole.toReversed()], [loop]).length === 0)])
    .map((part) => ({ part, box: boundsOf([part[0]!]) }))
    .toSorted((p, q) => p.box.minX - q.box.minX || p.box.minY - q.box.minY)
    .map(({ part }) => part)
}

function withOpenings([outline, ...holes]: Region, { openings }: Flat): Pick<Flat, 'outline' | 'openings'> {
  const kindOf = (hole: Loop) => openings.find(({ loop }) => Math.abs(area([loop]) - area([hole])) < 1e-3)?.kind ?? 'opening'
  return { outline: outline!, openings: holes.map((loop) => ({ kind: kindOf(loop), loop })) }
}

/** Whether a line belongs to a part, by the middle of its box: lines may run past the card's edge. */
function isOn([outline]: Region, line: Polyline): boolean {
  const { minX, minY, maxX, maxY } = boundsOf([outline!])
  const box = boundsOf([line])
  const [x, y] = [(box.minX + box.maxX) / 2, (box.minY + box.maxY) / 2]
  return x >= minX && x <= maxX && y >= minY && y <= maxY
}

/** What of a line lies between two places of the axis. */
function clipped(line: Polyline, closed: boolean, axis: Axis, from: number, to: number): { line: Polyline; closed: boolean }[] {
  const n = axis === 'x' ? 0 : 1
  if (line.every((p) => p[n] >= from && p[n] <= to)) return [{ line, closed }]
  const points = closed ? [...line, line[0]!] : line
  const runs: Point[][] = []
  let run: Point[] = []
  const end = () => {
    if (run.length > 1) runs.push(run)
    run = []
  }
  for (let i = 1; i < points.length; i++) {
    const [a, b] = [points[i - 1]!, points[i]!]
    const rise = b[n] - a[n]
    const ends = rise === 0 ? [0, 1] : [(from - a[n]) / rise, (to - a[n]) / rise]
    const [s, t] = [Math.min(...ends), Math.max(...ends)]
    const [low, high] = [Math.max(0, s), Math.min(1, t)]
    if (low >= high || (rise === 0 && (a[n] < from || a[n] > to))) {
      end()
      continue
    }
    const between = (share: number): Point => [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share]
    if (low > 0) end()
    if (run.length === 0) run.push(between(low))
    run.push(between(high))
    if (high < 1) end()
  }
  end()
  return runs.map((points) => ({ line: points, closed: false }))
}
