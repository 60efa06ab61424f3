import { Groups } from '../../shape/groups'
import { addTo } from '../../shape/lists'
import type { Bounds, Loop, Point } from '../../shape/point'
import { boxesNear, contains, distanceBetween, type Part } from '../near'
import { isRightAmong, type Rules } from '../neighbours'
import type { NestPiece, Placement } from '../nest'
import { type Contact, runsOut, SHARED_WITHIN, sharedCuts, STRAIGHT_ON } from '../sharedCut'
import { type Side, squaredLike, squaredOff } from '../side'
import { boundsOf, placeLoop } from '../turn'
import { placedPart, TOLERANCE, usedParts } from '../verify'
import type { Kinds } from './kinds'
import { SolidMasks, SolidRaster } from './solid'
import { type Item, onGrid, type Plan, toPlacement } from './plan'

/** Where a piece might lie edge to edge with others. */
export interface Spot {
  /** Number of the turn among those the shape offers. */
  readonly turn: number
  readonly placement: Placement
  /** Outline's bounds on the whole card. */
  readonly box: Bounds
  /** Tells the spot on its sheet, for pieces of the same outline. */
  readonly key: number
}

/** Straight edges of shapes, sorted by length and direction: what may lie edge to edge is found by a look in a table. */
export class Edges {
  readonly solids = new SolidMasks()
  private readonly classes: { readonly length: number; readonly angle: number }[] = []
  private readonly directions: number[] = []
  private readonly placed = new WeakMap<Item, Part>()
  private readonly turned = new Map<NestPiece, (readonly Loop[])[]>()
  private readonly byPiece = new Map<NestPiece, Form>()
  private readonly byText = new Map<string, Form>()
  private count = 0

  /** By turn: edges of a piece that is turned about its own origin. */
  of(piece: NestPiece): readonly (readonly TurnedEdge[])[] {
    return this.form(piece).edges
  }

  /** The same number for pieces that differ in name and label only. */
  formOf(piece: NestPiece): number {
    return this.form(piece).number
  }

  private form(piece: NestPiece): Form {
    let found = this.byPiece.get(piece)
    if (found) return found
    const { outline, openings, turns } = piece
    const text = JSON.stringify([outline, openings, turns])
    found = this.byText.get(text)
    if (!found) {
      found = { number: this.byText.size, edges: turns.map((turn) => this.edgesAt(placeLoop(outline, turn))) }
      this.byText.set(text, found)
    }
    this.byPiece.set(piece, found)
    return found
  }

  /** What lies on a sheet from the start is placed, and looked at for its sides, once for all attempts. */
  lying(item: Item, place: () => Part): Part {
    let part = this.placed.get(item)
    if (!part) this.placed.set(item, (part = place()))
    return part
  }

  /** What `placedPart` gives, without turning the outline and looking for its sides each time. */
  partAt(piece: NestPiece, turn: number, { x, y }: Placement, box: Bounds): Part {
    let turned = this.turned.get(piece)
    if (!turned) this.turned.set(piece, (turned = []))
    const rings = (turned[turn] ??= [piece.outline, ...piece.openings].map((loop) => placeLoop(loop, piece.turns[turn]!)))
    const moved = rings.map((loop) => loop.map(([px, py]): Point => [px + x, py + y]))
    squaredLike(moved[0]!, rings[0]!, x, y)
    return { id: piece.id, rings: moved, box, fixed: false }
  }

  private edgesAt(outline: Loop): TurnedEdge[] {
    const around = boundsOf(outline)
    return squaredOff(outline).sides.flatMap((side) => {
      const { from, to } = side
      const length = Math.hypot(to[0] - from[0], to[1] - from[1])
      if (length < LEAST_EDGE) return []
      const along = outline.map(([x, y]) => (x * (to[0] - from[0]) + y * (to[1] - from[1])) / length)
      // Pieces that hang together by the ends of their tabs only are tedious to cut, and save little.
      if (length < LEAST_SHARE * (Math.max(...along) - Math.min(...along))) return []
      return [this.classed(side, length, around)]
    })
  }

