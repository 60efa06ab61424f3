import Flatbush from 'flatbush'
import type { Piece } from '../model/piece'
import { boundsOf } from '../nest/turn'
import type { Bounds, Loop, Point } from '../shape/point'
import { extentOf, type Label, LABEL_SIZES, LEADER, labelText, settings } from './label'
import { core } from './places'
import { type Box, corners, isCard, obstacles, type Obstacles, touches } from './room'

/** A piece as it lies on a sheet, with the cuts only. */
export interface Lying {
  readonly piece: Piece
  readonly outline: Loop
  readonly openings: readonly Loop[]
}

/** A label beside its piece and the leader that runs from it to the outline, arrow first. */
export interface OutsideLabel {
  readonly label: Label
  readonly leader: readonly [tip: Point, tail: Point]
}

/**
 * Finds places on a sheet for the labels of pieces that cannot hold their own: off every piece, off each other and
 * within the area. Labels are taken in the order asked for; each stays clear of those before.
 */
export class FreeRoom {
  readonly #area: Bounds
  readonly #pieces: readonly Obstacles[]
  readonly #index: Flatbush
  readonly #taken: { readonly bounds: Bounds; readonly segments: Float64Array; readonly box?: Box }[] = []

  constructor(area: Bounds, lying: readonly Pick<Lying, 'outline' | 'openings'>[]) {
    this.#area = area
    this.#pieces = lying.map(({ outline, openings }) => obstacles([outline, ...openings], []))
    this.#index = new Flatbush(Math.max(1, lying.length))
    for (const { outline } of lying) {
      const { minX, minY, maxX, maxY } = boundsOf(outline)
      this.#index.add(minX, minY, maxX, maxY)
    }
    if (lying.length === 0) this.#index.add(0, 0, 0, 0)
    this.#index.finish()
  }

  /**
   * Labels at the places kept for them. Nesting has left one free for each, but two may want the same: so the label
   * with least to choose from comes first, and takes the place that leaves most to the others.
   * @param wanted by piece number: where its label may stand, the best first
   */
  keep(wanted: ReadonlyMap<number, readonly Label[]>, lying: readonly Lying[]): Map<number, OutsideLabel> {
    const offered = new Map<number, readonly Candidate[]>()
    for (const [number, labels] of wanted) {
      offered.set(number, labels.flatMap((label) => this.#at(number, lying[number]!, label) ?? []).map(candidate))
    }
    const found = assigned(offered)
    for (const place of found.values()) this.#occupy(place)
    return new Map([...found].map(([number, { label, leader }]) => [number, { label, leader }]))
  }

  /**
   * The label in the nearest gap that its leader reaches without crossing a piece or a label; undefined where the
   * sheet has none.
   */
  search(number: number, lying: Lying): OutsideLabel | undefined {
    const { piece, outline } = lying
    const ways = settings(labelText(piece))
    const around = boundsOf(outline)
    const [x, y] = [(around.minX + around.maxX) / 2, (around.minY + around.maxY) / 2]
    for (const distance of DISTANCES) {
      for (const lines of ways) {
        const { width, height } = extentOf(lines, SMALLEST)
        for (const angle of [0, 90]) {
          const [across, up] = angle === 0 ? [width, height] : [height, width]
          for (let k = 0; k < DIRECTIONS; k++) {
            // From below round by the right, on the border of the box of all middles at this distance.
            const [dx, dy] = onSquare(k / DIRECTIONS)
            const centre: Point = [
              x + dx * ((around.maxX - around.minX + across) / 2 + distance),
              y + dy * ((around.maxY - around.minY + up) / 2 + distance),
            ]
            const found = this.#at(number, lying, { lines, size: SMALLEST, box: { centre, width, height, angle } })
            if (!found) continue
            this.#occupy(found)
            return found
          }
        }
      }
    }
    return undefined
  }

  #at(number: number, { outline, openings }: Lying, label: Label): OutsideLabel | undefined {
    if (!this.#isFree(label.box)) return undefined
    const leader = shortestLeader([outline, ...openings], label.box)
    return leader && this.#isClear(leader, number) ? { label, leader } : undefined
  }

  #occupy({ label, leader }: OutsideLabel): void {
    const around = corners(core(label.box))
    this.#taken.push({ bounds: boundsOf(around), segments: obstacles([around], []).segments, box: core(label.box) })
    this.#taken.push({ bounds: boundsOf(leader), segments: Float64Array.of(...leader[0], ...leader[1]) })
  }

  #isFree(box: Box): boolean {
    const around = corners(box)
    const bounds = boundsOf(around)
    const { minX, minY, maxX, maxY } = this.#area
    // As nesting does: the air around the letters may reach over the border.
    const own = boundsOf(corners(core(box)))
    if (own.minX < minX || own.minY < minY || own.maxX > maxX || own.maxY > maxY) return false
    for (const { bounds: other, segments, box: taken } of this.#taken) {
      if (!overlap(bounds, other)) continue
      if (touches(core(box), segments) || (taken && within(box.centre, taken))) return false
    }
    for (const i of this.#index.search(bounds.minX, bounds.minY, bounds.maxX, bounds.maxY)) {
      const { segments, cuts } = this.#pieces[i] ?? NOTHING
      if (touches(box, segments) || isCard(segments, cuts, box.centre[0], box.centre[1])) return false
    }
    return true
  }

