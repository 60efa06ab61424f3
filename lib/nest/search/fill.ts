import type { Bounds, Loop, Point, Region } from '../../shape/point'
import type { NestPiece } from '../nest'
import { placeLoop } from '../turn'
import type { SetOutItem } from './blocks'
import { Edges, Neighbourhood } from './join'
import type { Kinds } from './kinds'
import { type Mask, rasterize, touched } from './mask'
import { fixedItem, type Item, onGrid, type Plan, toPlacement, type Waiting } from './plan'
import { type Ground, isFree, posedLabel, type PosedLabel, snuggest, wayToFree } from './posedLabel'
import { Raster } from './raster'
import { type Stack, Stacks } from './stack'

/**
 * Fills sheets from the bottom, one after the other, largest pieces first: each at the turn and place that reaches up
 * least. Room is looked for on a raster of cells; cells that a piece but touches are its own, so no two pieces ever
 * overlap. Small pieces find the openings of large ones by themselves. A piece with places for a label only goes where
 * one of these is free as well.
 */
export class Filler {
  /** Positions that were looked at: the step that effort is counted in. */
  asked = 0
  private readonly kinds: Kinds
  private readonly gap: number
  private readonly cell: number
  /** By direction, then by shape. */
  private readonly masks: (readonly Pose[] | undefined)[][] = [[], []]

  /** How many sheets have something on them from the start; by index and direction, these with just that on them. */
  private readonly begun: number
  private readonly begunRasters = new Map<string, { readonly items: number; readonly raster: Raster }>()

  readonly edges = new Edges()
  private readonly stacks: Stacks
  private readonly shared: boolean

  /**
   * @param cell side of a raster cell, mm
   * @param shared whether pieces may lie edge to edge
   * @param begun how many sheets have something on them when they are first opened
   */
  constructor(kinds: Kinds, gap: number, cell: number, shared: boolean, begun: number) {
    this.shared = shared
    this.begun = begun
    this.kinds = kinds
    this.gap = gap
    this.stacks = new Stacks(kinds, this.edges, gap)
    this.cell = cell
  }

  /** Lays as many pieces on the sheet as go on it. */
  lay(plan: Plan, { sideways, classes, patience, joining, first }: Laying): void {
    const sheet = this.openSheet(plan, sideways, joining)
    for (const { waiting, item, place } of first) this.layAt(sheet, waiting, item, place)
    const laid = new Set(first.map(({ waiting }) => waiting.piece))
    for (const list of classes) {
      let failures = 0
      let lastFailed = -1
      for (const [i, waiting] of list.entries()) {
        if (laid.has(waiting.piece)) continue
        if (failures >= patience || waiting.shape === lastFailed) continue
        const alone = this.seekAlone(sheet, waiting, true)
        const stacked = this.placeStack(sheet, list, i, laid, alone)
        if (stacked.length > 0) {
          for (const one of stacked) laid.add(one)
        } else if (this.place(sheet, waiting, alone)) {
          laid.add(waiting.piece)
        } else {
          failures++
          lastFailed = waiting.shape
        }
      }
    }
    this.asked += OPEN_STEPS + sheet.raster.asked + SOLID_STEPS * (sheet.joins?.asked ?? 0) + DRAW_STEPS * sheet.plan.items.length
  }

  /** Lays one piece on a sheet that has no room for its label. */
  force(plan: Plan, waiting: Waiting): boolean {
    const sheet = this.openSheet(plan, false)
    return this.place(sheet, waiting, this.seekAlone(sheet, waiting, false))
  }

  private openSheet(plan: Plan, sideways: boolean, joining?: Joining): OpenSheet {
    const { cell, gap } = this
    const { minX, minY, maxX, maxY } = plan.sheet.area
    const [width, height] = swap(maxX - minX, maxY - minY, sideways)
    const pad = Math.ceil(gap / cell) + 2
    const raster = this.drawn(plan, sideways, () => new Raster(Math.ceil(width / cell), Math.ceil(height / cell), pad))
    const inCells = { width: width / cell, height: height / cell }
    const joins = this.shared && joining ? new Neighbourhood(this.kinds, this.edges, plan, gap) : undefined
    return { plan, sideways, raster, width, height, inCells, from: new Map(), joins, joining: joining ?? NO_JOINING }
  }