  /** With the class of the edge, and of those that may lie on it. */
  private classed(side: Side, length: number, around: Bounds): TurnedEdge {
    const { from, to } = side
    const angle = (Math.atan2(to[1] - from[1], to[0] - from[0]) * 180) / Math.PI
    const classes = { own: this.classOf(length, angle), facing: this.classOf(length, angle + 180) }
    const directions = { direction: this.directionOf(angle), opposite: this.directionOf(angle + 180) }
    return { ...side, id: this.count++, length, around, ...classes, ...directions }
  }

  private classOf(length: number, angle: number): number {
    const found = this.classes.findIndex((one) => {
      return Math.abs(one.length - length) <= 2 * SHARED_WITHIN && Math.abs(turnBetween(one.angle, angle)) * length <= 10 * SHARED_WITHIN * 57
    })
    return found >= 0 ? found : this.classes.push({ length, angle }) - 1
  }

  private directionOf(angle: number): number {
    const found = this.directions.findIndex((one) => Math.abs(turnBetween(one, angle)) <= SAME_DIRECTION)
    return found >= 0 ? found : this.directions.push(angle) - 1
  }
}

interface Form {
  readonly number: number
  readonly edges: readonly (readonly TurnedEdge[])[]
}

function turnBetween(a: number, b: number): number {
  return ((((a - b) % 360) + 540) % 360) - 180
}

export interface TurnedEdge extends Side {
  readonly id: number
  readonly length: number
  /** Of the whole outline at that turn. */
  readonly around: Bounds
  /** Class of edges of its length and direction, and of those that are as long and face it. */
  readonly own: number
  readonly facing: number
  /** Class of edges of its direction, and of those that face it. */
  readonly direction: number
  readonly opposite: number
}

/** What lies on one sheet, for pieces that are to be laid edge to edge with it. */
export class Neighbourhood {
  private readonly kinds: Kinds
  private readonly edges: Edges
  private readonly plan: Plan
  private readonly gap: number
  private readonly rules: Rules
  private readonly parts: Part[] = []
  private readonly labels: Part[] = []
  private readonly open = new Map<number, OpenEdge[]>()
  /** Spots that are no use, for any piece of the same outline and for those of one shape. */
  private readonly failed = new Set<number>()
  private readonly refused = new Map<number, Set<number>>()
  private readonly solid: SolidRaster
  /** Pieces that hang together. */
  private readonly bundles = new Groups<Part>()
  /** What lies edge to edge with a piece. */
  private readonly beside = new Map<Part, Part[]>()
  /** What is cut out later than a piece, for its side is shorter. */
  private readonly after = new Map<Part, Part[]>()
  private count = 0

  constructor(kinds: Kinds, edges: Edges, plan: Plan, gap: number) {
    this.kinds = kinds
    this.edges = edges
    this.plan = plan
    this.gap = gap
    this.rules = { gap, tolerance: TOLERANCE, shared: true }
    this.solid = new SolidRaster(edges.solids, plan.sheet.area)
    this.parts.push(...usedParts(plan.sheet))
    for (const item of plan.items) if (item.piece) this.add(item)
  }