  /** Whether a leader crosses no piece, its own included, and no label. */
  #isClear([tip, tail]: readonly [Point, Point], own: number): boolean {
    const length = Math.hypot(tail[0] - tip[0], tail[1] - tip[1])
    if (!(length > 0)) return false
    const angle = (Math.atan2(tail[1] - tip[1], tail[0] - tip[0]) * 180) / Math.PI
    // As a thin box that stops short of its own outline.
    const along = (from: number, to: number): Box => ({
      centre: [
        tip[0] + ((tail[0] - tip[0]) * (from + to)) / (2 * length),
        tip[1] + ((tail[1] - tip[1]) * (from + to)) / (2 * length),
      ],
      width: to - from,
      height: 2 * LEADER_AIR,
      angle,
    })
    const bounds = boundsOf([tip, tail])
    for (const { bounds: other, segments } of this.#taken) {
      if (overlap(bounds, other) && touches(along(0, length), segments)) return false
    }
    for (const i of this.#index.search(bounds.minX, bounds.minY, bounds.maxX, bounds.maxY)) {
      const start = i === own ? Math.min(0.5, length / 2) : 0
      if (touches(along(start, length), (this.#pieces[i] ?? NOTHING).segments)) return false
    }
    return true
  }
}

/** Where room has to be looked for, it is scarce. */
const SMALLEST = LABEL_SIZES[LABEL_SIZES.length - 1]!

/** Distances of the label from its piece that are tried, mm. A longer leader is harder to follow than a list. */
const DISTANCES = [LEADER, 2.5, 4, 6, 9, 13, 18, 25, 35]
const DIRECTIONS = 16

const LEADER_AIR = 0.15

const NOTHING = obstacles([], [])

/** A point of the square from -1 to 1 by its share of the way round, from the middle of the lower side. */
function onSquare(share: number): Point {
  const t = ((share * 8 + 1) % 8) - 1
  if (t <= 1) return [t, -1]
  if (t <= 3) return [1, t - 2]
  if (t <= 5) return [4 - t, 1]
  return [-1, 6 - t]
}

/** From the point of a cut that is nearest to the box to the nearest point of the box. */
function shortestLeader(loops: readonly Loop[], box: Box): readonly [Point, Point] | undefined {
  const { centre, angle } = box
  const radians = (angle * Math.PI) / 180
  const [cos, sin] = [Math.cos(radians), Math.sin(radians)]
  const [w, h] = [box.width / 2, box.height / 2]
  let best: { cost: number; tip: Point; tail: Point } | undefined
  const consider = (px: number, py: number): void => {
    const x = (px - centre[0]) * cos + (py - centre[1]) * sin
    const y = (py - centre[1]) * cos - (px - centre[0]) * sin
    const tx = Math.max(-w, Math.min(w, x))
    const ty = Math.max(-h, Math.min(h, y))
    // Most are farther away than the best, without a root having to be drawn.
    if (best && (x - tx) * (x - tx) + (y - ty) * (y - ty) > best.cost * best.cost) return
    // Of points as near, the one before the middle of the label.
    const cost = Math.hypot(x - tx, y - ty) + 1e-3 * Math.hypot(x, y)
    if (best && cost >= best.cost - 1e-6) return
    best = { cost, tip: [px, py], tail: [centre[0] + tx * cos - ty * sin, centre[1] + tx * sin + ty * cos] }
  }
  for (const loop of loops) {
    for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
      const from = loop[j]!
      const to = loop[i]!
      const ax = from[0]
      const ay = from[1]
      const ux = to[0] - ax
      const uy = to[1] - ay
      const square = ux * ux + uy * uy
      // The foot of the box's middle first, so that a leader to a straight side stands square on it.
      const t = square > 0 ? ((centre[0] - ax) * ux + (centre[1] - ay) * uy) / square : 0
      if (t > 0 && t < 1) consider(ax + t * ux, ay + t * uy)
      consider(to[0], to[1])
    }
  }
  return best && [best.tip, best.tail]
}

/** A label at a place where it may stand, with what is asked of it for each of its rivals. */
interface Candidate extends OutsideLabel {
  /** The label's box without the air that two labels may share, and its edges. */
  readonly core: Box
  readonly edges: Float64Array
  readonly lead: Float64Array
  /** Of core and leader, and of the whole label and leader. */
  readonly bounds: Bounds
  readonly reach: Bounds
}

function candidate({ label, leader }: OutsideLabel): Candidate {
  const inner = core(label.box)
  const around = corners(inner)
  return {
    label,
    leader,
    core: inner,
    edges: obstacles([around], []).segments,
    lead: Float64Array.of(leader[0][0], leader[0][1], leader[1][0], leader[1][1]),
    bounds: boundsOf([...around, ...leader]),
    reach: boundsOf([...corners(label.box), ...leader]),
  }
}

/** By piece: the pieces whose labels may want the same room. */
function rivalsOf(open: ReadonlyMap<number, readonly Candidate[]>): Map<number, number[]> {
  const reaches = [...open].map(([number, places]) => ({ number, bounds: boundsAround(places) }))
  return new Map(
    reaches.map(({ number, bounds }) => {
      const near = reaches.filter((other) => other.number !== number && overlap(bounds, other.bounds))
      return [number, near.map((other) => other.number)]
    }),
  )
}

function boundsAround(places: readonly Candidate[]): Bounds {
  const all = { minX: Infinity, minY: Infinity, maxX: -Infinity, maxY: -Infinity }
  for (const { reach } of places) {
    all.minX = Math.min(all.minX, reach.minX)
    all.minY = Math.min(all.minY, reach.minY)
    all.maxX = Math.max(all.maxX, reach.maxX)
    all.maxY = Math.max(all.maxY, reach.maxY)
  }
  return all
}

/**
 * A place for as many as may be. Those that went without come first the next time (D. Joslin, D. Clements, "Squeaky
 * wheel optimization", 1999, title from memory), as often as that may help.
 */
function assigned(offered: ReadonlyMap<number, readonly Candidate[]>): ReadonlyMap<number, Candidate> {
  const rivals = rivalsOf(offered)
  const able = [...offered].flatMap(([number, places]) => (places.length > 0 ? [number] : []))
  const urgent = new Map<number, number>()
  let best: ReadonlyMap<number, Candidate> = new Map()
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const found = oneByOne(offered, rivals, urgent)
    const without = () => able.filter((number) => !found.has(number))
    for (const number of without()) {
      urgent.set(number, (urgent.get(number) ?? 0) + 1)
      makeRoom(number, { offered, rivals, found, tries: MOST_TRIES }, MOST_MOVED)
    }
    if (round === 0 || found.size > best.size) best = found
    if (without().length === 0) break
  }
  return best
}

