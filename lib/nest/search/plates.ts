import type { Bounds, Loop, Point } from '../../shape/point'
import { neighbourFaults } from '../neighbours'
import type { NestPiece, NestSheet } from '../nest'
import { boundsOf, placeLoop, signedArea } from '../turn'
import { placedPart, TOLERANCE } from '../verify'
import type { Edges } from './join'
import type { Kinds } from './kinds'
import { type Block, Patterns } from './pattern'
import { type Item, type Plan, toPlacement, type Waiting } from './plan'
import type { Random } from './random'
import { originOf } from './shape'
import { labellings, throughs } from './stack'

/** Pieces that are laid on a sheet before all others. */
export interface SetOut {
  /** Filled from the left instead of from the bottom. */
  readonly sideways: boolean
  readonly items: readonly SetOutItem[]
}

export interface SetOutItem {
  readonly waiting: Waiting
  /** Without its label. */
  readonly item: Item
  /** Number of its label's place. */
  readonly place: number | undefined
}

/**
 * Plates are pieces that nearly fill the box around them. They are set out in blocks of rows and columns, edge to edge
 * where they may be, and the blocks in a pattern of boxes: so a thousand patterns take no longer than filling one sheet.
 */
export class Plates {
  /** Steps taken, in positions looked at. */
  asked = 0
  private readonly kinds: Kinds
  private readonly edges: Edges
  private readonly gap: number
  private readonly shared: boolean
  /** By sheet and outline: every block its pieces can make. */
  private readonly blocks = new Map<string, readonly PlateBlock[]>()
  private readonly outlines = new Map<NestPiece, string>()
  /** By outline, turn, columns and rows: whether pieces may lie so. */
  private readonly right = new Map<string, boolean>()

  /** @param shared whether pieces may lie edge to edge */
  constructor(kinds: Kinds, edges: Edges, gap: number, shared: boolean) {
    this.kinds = kinds
    this.edges = edges
    this.gap = gap + ROUNDING
    this.shared = shared
  }

  /** How much of some pieces are plates that fill their boxes well, by the area within their outlines. */
  shareOf(sheet: NestSheet, waiting: readonly Waiting[]): number {
    let [plates, all] = [0, 0]
    for (const [outline, list] of this.byOutline(waiting)) {
      const area = list.length * this.kinds.shapes[list[0]!.shape]!.area
      all += area
      if (this.blocksOf(outline, list, sheet).some((block) => block.area >= WELL_FILLED * block.width * block.height)) plates += area
    }
    return all > 0 ? plates / all : 0
  }

  /**
   * Sets plates out on a sheet and around what lies there.
   * @param sideways which way to fill it; either where that is not told
   */
  setOut(plan: Plan, waiting: readonly Waiting[], random: Random, sideways?: boolean): SetOut | undefined {
    const plates: Waiting[][] = []
    const blocks: PlateBlock[] = []
    for (const [outline, list] of this.byOutline(waiting)) {
      const all = this.blocksOf(outline, list, plan.sheet)
      if (all.length === 0) continue
      for (const block of all) if (block.count <= list.length) blocks.push({ ...block, plate: plates.length })
      plates.push(list)
    }
    if (plates.length === 0) return undefined
    const counts = plates.map(({ length }) => length)
    const taken = plan.items.map((item) => this.boxOf(item))
    const { width, height } = roomOn(plan.sheet)
    const patterns = new Patterns({ blocks, counts, width, height, taken, gap: this.gap, random })
    const pattern = patterns.best(MOST_WEIGHED, sideways)
    this.asked += patterns.asked
    const items = pattern.laid.flatMap(({ block, x, y }) => this.itemsOf(block, plates[block.plate]!.splice(0, block.count), x, y, plan))
    return { sideways: pattern.sideways, items }
  }

  /** Pieces that differ in name, label, and where their origin lies. */
  private byOutline(waiting: readonly Waiting[]): Map<string, Waiting[]> {
    const found = new Map<string, Waiting[]>()
    for (const one of waiting) {
      let outline = this.outlines.get(one.piece)
      if (outline === undefined) this.outlines.set(one.piece, (outline = outlineText(one.piece)))
      const list = found.get(outline)
      if (list) list.push(one)
      else found.set(outline, [one])
    }
    return found
  }