  /** Takes in what has been laid. */
  add(item: Item): void {
    const { kinds, plan, parts, labels } = this
    const piece = item.piece!
    const shape = kinds.shapes[item.shape]!
    const placement = toPlacement(piece.id, item, shape, plan)
    const part = this.edges.lying(item, () => placedPart(piece, placement))
    for (const other of parts) {
      for (const { first } of contactsOf(part, other)) {
        this.bundles.join(part, other)
        addTo(this.beside, part, other)
        addTo(this.beside, other, part)
        if (first === 'a') addTo(this.after, part, other)
        if (first === 'b') addTo(this.after, other, part)
      }
    }
    parts.push(part)
    this.solid.add(item, part)
    if (shape.label) {
      const { minX, minY } = plan.sheet.area
      const loop = placeLoop(shape.label, placement.turn, item.x + minX, item.y + minY)
      labels.push({ id: 'label', rings: [loop], box: boundsOf(loop), fixed: true })
    }
    const turn = piece.turns.indexOf(placement.turn)
    for (const edge of this.edges.of(piece)[turn] ?? []) {
      const moved = ([x, y]: Point): Point => [x + placement.x, y + placement.y]
      addTo(this.open, edge.direction, { ...edge, number: this.count++, from: moved(edge.from), to: moved(edge.to) })
    }
  }

  /** Steps taken so far. */
  get asked(): number {
    return this.solid.asked
  }

  /**
   * Places edge to edge with something that lies here and within the area; some may be taken.
   * @param shape the piece's, which its label goes by
   * @param isOffered whether a place with such bounds is wanted
   */
  spots(piece: NestPiece, shape: number, isOffered: (box: Bounds) => boolean): Spot[] {
    const { area } = this.plan.sheet
    const spots: Spot[] = []
    const offer = (turn: number, edge: TurnedEdge, other: OpenEdge, way: number, dx: number, dy: number): void => {
      const { around } = edge
      const [x, y] = [onGrid(dx), onGrid(dy)]
      const box = { minX: around.minX + x, minY: around.minY + y, maxX: around.maxX + x, maxY: around.maxY + y }
      if (!isWithin(box, area) || !isOffered(box)) return
      const key = (other.number * MOST_EDGES + edge.id) * MOST_WAYS + way
      if (this.failed.has(key) || this.refused.get(shape)?.has(key)) return
      if (this.solid.overlaps(piece, turn, box)) this.failed.add(key)
      else spots.push({ turn, placement: { id: piece.id, sheet: 0, x, y, turn: piece.turns[turn]! }, box, key })
    }
    for (const [turn, edges] of this.edges.of(piece).entries()) {
      for (const edge of edges) {
        for (const other of this.open.get(edge.opposite) ?? []) eachWay(edge, other, (way, dx, dy) => offer(turn, edge, other, way, dx, dy))
      }
    }
    return spots
  }

  /** Whether the piece may lie there; where it may not, the spot is not offered again. */
  isRight(piece: NestPiece, { turn, placement, box, key }: Spot): boolean {
    const part = this.edges.partAt(piece, turn, placement, box)
    const right = this.mayLie(part) && this.labels.every((label) => !boxesNear(label.box, box, this.gap) || isClear(part, label, this.gap / 2))
    if (!right) this.failed.add(key)
    return right
  }

  private mayLie(part: Part): boolean {
    const { gap, parts } = this
    const others = parts.filter(({ box }) => boxesNear(box, part.box, gap))
    const contacts = new Map(others.map((other) => [other, contactsOf(part, other)]))
    // What is soon told comes first: whether all that is too near hangs together with what the part lies edge to edge with.
    const touching = others.filter((other) => contacts.get(other)!.length > 0)
    const together = (other: Part) => touching.some((one) => this.bundles.together(one, other))
    if (others.some((other) => !together(other) && distanceBetween(part, other, gap, gap - TOLERANCE) < gap - TOLERANCE)) return false
    if (this.isInRing(contacts)) return false
    // The longer sides that it lies on become cuts: from end to end, where others may be in the way.
    const ends = [...contacts.values()].flatMap((list) => list.flatMap(({ b, first }) => (first === 'b' ? [b.from, b.to] : [])))
    const around = boundsOf([...ends, [part.box.minX, part.box.minY], [part.box.maxX, part.box.maxY]])
    const there = new Set(ends.length === 0 ? others : parts.filter(({ box }) => boxesNear(box, around, gap)))
    // And which of their sides are cuts is told by what lies along these, however far off.
    const beyond = [...there].flatMap((other) => this.beside.get(other) ?? [])
    return isRightAmong(part, [...new Set([...there, ...beyond])], this.rules, around)
  }