/** The most urgent first, and of these the one with least to choose from, at the place that leaves most to the others. */
function oneByOne(
  offered: ReadonlyMap<number, readonly Candidate[]>, rivals: ReadonlyMap<number, readonly number[]>, urgent: ReadonlyMap<number, number>,
): Map<number, Candidate> {
  const open = new Map(offered)
  const found = new Map<number, Candidate>()
  while (open.size > 0) {
    const [number, places] = leastChoice(open, urgent)
    open.delete(number)
    const place = places.length > 1 ? leastWanted(places, rivals.get(number)!, open) : places[0]
    if (!place) continue
    found.set(number, place)
    for (const rival of rivals.get(number)!) {
      const left = open.get(rival)?.filter((other) => !inEachOthersWay(place, other))
      if (left) open.set(rival, left)
    }
  }
  return found
}

function leastChoice(
  open: ReadonlyMap<number, readonly Candidate[]>, urgent: ReadonlyMap<number, number>,
): readonly [number, readonly Candidate[]] {
  let least: readonly [number, readonly Candidate[]] | undefined
  let [most, fewest] = [-1, Infinity]
  for (const entry of open) {
    const [urgency, choice] = [urgent.get(entry[0]) ?? 0, entry[1].length]
    if (urgency < most || (urgency === most && choice >= fewest)) continue
    least = entry
    most = urgency
    fewest = choice
  }
  return least!
}