  /** Every way to lay some of them in rows and columns; none where even the best leaves much of its box free. */
  private blocksOf(outline: string, list: readonly Waiting[], sheet: NestSheet): readonly PlateBlock[] {
    const { width, height } = roomOn(sheet)
    const key = `${width} ${height} ${outline}`
    let found = this.blocks.get(key)
    // The first time it is asked for all of them.
    if (!found) this.blocks.set(key, (found = this.allBlocks(list, width, height)))
    return found
  }

  private allBlocks(list: readonly Waiting[], width: number, height: number): PlateBlock[] {
    const [{ shape }] = list as [Waiting]
    const { area, turned } = this.kinds.shapes[shape]!
    const found: PlateBlock[] = []
    const poses: Bounds[] = []
    for (const [turn, { box }] of turned.entries()) {
      const [wide, high] = [box.maxX - box.minX, box.maxY - box.minY]
      if (area < LEAST_FILLED * wide * high || poses.some((other) => isAsLarge(other, box))) continue
      poses.push(box)
      const pitch = this.pitchOf(list[0]!, turn)
      const most = { columns: fitting(width, wide, pitch.across), rows: fitting(height, high, pitch.up) }
      const size = (columns: number, rows: number): PlateBlock | undefined => {
        const count = columns * rows
        const block = { plate: 0, turn, columns, rows, count, pitch, area: count * area, width: 0, height: 0 }
        const room = this.roomFor(block, list.slice(0, count))
        if (!room) return undefined
        // Labels are not all as long.
        const spare = (size: number, card: number) => (size > card + ROUNDING ? size + LABEL_SPARE : size)
        const [cardWidth, cardHeight] = [wide + (columns - 1) * pitch.across, high + (rows - 1) * pitch.up]
        return { ...block, width: spare(room.width, cardWidth), height: spare(room.height, cardHeight) }
      }
      const isPlate = (block: PlateBlock | undefined) =>
        block && Math.min(block.width, block.height) >= LEAST_SIDE && block.area >= LEAST_FILLED * block.width * block.height
      const [across, up] = [Math.min(list.length, most.columns, ENOUGH), Math.min(list.length, most.rows, ENOUGH)]
      if (![size(1, 1), size(across, 1), size(1, up)].some(isPlate)) continue
      for (let columns = 1; columns <= Math.min(most.columns, list.length); columns++) {
        for (let rows = 1; rows <= most.rows && columns * rows <= list.length; rows++) {
          const block = size(columns, rows)
          if (block && block.width <= width && block.height <= height) found.push(block)
        }
      }
    }
    return found
  }

  /** From a piece to the next in its row and in its column: edge to edge, or a gap apart. */
  private pitchOf({ piece, shape }: Waiting, turn: number): Pitch {
    const { box } = this.kinds.shapes[shape]!.turned[turn]!
    const pitch = { across: box.maxX - box.minX + this.gap, up: box.maxY - box.minY + this.gap }
    for (const { step: [x, y] } of throughs(this.shared ? (this.edges.of(piece)[turn] ?? []) : [])) {
      if (Math.abs(y) < ROUNDING && this.isRight(piece, turn, [[0, 0], [x, 0]])) pitch.across = Math.abs(x)
      if (Math.abs(x) < ROUNDING && this.isRight(piece, turn, [[0, 0], [0, y]])) pitch.up = Math.abs(y)
    }
    return pitch
  }

  private isRight(piece: NestPiece, turn: number, offsets: readonly Point[]): boolean {
    const parts = offsets.map(([x, y], i) => placedPart({ ...piece, id: `${i}` }, { id: `${i}`, sheet: 0, x, y, turn: piece.turns[turn]! }))
    return neighbourFaults(parts, 0, { gap: this.gap - ROUNDING, tolerance: TOLERANCE, shared: true }).length === 0
  }

  /** Size of a block with its labels, and where these are; undefined where one finds no place. */
  private roomFor(block: PlateBlock, members: readonly Waiting[]): BlockRoom | undefined {
    const { kinds } = this
    const corners = cornersOf(block)
    const { shape } = members[0]!
    const { box } = kinds.shapes[shape]!.turned[block.turn]!
    const card = { minX: 0, minY: 0, maxX: corners.at(-1)![0] + box.maxX - box.minX, maxY: corners.at(-1)![1] + box.maxY - box.minY }
    if (members.every((one) => kinds.placesOf(one.shape).length === 0)) {
      return { corner: [0, 0], width: card.maxX, height: card.maxY, places: [] }
    }
    const degrees = kinds.shapes[shape]!.turned[block.turn]!.turn
    const origins = members.map((one, i) => this.originAt(one, block.turn, corners[i]!))
    const offsets = placeLoop(origins, -degrees)
    let best: BlockRoom | undefined
    for (const { places, room } of labellings(kinds, members.map((waiting, i) => ({ waiting, offset: offsets[i]! })), this.gap)) {
      const around = boundsOf([...placeLoop(room.flat(), degrees), [card.minX, card.minY], [card.maxX, card.maxY]])
      const [width, height] = [around.maxX - around.minX, around.maxY - around.minY]
      if (!best || width * height < best.width * best.height) best = { corner: [-around.minX, -around.minY], width, height, places }
    }
    return best
  }

