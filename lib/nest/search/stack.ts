import type { Bounds, Loop, Point, Region } from '../../shape/point'
import { boxesNear } from '../near'
import { neighbourFaults } from '../neighbours'
import { runsOut } from '../sharedCut'
import { boundsOf, placeLoop } from '../turn'
import { placedPart, TOLERANCE } from '../verify'
import type { Edges, TurnedEdge } from './join'
import type { Kinds } from './kinds'
import type { Waiting } from './plan'

/** Alike pieces that are laid as one, edge to edge; each has its own origin at an offset from that of the first. */
export interface Stack {
  /** Of all of them together, about the middle of all, in the axes of the first. */
  readonly shape: number
  readonly members: readonly { readonly waiting: Waiting; readonly offset: Point }[]
  /** By way of labelling them; with the room about the middle of the stack. */
  readonly labellings: readonly Labelling[]
}

/** The place of each member's label, and the room for all. */
export interface Labelling {
  readonly places: readonly (number | undefined)[]
  readonly room: Region
}

/**
 * Finds pieces that may be laid as one: rows and blocks of the same outline, and stacks of strips that are equal in
 * length only. What they make together is no larger than is asked for, so that it does not become hard to place itself.
 */
export class Stacks {
  private readonly kinds: Kinds
  private readonly edges: Edges
  private readonly gap: number
  /** By shapes and offsets, labels and all. */
  private readonly known = new Map<string, Omit<Stack, 'members'> | undefined>()
  /** By outlines and offsets; undefined where they cannot lie so. */
  private readonly shapes = new Map<string, number | undefined>()
  private readonly pairs = new Map<readonly TurnedEdge[], readonly Through[]>()

  constructor(kinds: Kinds, edges: Edges, gap: number) {
    this.kinds = kinds
    this.edges = edges
    this.gap = gap
  }

  /**
   * Stacks that begin with the first of the list, the largest first.
   * @param list alike or not, in the order they are wanted
   * @param limit most that a stack may measure across its cuts, mm
   */
  *from(list: readonly Waiting[], limit: number): Generator<Stack> {
    const [first] = list
    const through = this.throughOf(first!)
    const [a, b] = through
    if (!a) return
    const same = list.filter((one) => this.isAlike(one, first!))
    const alike = same.filter((one) => this.edgesOf(one) === this.edgesOf(first!))
    let across = Math.max(1, Math.min(powerOfTwo(alike.length), Math.floor(limit / size(a.step))))
    let up = b ? Math.max(1, Math.min(powerOfTwo(alike.length / across), Math.floor(limit / size(b.step)))) : 1
    const row = this.rowOf(same, limit)
    if (row.length > across * up) yield* this.halving(row)
    for (; across * up > 1; [across, up] = up > 1 ? [across, up >> 1] : [across >> 1, 1]) {
      const members = alike.slice(0, across * up).map((waiting, i) => {
        const [k, l] = [i % across, Math.floor(i / across)]
        return { waiting, offset: [k * a.step[0] + l * (b?.step[0] ?? 0), k * a.step[1] + l * (b?.step[1] ?? 0)] as const }
      })
      const stack = this.make(members)
      if (stack) yield stack
    }
  }

  private *halving(row: Stack['members']): Generator<Stack> {
    for (let count = powerOfTwo(row.length); count > 1; count >>= 1) {
      const stack = this.make(row.slice(0, count))
      if (stack) yield stack
    }
  }

  /** Pieces one on the other, each with its lower edge on the upper one of the last. */
  private rowOf(list: readonly Waiting[], limit: number): Stack['members'] {
    const [first] = list
    let [last] = this.throughOf(first!)
    const members: { waiting: Waiting; offset: Point }[] = [{ waiting: first!, offset: [0, 0] }]
    let reach = size(last!.step)
    for (const waiting of list.slice(1)) {
      const next = this.throughOf(waiting).find(({ lower }) => lower.own === last!.upper.facing && goTogether(last!.upper, lower))
      if (!next || reach + size(next.step) > limit) continue
      const [x, y] = members.at(-1)!.offset
      members.push({
        waiting,
        offset: [x + last!.upper.from[0] - next.lower.to[0], y + last!.upper.from[1] - next.lower.to[1]],
      })
      reach += size(next.step)
      last = next
    }
    return members
  }

  private isAlike({ piece }: Waiting, { piece: other }: Waiting): boolean {
    return piece.turns.length === other.turns.length && piece.turns.every((turn, i) => turn === other.turns[i])
  }

  private edgesOf({ piece }: Waiting): readonly TurnedEdge[] {
    return this.edges.of(piece)[0] ?? []
  }

  private throughOf(waiting: Waiting): readonly Through[] {
    const edges = this.edgesOf(waiting)
    let found = this.pairs.get(edges)
    if (!found) this.pairs.set(edges, (found = throughs(edges)))
    return found
  }

  /** @param turned members as they lie at the first of their turns */
  private make(turned: Stack['members']): Stack | undefined {
    const members = turned.map(({ waiting, offset }) => {
      const [back] = placeLoop([offset], -waiting.piece.turns[0]!)
      return { waiting, offset: back! }
    })
    const key = members.map(({ waiting, offset }) => `${waiting.shape} ${offset.join(' ')}`).join('|')
    if (!this.known.has(key)) this.known.set(key, this.build(members))
    const found = this.known.get(key)
    return found && { ...found, members }
  }