/** The place that takes least from the others: each place of another that it spoils counts by how few it has. */
function leastWanted(
  places: readonly Candidate[], rivals: readonly number[], open: ReadonlyMap<number, readonly Candidate[]>,
): Candidate {
  let best = places[0]!
  let least = Infinity
  for (const place of places) {
    let harm = 0
    for (const rival of rivals) {
      const theirs = open.get(rival)
      if (!theirs || theirs.length === 0) continue
      let spoilt = 0
      for (const other of theirs) if (inEachOthersWay(place, other)) spoilt++
      harm += spoilt === theirs.length ? LOST : spoilt / theirs.length
    }
    if (harm >= least) continue
    least = harm
    best = place
  }
  return best
}

interface Assignment {
  readonly offered: ReadonlyMap<number, readonly Candidate[]>
  readonly rivals: ReadonlyMap<number, readonly number[]>
  readonly found: Map<number, Candidate>
  tries: number
}

/** Gives a label a place from which others go to places of their own, and these send on others, if need be. */
function makeRoom(number: number, all: Assignment, depth: number): boolean {
  const { offered, rivals, found } = all
  for (const place of offered.get(number)!) {
    if (all.tries-- <= 0) return false
    const inWay = rivals.get(number)!.filter((other) => found.has(other) && inEachOthersWay(place, found.get(other)!))
    if (inWay.length > depth) continue
    const before = new Map(found)
    for (const other of inWay) found.delete(other)
    found.set(number, place)
    if (inWay.every((other) => makeRoom(other, all, depth - 1))) return true
    found.clear()
    for (const [other, its] of before) found.set(other, its)
  }
  return false
}

/** How often labels are given places anew while some are without. */
const MOST_ROUNDS = 40

/** Labels that one after the other move for a label, and places that are tried for it. */
const MOST_MOVED = 4
const MOST_TRIES = 3000

/** What it weighs to take the last place from another. */
const LOST = 100

function inEachOthersWay(a: Candidate, b: Candidate): boolean {
  if (!overlap(a.bounds, b.bounds)) return false
  if (touches(a.core, b.edges) || within(a.core.centre, b.core) || within(b.core.centre, a.core)) return true
  return touches(a.core, b.lead) || touches(b.core, a.lead)
}

function overlap(a: Bounds, b: Bounds): boolean {
  return a.minX <= b.maxX && b.minX <= a.maxX && a.minY <= b.maxY && b.minY <= a.maxY
}

function within([x, y]: Point, { centre, width, height, angle }: Box): boolean {
  const radians = (angle * Math.PI) / 180
  const [dx, dy] = [x - centre[0], y - centre[1]]
  const along = dx * Math.cos(radians) + dy * Math.sin(radians)
  const across = dy * Math.cos(radians) - dx * Math.sin(radians)
  return Math.abs(along) <= width / 2 && Math.abs(across) <= height / 2
}