  /** What lies on a sheet from the start is drawn once for all attempts. */
  private drawn({ index, items }: Plan, sideways: boolean, make: () => Raster): Raster {
    const { begunRasters } = this
    const key = `${index} ${sideways}`
    const before = begunRasters.get(key)
    if (before?.items === items.length) return before.raster.copy()
    const raster = make()
    for (const { shape, turn, x, y } of items) {
      const { region, label, turned } = this.kinds.shapes[shape]!
      const lying = (loop: Loop) => this.inCells({ sideways }, placeLoop(loop, turned[turn]!.turn, x, y))
      raster.draw(touched(region.map(lying)), 0, 0)
      if (label) raster.draw(touched([lying(label)]), 0, 0)
    }
    if (before || index >= this.begun) return raster
    begunRasters.set(key, { items: items.length, raster })
    return raster.copy()
  }

  /**
   * Lays a piece together with others that wait, where that reaches up no more than joining it to what lies there.
   * @param alone where the piece would go by itself
   */
  private placeStack(
    sheet: OpenSheet, list: readonly Waiting[], first: number, laid: ReadonlySet<NestPiece>, { joined }: Alone,
  ): readonly NestPiece[] {
    const { joins, joining } = sheet
    if (!joins || joining.block <= 0) return []
    const enough = (joined?.reach ?? Infinity) / this.cell
    const rest = list.slice(first).filter(({ piece }) => !laid.has(piece))
    for (const stack of this.stacks.from(rest, joining.block)) {
      const found = this.lowest(sheet, stack.shape, this.stackPoses(stack, sheet.sideways), true, enough)
      if (!found) continue
      this.layStack(sheet, stack, found)
      return stack.members.map(({ waiting }) => waiting.piece)
    }
    return []
  }

  private stackPoses({ shape, labellings }: Stack, sideways: boolean): Pose[] {
    const poses = (this.masks[sideways ? 1 : 0]![shape] ??= this.posesOf(shape, sideways))
    if (labellings[0]!.room.length === 0) return [...poses]
    return poses.map((pose, turn) => ({ ...pose, labels: this.posedLabels(shape, turn, sideways, labellings.map(({ room }) => room)) }))
  }

  private layStack(sheet: OpenSheet, { shape, members, labellings }: Stack, found: Found): void {
    const { kinds, cell } = this
    const { turn, column, row, box, label } = found
    const whole = kinds.shapes[shape]!
    const [x, y] = swap(column * cell - box.minX, row * cell - box.minY, sheet.sideways)
    const origin = toPlacement('', { piece: undefined, shape, turn, x, y, fixed: false }, whole, sheet.plan)
    for (const [i, { waiting, offset }] of members.entries()) {
      const { cos, sin } = whole.turned[turn]!
      const at = { x: onGrid(origin.x + cos * offset[0] - sin * offset[1]), y: onGrid(origin.y + sin * offset[0] + cos * offset[1]) }
      const item = fixedItem(waiting.piece, waiting.shape, kinds.shapes[waiting.shape]!, { ...at, turn: origin.turn }, sheet.plan.sheet)
      this.layAt(sheet, waiting, item, label && labellings[label.place]!.places[i])
    }
  }

  private layAt(sheet: OpenSheet, { piece, shape }: Waiting, item: Item, place: number | undefined): void {
    this.join(sheet, piece, shape, { item, reach: 0, ...(place !== undefined && { label: this.labelsAt(sheet, item)[place]! }) })
  }

  /** Where a piece would go by itself: edge to edge with what lies there, if that reaches up little more than the lowest place. */
  private seekAlone(sheet: OpenSheet, { piece, shape }: Waiting, withLabel: boolean): Alone {
    const poses = (this.masks[sheet.sideways ? 1 : 0]![shape] ??= this.posesOf(shape, sheet.sideways))
    const found = this.lowest(sheet, shape, poses, withLabel, Infinity)
    const top = found ? (found.row + found.height) * this.cell : Infinity
    return { found, joined: withLabel ? this.beside(sheet, { piece, shape }, top + sheet.joining.cling) : undefined }
  }

  private place(sheet: OpenSheet, { piece, shape }: Waiting, { found, joined }: Alone): boolean {
    const { cell, kinds } = this
    if (joined) return this.join(sheet, piece, shape, joined)
    if (!found) return false
    const { turn, column, row, mask, box, label } = found
    sheet.raster.draw(mask, column, row)
    for (const each of label?.masks ?? []) sheet.raster.draw(each, column, row)
    const [x, y] = swap(column * cell - box.minX, row * cell - box.minY, sheet.sideways)
    const its = label ? kinds.labelled(shape, label.place) : shape
    const item: Item = { piece, shape: its, turn, x, y, fixed: false }
    sheet.plan.items.push(item)
    sheet.joins?.add(item)
    return true
  }