  /** Whether a part with these contacts would have to be cut out both before and after some other. */
  private isInRing(contacts: ReadonlyMap<Part, readonly Contact[]>): boolean {
    const firsts = new Set([...contacts].flatMap(([other, list]) => (list.some(({ first }) => first === 'b') ? [other] : [])))
    const open = [...contacts].flatMap(([other, list]) => (list.some(({ first }) => first === 'a') ? [other] : []))
    if (firsts.size === 0 || open.length === 0) return false
    const seen = new Set(open)
    for (let one = open.pop(); one; one = open.pop()) {
      if (firsts.has(one)) return true
      for (const next of this.after.get(one) ?? []) {
        if (seen.has(next)) continue
        seen.add(next)
        open.push(next)
      }
    }
    return false
  }

  /** A spot with no room for the label that goes with a shape is not offered for it again. */
  refuse({ key }: Spot, shape: number): void {
    const there = this.refused.get(shape)
    if (there) there.add(key)
    else this.refused.set(shape, new Set([key]))
  }
}

function contactsOf({ rings: [a], box, fixed }: Part, { rings: [b], box: other, fixed: used }: Part): readonly Contact[] {
  return fixed || used || !boxesNear(box, other, BESIDE) ? [] : sharedCuts(a!, b!)
}

/** An edge of what lies on a sheet, where it lies. */
interface OpenEdge extends TurnedEdge {
  /** Among all edges on the sheet. */
  readonly number: number
}

/** How far an edge has to be moved to lie on another: of equal ones once, else with one or the other end in line. */
function eachWay(edge: TurnedEdge, other: OpenEdge, tell: (way: number, dx: number, dy: number) => void): void {
  const [{ from, to }, { from: start, to: end }] = [edge, other]
  if (edge.facing === other.own) {
    if (!runsOut(edge.fromAngle, other.toAngle) || !runsOut(edge.toAngle, other.fromAngle)) return
    tell(0, (end[0] - from[0] + start[0] - to[0]) / 2, (end[1] - from[1] + start[1] - to[1]) / 2)
    return
  }
  const shorter = edge.length < other.length ? edge : other
  const [atFrom, atTo] = [runsOut(shorter.fromAngle, STRAIGHT_ON), runsOut(shorter.toAngle, STRAIGHT_ON)]
  const [beginsAlone, endsAlone] = shorter === edge ? [atFrom, atTo] : [atTo, atFrom]
  if (endsAlone && runsOut(edge.fromAngle, other.toAngle)) tell(0, end[0] - from[0], end[1] - from[1])
  if (beginsAlone && runsOut(edge.toAngle, other.fromAngle)) tell(1, start[0] - to[0], start[1] - to[1])
}

/** A row of pieces may drift off the border by as much as placements are rounded. */
function isWithin(box: Bounds, area: Bounds): boolean {
  const by = (3 * TOLERANCE) / 4
  return box.minX >= area.minX - by && box.minY >= area.minY - by && box.maxX <= area.maxX + by && box.maxY <= area.maxY + by
}

function isClear(part: Part, label: Part, by: number): boolean {
  return distanceBetween(part, label, by) >= by && !contains(part, label.rings[0]![0]!)
}

const MOST_EDGES = 65_536
const MOST_WAYS = 2

/** Boxes of what lies edge to edge are no further apart, mm. */
const BESIDE = 0.01

/** Edges along one rule differ by no more than this, degrees. */
const SAME_DIRECTION = 0.01

/** Share of a piece's extent that an edge to be shared makes up. */
const LEAST_SHARE = 0.5

/** Shorter edges are not worth the search, mm: small pieces are held apart by their labels as it is. */
const LEAST_EDGE = 10
