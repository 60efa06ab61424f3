import type { Bounds, Point } from '../../shape/point'
import type { Part } from '../near'
import { neighbourFaults } from '../neighbours'
import type { NestSheet } from '../nest'
import { boundsOf, placeLoop } from '../turn'
import { placedPart, TOLERANCE } from '../verify'
import type { Edges } from './join'
import type { Kinds } from './kinds'
import type { Block } from './pattern'
import { type Item, type Plan, toPlacement, type Waiting } from './plan'
import { originOf } from './shape'
import { labellings, throughs } from './stack'

/** Pieces of one outline in rows and columns, at one of their turns. */
export interface PlateBlock extends Block {
  readonly outline: string
  readonly turn: number
  readonly columns: number
  readonly rows: number
  /** From a piece to the next in its row and in its column, mm. */
  readonly pitch: { readonly across: number; readonly up: number }
}

/** A piece as a pattern lays it. */
export interface SetOutItem {
  readonly waiting: Waiting
  /** Without its label. */
  readonly item: Item
  /** Number of its label's place. */
  readonly place: number | undefined
}

/** The blocks that pieces of one outline can be laid in: edge to edge where they may be, otherwise a gap apart. */
export class Blocks {
  /** Between blocks and pieces, with what rounding may take of it, mm. */
  readonly gap: number
  private readonly kinds: Kinds
  private readonly edges: Edges
  private readonly shared: boolean
  /** By sheet and outline. */
  private readonly known = new Map<string, readonly PlateBlock[]>()
  /** By outline, turn, columns and rows: whether pieces may lie so. */
  private readonly right = new Map<string, boolean>()

  /** @param shared whether pieces may lie edge to edge */
  constructor(kinds: Kinds, edges: Edges, gap: number, shared: boolean) {
    this.gap = gap + ROUNDING
    this.kinds = kinds
    this.edges = edges
    this.shared = shared
  }

  /**
   * Every way to lay some of them in rows and columns that goes on a sheet; none where even the best leaves much of its
   * box free. How many there may be is asked once: there have to be all pieces in the list the first time.
   */
  of(outline: string, list: readonly Waiting[], { area }: NestSheet): readonly PlateBlock[] {
    const [width, height] = [area.maxX - area.minX, area.maxY - area.minY]
    const key = `${width} ${height} ${outline}`
    let found = this.known.get(key)
    if (!found) this.known.set(key, (found = this.all(outline, list, width, height)))
    return found
  }

  /** A block's pieces; none where their labels need more room than was reckoned with, or where they may not lie so. */
  itemsOf(block: PlateBlock, members: readonly Waiting[], x: number, y: number, plan: Plan): SetOutItem[] {
    const { kinds } = this
    const room = this.roomFor(block, members)
    if (!room || room.width > block.width + ROUNDING || room.height > block.height + ROUNDING) return []
    const items = cornersOf(block).map(([left, low], i): Item => {
      const { piece, shape } = members[i]!
      const { box } = kinds.shapes[shape]!.turned[block.turn]!
      return { piece, shape, turn: block.turn, x: x + room.corner[0] + left - box.minX, y: y + room.corner[1] + low - box.minY, fixed: false }
    })
    if (!this.mayLie(block, items, plan)) return []
    return items.map((item, i) => ({ waiting: members[i]!, item, place: room.places[i] }))
  }

  private all(outline: string, list: readonly Waiting[], width: number, height: number): PlateBlock[] {
    const [{ shape }] = list as [Waiting]
    const { area, turned } = this.kinds.shapes[shape]!
    const found: PlateBlock[] = []
    const poses: Bounds[] = []
    for (const [turn, { box }] of turned.entries()) {
      const [wide, high] = [box.maxX - box.minX, box.maxY - box.minY]
      if (area < LEAST_FILLED * wide * high || poses.some((other) => isAsLarge(other, box))) continue
      poses.push(box)
      const pitch = this.pitchOf(list[0]!, turn)
      const sized = (columns: number, rows: number): PlateBlock | undefined => {
        const count = columns * rows
        const block = { plate: 0, outline, turn, columns, rows, count, pitch, area: count * area, width: 0, height: 0 }
        const room = this.roomFor(block, list.slice(0, count))
        if (!room) return undefined
        // Labels are not all as long.
        const spare = (size: number, card: number) => (size > card + ROUNDING ? size + LABEL_SPARE : size)
        const [cardWidth, cardHeight] = [wide + (columns - 1) * pitch.across, high + (rows - 1) * pitch.up]
        return { ...block, width: spare(room.width, cardWidth), height: spare(room.height, cardHeight) }
      }
      const mostColumns = Math.min(list.length, howMany(width, wide, pitch.across))
      const mostRows = Math.min(list.length, howMany(height, high, pitch.up))
      const samples = [sized(1, 1), sized(Math.min(mostColumns, ENOUGH), 1), sized(1, Math.min(mostRows, ENOUGH))]
      if (!samples.some((block) => block && isPlate(block))) continue
      for (let columns = 1; columns <= mostColumns; columns++) {
        for (let rows = 1; rows <= mostRows && columns * rows <= list.length; rows++) {
          const block = sized(columns, rows)
          if (block && block.width <= width && block.height <= height) found.push(block)
        }
      }
    }
    return found
  }