  private build(members: Stack['members']): Omit<Stack, 'members'> | undefined {
    const shape = this.shapeOf(members)
    if (shape === undefined) return undefined
    const [mx, my] = this.kinds.shapes[shape]!.middle
    const about = (loop: Loop) => loop.map(([x, y]): Point => [x - mx, y - my])
    const found = labellings(this.kinds, members, this.gap).map(({ places, room }): Labelling => ({ places, room: room.map(about) }))
    return found.length > 0 ? { shape, labellings: found } : undefined
  }

  private shapeOf(members: Stack['members']): number | undefined {
    const form = members.map(({ waiting: { piece }, offset }) => `${this.edges.formOf(piece)} ${offset.join(' ')}`).join('|')
    if (!this.shapes.has(form)) {
      const moved = (loop: Loop, [x, y]: Point) => placeLoop(loop, 0, x, y)
      const outlines = members.map(({ waiting: { piece }, offset }) => moved(piece.outline, offset))
      const openings = members.flatMap(({ waiting: { piece }, offset }) => piece.openings.map((loop) => moved(loop, offset)))
      const { turns } = members[0]!.waiting.piece
      this.shapes.set(form, this.isRight(members) ? this.kinds.addGroup(outlines, openings, turns) : undefined)
    }
    return this.shapes.get(form)
  }

  /** Narrow ones may be too near others across those between, where outlines are not as plain as they look. */
  private isRight(members: Stack['members']): boolean {
    const parts = members.map(({ waiting: { piece }, offset: [x, y] }) => placedPart(piece, { id: piece.id, sheet: 0, x, y, turn: 0 }))
    return neighbourFaults(parts, 0, { gap: this.gap, tolerance: TOLERANCE, shared: true }).length === 0
  }
}

/**
 * Each label where it meets no card and no other label; once beginning at one end, once at the other. Where it finds no
 * place for one, nothing.
 */
export function labellings(kinds: Kinds, members: Stack['members'], gap: number): Labelling[] {
  if (members.every(({ waiting }) => kinds.placesOf(waiting.shape).length === 0)) {
    return [{ places: members.map(() => undefined), room: [] }]
  }
  const cards = members.map(({ waiting: { piece }, offset: [x, y] }) => placeLoop(piece.outline, 0, x, y))
  const boxes = cards.map(boundsOf)
  const away = Math.max(gap / 2, LEAST_AIR)
  const ways = [false, true].flatMap((backwards): Labelling[] => {
    const room: Loop[] = []
    const around: Bounds[] = []
    const places: (number | undefined)[] = []
    for (const [i, { waiting, offset }] of members.entries()) {
      const options = kinds.placesOf(waiting.shape)
      if (options.length === 0) {
        places.push(undefined)
        continue
      }
      const [cx, cy] = kinds.shapes[waiting.shape]!.middle
      const order = backwards && i === 0 ? [...options.keys()].toReversed() : [...options.keys()]
      const loopAt = (k: number) => placeLoop(options[k]!, 0, offset[0] + cx, offset[1] + cy)
      const isFree = (box: Bounds) =>
        !boxes.some((other, k) => k !== i && boxesNear(box, other, away)) && !around.some((other) => boxesNear(box, other, 0))
      const place = order.find((k) => isFree(boundsOf(loopAt(k))))
      if (place === undefined) return []
      places.push(place)
      room.push(loopAt(place))
      around.push(boundsOf(room.at(-1)!))
    }
    return [{ places, room }]
  })
  return ways.filter((way, i) => ways.findIndex(({ places }) => String(places) === String(way.places)) === i)
}

/** So that few different stacks are made, each but once. */
function powerOfTwo(most: number): number {
  return 2 ** Math.floor(Math.log2(most))
}

/** Two edges of a piece that face away from each other: others may lie on both, one after the other. */
export interface Through {
  readonly lower: TurnedEdge
  readonly upper: TurnedEdge
  /** From a piece to the next of its kind. */
  readonly step: Point
}

/** Longest first, one for each direction. */
export function throughs(edges: readonly TurnedEdge[]): Through[] {
  const found: (Through & { readonly length: number })[] = []
  for (const [i, upper] of edges.entries()) {
    for (const lower of edges.slice(0, i)) {
      if (lower.own !== upper.facing || !goTogether(upper, lower)) continue
      const step: Point = [upper.from[0] - lower.to[0], upper.from[1] - lower.to[1]]
      const length = Math.hypot(upper.to[0] - upper.from[0], upper.to[1] - upper.from[1])
      found.push({ lower, upper, step, length })
    }
  }
  return found.toSorted((a, b) => b.length - a.length).slice(0, 2)
}

function goTogether(a: TurnedEdge, b: TurnedEdge): boolean {
  return runsOut(a.fromAngle, b.toAngle) && runsOut(a.toAngle, b.fromAngle)
}

function size([x, y]: Point): number {
  return Math.hypot(x, y)
}

/** Between a label and the card of others, mm: the drawing wants a little. */
const LEAST_AIR = 0.35