  /** The turn and place that reaches up least, and less than would do as well. */
  private lowest(sheet: OpenSheet, shape: number, poses: readonly Pose[], withLabel: boolean, enough: number): Found | undefined {
    let best = -1
    let bestTop = enough
    let bestAt = -1
    for (let turn = 0; turn < poses.length; turn++) {
      const at = this.seek(sheet, shape, turn, poses[turn]!, withLabel, bestTop)
      if (at < 0) continue
      const top = (at >> 16) + poses[turn]!.height / this.cell
      if (top < bestTop - SLIVER) {
        best = turn
        bestTop = top
        bestAt = at
      }
    }
    if (best < 0) return undefined
    const { mask, box, labels, height } = poses[best]!
    const [column, row] = [bestAt & 0xffff, bestAt >> 16]
    const label = withLabel ? snuggest(sheet, labels, column, row) : undefined
    return { turn: best, column, row, mask, box, height: height / this.cell, ...(label && { label }) }
  }

  /**
   * The place edge to edge with others that reaches up least, with a place for the label.
   * @param most how far up it may reach, mm
   */
  private beside(sheet: OpenSheet, { piece, shape }: Waiting, most: number): Joined | undefined {
    const { joins, plan, sideways } = sheet
    if (!joins) return undefined
    const { minX, minY } = plan.sheet.area
    const reachOf = ({ maxX, maxY }: Bounds) => (sideways ? maxX - minX : maxY - minY)
    const spots = joins.spots(piece, shape, (box) => reachOf(box) <= most).map((spot) => ({
      spot,
      reach: reachOf(spot.box),
      across: sideways ? spot.box.minY - minY : spot.box.minX - minX,
    }))
    spots.sort((a, b) => rank(a.reach) - rank(b.reach) || a.across - b.across)
    for (const { spot, reach } of spots) {
      this.asked += JOIN_STEPS
      if (!joins.isRight(piece, spot)) continue
      const item = fixedItem(piece, shape, this.kinds.shapes[shape]!, spot.placement, plan.sheet)
      const places = this.kinds.placesOf(shape)
      if (places.length === 0) return { item, reach }
      const labels = this.labelsAt(sheet, item).filter((label) => isFree(sheet, label, 0, 0))
      const label = snuggest(sheet, labels, 0, 0)
      if (label) return { item, reach, label }
      joins.refuse(spot, shape)
    }
    return undefined
  }

  private join(sheet: OpenSheet, piece: NestPiece, shape: number, { item, label }: Joined): boolean {
    const { kinds } = this
    const { region, turned } = kinds.shapes[shape]!
    const loops = region.map((loop) => this.inCells(sheet, placeLoop(loop, turned[item.turn]!.turn, item.x, item.y)))
    sheet.raster.draw(touched(loops), 0, 0)
    for (const each of label?.masks ?? []) sheet.raster.draw(each, 0, 0)
    const laid: Item = { ...item, piece, shape: label ? kinds.labelled(shape, label.place) : shape, fixed: false }
    sheet.plan.items.push(laid)
    sheet.joins?.add(laid)
    return true
  }

  private labelsAt(sheet: OpenSheet, { shape, turn, x, y }: Item): PosedLabel[] {
    const { kinds } = this
    return kinds.placesOf(shape).map((loop, place): PosedLabel => {
      const at = this.inCells(sheet, placeLoop(loop, kinds.shapes[shape]!.turned[turn]!.turn, x, y))
      return posedLabel([at], place)
    })
  }

  private inCells({ sideways }: Pick<OpenSheet, 'sideways'>, loop: Loop): Loop {
    return loop.map(([x, y]): Point => swap(x / this.cell, y / this.cell, sideways))
  }

  /** Where a pose finds room; what was in its way once always will be, so it goes on from there the next time. */
  private seek(
    sheet: OpenSheet, shape: number, turn: number, pose: Pose, withLabel: boolean, enough: number,
  ): number {
    const key = shape * MOST_TURNS + turn
    const from = sheet.from.get(key) ?? 0
    const lastColumn = Math.floor((sheet.width - pose.width) / this.cell + SLIVER)
    const lastRow = Math.floor((sheet.height - pose.height) / this.cell + SLIVER)
    if (from < 0 || lastColumn < 0 || lastRow < 0) return -1
    const useful = Math.min(lastRow, Math.floor(enough - pose.height / this.cell))
    const { labels } = pose
    const accept =
      withLabel && labels.length > 0
        ? (column: number, row: number) => wayToFree(sheet, labels, column, row)
        : undefined
    const at = sheet.raster.find(pose.mask, lastColumn, useful, from, accept)
    if (at >= 0) sheet.from.set(key, at)
    else if (useful === lastRow) sheet.from.set(key, -1)
    return at
  }