  private pitchOf({ piece, shape }: Waiting, turn: number): PlateBlock['pitch'] {
    const { box } = this.kinds.shapes[shape]!.turned[turn]!
    const pitch = { across: box.maxX - box.minX + this.gap, up: box.maxY - box.minY + this.gap }
    if (!this.shared) return pitch
    const at = (x: number, y: number) => placedPart(piece, { id: piece.id, sheet: 0, x, y, turn: piece.turns[turn]! })
    for (const { step: [x, y] } of throughs(this.edges.of(piece)[turn] ?? [])) {
      if (!this.areRight([at(0, 0), at(x, y)])) continue
      if (Math.abs(y) < ROUNDING) pitch.across = Math.abs(x)
      if (Math.abs(x) < ROUNDING) pitch.up = Math.abs(y)
    }
    return pitch
  }

  /** Size of a block with its labels, and where these are; undefined where one finds no place. */
  private roomFor(block: PlateBlock, members: readonly Waiting[]): BlockRoom | undefined {
    const { kinds } = this
    const corners = cornersOf(block)
    const { turned } = kinds.shapes[members[0]!.shape]!
    const { box, turn: degrees } = turned[block.turn]!
    const [right, top] = [corners.at(-1)![0] + box.maxX - box.minX, corners.at(-1)![1] + box.maxY - box.minY]
    if (members.every(({ shape }) => kinds.placesOf(shape).length === 0)) return { corner: [0, 0], width: right, height: top, places: [] }
    const offsets = placeLoop(members.map(({ shape }, i) => this.originAt(shape, block.turn, corners[i]!)), -degrees)
    let best: BlockRoom | undefined
    for (const { places, room } of labellings(kinds, members.map((waiting, i) => ({ waiting, offset: offsets[i]! })), this.gap)) {
      const around = boundsOf([...placeLoop(room.flat(), degrees), [0, 0], [right, top]])
      const [width, height] = [around.maxX - around.minX, around.maxY - around.minY]
      if (!best || width * height < best.width * best.height) best = { corner: [-around.minX, -around.minY], width, height, places }
    }
    return best
  }

  /** Edge to edge two may be right, and many not. */
  private mayLie({ outline, turn, columns, rows }: PlateBlock, items: readonly Item[], plan: Plan): boolean {
    const key = `${outline} ${turn} ${columns} ${rows}`
    let right = this.right.get(key)
    if (right === undefined) {
      right = this.areRight(items.map((item) => placedPart(item.piece!, toPlacement(item.piece!.id, item, this.kinds.shapes[item.shape]!, plan))))
      this.right.set(key, right)
    }
    return right
  }

  private areRight(parts: readonly Part[]): boolean {
    return neighbourFaults(parts, 0, { gap: this.gap - ROUNDING, tolerance: TOLERANCE, shared: this.shared }).length === 0
  }

  /** Where a piece's own origin lies when the lower left corner of its box is there. */
  private originAt(shape: number, turn: number, [left, low]: Point): Point {
    const one = this.kinds.shapes[shape]!
    const { box } = one.turned[turn]!
    return originOf(one, one.turned[turn]!, left - box.minX, low - box.minY)
  }
}

interface BlockRoom {
  readonly width: number
  readonly height: number
  /** Where in it the lower left corner of the card lies. */
  readonly corner: Point
  /** Of the members' labels; empty where none is needed. */
  readonly places: readonly (number | undefined)[]
}

/** Lower left corners of the pieces' boxes, row by row. */
function cornersOf({ columns, rows, pitch }: PlateBlock): Point[] {
  return Array.from({ length: columns * rows }, (_, i): Point => [(i % columns) * pitch.across, Math.floor(i / columns) * pitch.up])
}

function isPlate({ width, height, area }: Block): boolean {
  return Math.min(width, height) >= LEAST_SIDE && area >= LEAST_FILLED * width * height
}

function howMany(room: number, first: number, pitch: number): number {
  return first > room ? 0 : 1 + Math.floor((room - first) / pitch + SLIVER)
}

function isAsLarge(a: Bounds, b: Bounds): boolean {
  const width = a.maxX - a.minX - (b.maxX - b.minX)
  return Math.abs(width) < ROUNDING && Math.abs(a.maxY - a.minY - (b.maxY - b.minY)) < ROUNDING
}

/** What is lost where placements are rounded, mm. */
const ROUNDING = 0.002

/** Share of its box, label and all, that a plate fills. */
const LEAST_FILLED = 0.6

/** Narrower ones are laid in what the others leave, mm. */
const LEAST_SIDE = 6

/** What is kept for labels that are longer than those of the first pieces, mm. */
const LABEL_SPARE = 1

/** Of so many in a row it can be seen whether they fill their box. */
const ENOUGH = 8

const SLIVER = 1e-6