  /** None where its labels need more room than was reckoned with, or its pieces may not lie so. */
  private itemsOf(block: PlateBlock, members: readonly Waiting[], x: number, y: number, plan: Plan): SetOutItem[] {
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

  /** Edge to edge two may be right, and many not. */
  private mayLie({ turn, columns, rows }: PlateBlock, items: readonly Item[], plan: Plan): boolean {
    const key = `${this.outlines.get(items[0]!.piece!)} ${turn} ${columns} ${rows}`
    let right = this.right.get(key)
    if (right === undefined) {
      const parts = items.map((item) => placedPart(item.piece!, toPlacement(item.piece!.id, item, this.kinds.shapes[item.shape]!, plan)))
      right = neighbourFaults(parts, 0, { gap: this.gap - ROUNDING, tolerance: TOLERANCE, shared: this.shared }).length === 0
      this.right.set(key, right)
    }
    return right
  }

  private originAt({ shape }: Waiting, turn: number, [left, low]: Point): Point {
    const one = this.kinds.shapes[shape]!
    const { box } = one.turned[turn]!
    return originOf(one, one.turned[turn]!, left - box.minX, low - box.minY)
  }

  private boxOf({ shape, turn, x, y }: Item): Bounds {
    const { box } = this.kinds.shapes[shape]!.turned[turn]!
    return { minX: x + box.minX, minY: y + box.minY, maxX: x + box.maxX, maxY: y + box.maxY }
  }
}

/** Pieces of one outline in rows and columns, at one of their turns. */
interface PlateBlock extends Block {
  readonly turn: number
  readonly columns: number
  readonly rows: number
  readonly pitch: Pitch
}

interface Pitch {
  readonly across: number
  readonly up: number
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

function roomOn({ area }: NestSheet): { readonly width: number; readonly height: number } {
  return { width: area.maxX - area.minX, height: area.maxY - area.minY }
}

function fitting(room: number, first: number, pitch: number): number {
  return first > room ? 0 : 1 + Math.floor((room - first) / pitch + SLIVER)
}

function isAsLarge(a: Bounds, b: Bounds): boolean {
  const width = a.maxX - a.minX - (b.maxX - b.minX)
  return Math.abs(width) < ROUNDING && Math.abs(a.maxY - a.minY - (b.maxY - b.minY)) < ROUNDING
}

/** The same for pieces that look alike wherever their origin is, such as those for port and starboard. */
function outlineText({ outline, openings, turns }: NestPiece): string {
  const { minX, minY } = boundsOf(outline)
  const text = (loop: Loop): string => {
    const points = loop.map(([x, y]) => `${Math.round((x - minX) * 1e4)},${Math.round((y - minY) * 1e4)}`)
    if (signedArea(loop) < 0) points.reverse()
    const first = points.reduce((least, point, i) => (point < points[least]! ? i : least), 0)
    return [...points.slice(first), ...points.slice(0, first)].join(' ')
  }
  return [text(outline), ...openings.map(text).toSorted(), turns.join(' ')].join('|')
}

/** What is lost where placements are rounded, mm. */
const ROUNDING = 0.002

/** Share of its box, label and all, that a plate fills. */
const LEAST_FILLED = 0.6

/** Share of its box that makes a plate worth a pattern. */
const WELL_FILLED = 0.9

/** Narrower ones are laid in what the others leave, mm. */
const LEAST_SIDE = 6

/** What is kept for labels that are longer than those of the first pieces, mm. */
const LABEL_SPARE = 1

/** Of so many in a row it can be seen whether they fill their box. */
const ENOUGH = 8

/** Blocks that may be weighed for one sheet: takes about as long as laying ten pieces by the raster. */
const MOST_WEIGHED = 300_000

const SLIVER = 1e-6
