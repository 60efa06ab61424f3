import type { Bounds, Loop, Point } from '../../shape/point'
import { contains, distanceBetween, type Part } from '../near'
import { isRightAmong } from '../neighbours'
import type { NestPiece, Placement } from '../nest'
import { runsOut, SHARED_WITHIN, type StraightEdge, straightEdges } from '../sharedCut'
import { boundsOf, placeLoop } from '../turn'
import { placedPart, TOLERANCE, usedParts } from '../verify'
import type { Kinds } from './kinds'
import { type Item, onGrid, type Plan, toPlacement } from './plan'

/** Where a piece might lie edge to edge with others. */
export interface Spot {
  /** Number of the turn among those the shape offers. */
  readonly turn: number
  readonly placement: Placement
  /** Outline's bounds on the whole card. */
  readonly box: Bounds
  /** Tells the spot on its sheet, for pieces of the same shape. */
  readonly key: number
}

/** Straight edges of shapes, sorted by length and direction: what may lie edge to edge is found by a look in a table. */
export class Edges {
  private readonly classes: { readonly length: number; readonly angle: number }[] = []
  private readonly byPiece = new Map<NestPiece, readonly (readonly TurnedEdge[])[]>()
  private readonly byText = new Map<string, readonly (readonly TurnedEdge[])[]>()
  private count = 0

  /** By turn: edges of a piece that is turned about its own origin. */
  of(piece: NestPiece): readonly (readonly TurnedEdge[])[] {
    let found = this.byPiece.get(piece)
    if (found) return found
    const { outline, openings, turns } = piece
    const text = JSON.stringify([outline, openings, turns])
    found = this.byText.get(text) ?? turns.map((turn) => this.edgesAt(placeLoop(outline, turn)))
    this.byPiece.set(piece, found)
    this.byText.set(text, found)
    return found
  }

  private edgesAt(outline: Loop): TurnedEdge[] {
    return straightEdges(outline).flatMap((edge) => {
      const { from, to } = edge
      const length = Math.hypot(to[0] - from[0], to[1] - from[1])
      if (length < LEAST_EDGE) return []
      const along = outline.map(([x, y]) => (x * (to[0] - from[0]) + y * (to[1] - from[1])) / length)
      // Pieces that hang together by the ends of their tabs only are tedious to cut, and save little.
      if (length < LEAST_SHARE * (Math.max(...along) - Math.min(...along))) return []
      return [this.turned(edge, length)]
    })
  }

  /** With the class of the edge, and of those that may lie on it. */
  private turned(edge: StraightEdge, length: number): TurnedEdge {
    const { from, to } = edge
    const angle = (Math.atan2(to[1] - from[1], to[0] - from[0]) * 180) / Math.PI
    return { ...edge, id: this.count++, own: this.classOf(length, angle), facing: this.classOf(length, angle + 180) }
  }

  private classOf(length: number, angle: number): number {
    const found = this.classes.findIndex((one) => {
      const off = ((((one.angle - angle) % 360) + 540) % 360) - 180
      return Math.abs(one.length - length) <= 2 * SHARED_WITHIN && Math.abs(off) * length <= 10 * SHARED_WITHIN * 57
    })
    return found >= 0 ? found : this.classes.push({ length, angle }) - 1
  }
}

export interface TurnedEdge extends StraightEdge {
  readonly id: number
  readonly own: number
  readonly facing: number
}

/** What lies on one sheet, for pieces that are to be laid edge to edge with it. */
export class Neighbourhood {
  private readonly kinds: Kinds
  private readonly edges: Edges
  private readonly plan: Plan
  private readonly gap: number
  private readonly parts: Part[] = []
  private readonly labels: Part[] = []
  private readonly open = new Map<number, { readonly id: number; readonly edge: StraightEdge }[]>()
  private readonly failed = new Set<number>()
  private count = 0

  constructor(kinds: Kinds, edges: Edges, plan: Plan, gap: number) {
    this.kinds = kinds
    this.edges = edges
    this.plan = plan
    this.gap = gap
    this.parts.push(...usedParts(plan.sheet))
    for (const item of plan.items) if (item.piece) this.add(item)
  }

  /** Takes in what has been laid. */
  add(item: Item): void {
    const { kinds, plan, parts, labels } = this
    const piece = item.piece!
    const shape = kinds.shapes[item.shape]!
    const placement = toPlacement(piece.id, item, shape, plan)
    parts.push(placedPart(piece, placement))
    if (shape.label) {
      const { minX, minY } = plan.sheet.area
      const loop = placeLoop(shape.label, placement.turn, item.x + minX, item.y + minY)
      labels.push({ id: 'label', rings: [loop], box: boundsOf(loop), fixed: true })
    }
    const turn = piece.turns.indexOf(placement.turn)
    for (const { from, to, fromAngle, toAngle, own } of this.edges.of(piece)[turn] ?? []) {
      const moved = ([x, y]: Point): Point => [x + placement.x, y + placement.y]
      const list = this.open.get(own)
      const entry = { id: this.count++, edge: { from: moved(from), to: moved(to), fromAngle, toAngle } }
      if (list) list.push(entry)
      else this.open.set(own, [entry])
    }
  }

  /** Places edge to edge with something that lies here and within the area; some may be taken. */
  spots(piece: NestPiece): Spot[] {
    const { area } = this.plan.sheet
    return this.edges.of(piece).flatMap((edges, turn) => {
      let around: Bounds | undefined
      return edges.flatMap((edge) =>
        (this.open.get(edge.facing) ?? []).flatMap(({ id, edge: other }): Spot[] => {
          const key = id * MOST_EDGES + edge.id
          if (this.failed.has(key)) return []
          if (!runsOut(edge.fromAngle, other.toAngle) || !runsOut(edge.toAngle, other.fromAngle)) return []
          const x = onGrid((other.to[0] - edge.from[0] + other.from[0] - edge.to[0]) / 2)
          const y = onGrid((other.to[1] - edge.from[1] + other.from[1] - edge.to[1]) / 2)
          around ??= boundsOf(placeLoop(piece.outline, piece.turns[turn]!))
          const box = { minX: around.minX + x, minY: around.minY + y, maxX: around.maxX + x, maxY: around.maxY + y }
          if (!isWithin(box, area)) return []
          return [{ turn, placement: { id: piece.id, sheet: 0, x, y, turn: piece.turns[turn]! }, box, key }]
        }),
      )
    })
  }

  /** Whether the piece may lie there; where it may not, the spot is not offered again. */
  isRight(piece: NestPiece, { placement, box, key }: Spot): boolean {
    const { gap } = this
    const near = ({ box: other }: Part) =>
      other.minX < box.maxX + gap && other.maxX > box.minX - gap && other.minY < box.maxY + gap && other.maxY > box.minY - gap
    const part = placedPart(piece, placement)
    const rules = { gap, tolerance: TOLERANCE, shared: true }
    const right =
      isRightAmong(part, this.parts.filter(near), rules) &&
      this.labels.every((label) => !near(label) || isClear(part, label, gap / 2))
    if (!right) this.failed.add(key)
    return right
  }
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

/** Share of a piece's extent that an edge to be shared makes up. */
const LEAST_SHARE = 0.5

/** Shorter edges are not worth the search, mm. */
const LEAST_EDGE = 3