  private posedLabels(shape: number, turn: number, sideways: boolean, rooms: readonly Region[]): PosedLabel[] {
    return rooms.map((room, place) => posedLabel(room.map((loop) => this.posed(loop, shape, turn, sideways)), place))
  }

  private posesOf(shape: number, sideways: boolean): Pose[] {
    const { kinds } = this
    const { region, turned } = kinds.shapes[shape]!
    const rooms = kinds.placesOf(shape).map((loop) => [loop])
    return turned.map(({ box }, turn) => {
      const [minX, minY] = swap(box.minX, box.minY, sideways)
      const [maxX, maxY] = swap(box.maxX, box.maxY, sideways)
      const mask = rasterize(region.map((loop) => this.posed(loop, shape, turn, sideways)))
      const labels = this.posedLabels(shape, turn, sideways, rooms)
      return { mask, box: { minX, minY }, width: maxX - minX, height: maxY - minY, labels }
    })
  }

  /** A loop of a shape at one of its turns, in cells from the corner of its box. */
  private posed(loop: Loop, shape: number, turn: number, sideways: boolean): Loop {
    const { box, turn: degrees } = this.kinds.shapes[shape]!.turned[turn]!
    const [minX, minY] = swap(box.minX, box.minY, sideways)
    return placeLoop(loop, degrees).map(([px, py]): Point => {
      const [x, y] = swap(px, py, sideways)
      return [(x - minX) / this.cell, (y - minY) / this.cell]
    })
  }
}

/** Filling sideways is filling upwards what is mirrored in the diagonal. */
function swap(x: number, y: number, sideways: boolean): [number, number] {
  return sideways ? [y, x] : [x, y]
}

/** A turned piece as a mask, whose column and row 0 are at the corner of the piece's box. */
interface Pose {
  readonly mask: Mask
  readonly box: { readonly minX: number; readonly minY: number }
  readonly width: number
  readonly height: number
  readonly labels: readonly PosedLabel[]
}

/** How a sheet is filled. */
export interface Laying {
  /** From the left instead of from the bottom. */
  readonly sideways: boolean
  /** Pieces by size, largest first; in a class in the order they are wanted. */
  readonly classes: readonly (readonly Waiting[])[]
  /** How many different shapes of one class may fail before the next class has its turn. */
  readonly patience: number
  readonly joining: Joining
  /** What is laid before all else. */
  readonly first: readonly SetOutItem[]
}

/** How pieces are laid edge to edge. */
export interface Joining {
  /** How much further up a piece may reach for lying edge to edge with another, mm. */
  readonly cling: number
  /** Most that a block of pieces laid as one may measure, mm. */
  readonly block: number
}

const NO_JOINING: Joining = { cling: 0, block: 0 }

/** Where a pose goes, in cells. */
interface Found extends Pick<Pose, 'mask' | 'box' | 'height'> {
  readonly turn: number
  readonly column: number
  readonly row: number
  readonly label?: PosedLabel
}

/** Where one piece would go. */
interface Alone {
  readonly found: Found | undefined
  readonly joined: Joined | undefined
}

/** A place edge to edge with others. */
interface Joined {
  readonly item: Item
  /** How far up, mm. */
  readonly reach: number
  readonly label?: PosedLabel
}

interface OpenSheet extends Ground {
  readonly plan: Plan
  readonly sideways: boolean
  readonly width: number
  readonly height: number
  /** By pose: the position it was last found at, or -1 once there is no room. */
  readonly from: Map<number, number>
  readonly joins: Neighbourhood | undefined
  readonly joining: Joining
}

/** What opening a sheet, laying a piece down and looking at a place edge to edge cost, in positions looked at: by time. */
const OPEN_STEPS = 200_000
const DRAW_STEPS = 3500
const SOLID_STEPS = 40
const JOIN_STEPS = 2000

/** Places that reach up nearly as far are taken to reach up as far. */
function rank(reach: number): number {
  return Math.round(reach / SAME_REACH)
}

/** mm */
const SAME_REACH = 0.01

const MOST_TURNS = 4096

/** Share of a cell that is taken for a rounding error. */
const SLIVER = 1e-6
