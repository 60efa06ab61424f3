import type { Bounds, Loop, Point } from '../../shape/point'
import type { NestPiece } from '../nest'
import { boundsOf, placeLoop } from '../turn'
import type { Kinds } from './kinds'
import { type Mask, rasterize } from './mask'
import type { Item, Plan } from './plan'
import { Raster } from './raster'

/** A piece that waits for a place. */
export interface Waiting {
  readonly piece: NestPiece
  /** Without a label. */
  readonly shape: number
}

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

  /** @param cell side of a raster cell, mm */
  constructor(kinds: Kinds, gap: number, cell: number) {
    this.kinds = kinds
    this.gap = gap
    this.cell = cell
  }

  /**
   * Lays as many pieces on the sheet as go on it, and takes them from their list.
   * @param sideways whether to fill from the left instead of from the bottom
   * @param classes pieces by size, largest first; in a class in the order they are wanted
   * @param patience how many different shapes of one class may fail before the next class has its turn
   */
  lay(plan: Plan, sideways: boolean, classes: Waiting[][], patience: number): void {
    const sheet = this.openSheet(plan, sideways)
    for (let level = 0; level < classes.length; level++) {
      let failures = 0
      let lastFailed = -1
      classes[level] = classes[level]!.filter((waiting) => {
        if (failures >= patience || waiting.shape === lastFailed) return true
        const placed = this.placeOn(sheet, waiting, true)
        if (!placed) {
          failures++
          lastFailed = waiting.shape
        }
        return !placed
      })
    }
    this.asked += sheet.raster.asked + DRAW_STEPS * sheet.plan.items.length
  }

  /** Lays one piece on a sheet that has no room for its label. */
  force(plan: Plan, waiting: Waiting): boolean {
    return this.placeOn(this.openSheet(plan, false), waiting, false)
  }

  private openSheet(plan: Plan, sideways: boolean): OpenSheet {
    const { cell, gap } = this
    const { minX, minY, maxX, maxY } = plan.sheet.area
    const [width, height] = swap(maxX - minX, maxY - minY, sideways)
    const pad = Math.ceil(gap / cell) + 2
    const raster = new Raster(Math.ceil(width / cell), Math.ceil(height / cell), pad)
    for (const { shape, turn, x, y } of plan.items) {
      const { region, label, turned } = this.kinds.shapes[shape]!
      const inCells = (loop: Loop) =>
        placeLoop(loop, turned[turn]!.turn, x, y).map(([px, py]): Point => swap(px / cell, py / cell, sideways))
      raster.draw(rasterize(region.map(inCells)), 0, 0)
      if (label) raster.draw(rasterize([inCells(label)]), 0, 0)
    }
    return { plan, sideways, raster, width, height, inCells: { width: width / cell, height: height / cell }, from: new Map() }
  }

  private placeOn(sheet: OpenSheet, { piece, shape }: Waiting, withLabel: boolean): boolean {
    const { cell, kinds } = this
    const poses = (this.masks[sheet.sideways ? 1 : 0]![shape] ??= this.posesOf(shape, sheet.sideways))
    let best = -1
    let bestTop = Infinity
    let bestAt = -1
    for (let turn = 0; turn < poses.length; turn++) {
      const at = this.seek(sheet, shape, turn, poses[turn]!, withLabel, bestTop)
      if (at < 0) continue
      const top = (at >> 16) + poses[turn]!.height / cell
      if (top < bestTop - SLIVER) {
        best = turn
        bestTop = top
        bestAt = at
      }
    }
    if (best < 0) return false
    const { mask, box, labels } = poses[best]!
    const column = bestAt & 0xffff
    const row = bestAt >> 16
    const label = withLabel ? snuggest(sheet, labels, column, row) : undefined
    sheet.raster.draw(mask, column, row)
    if (label) sheet.raster.draw(label.mask, column, row)
    const [x, y] = swap(column * cell - box.minX, row * cell - box.minY, sheet.sideways)
    const its = label ? kinds.labelled(shape, label.place) : shape
    sheet.plan.items.push({ piece, shape: its, turn: best, x, y, fixed: false } satisfies Item)
    return true
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
        ? (column: number, row: number) => labels.some((label) => isFree(sheet, label, column, row))
        : undefined
    const at = sheet.raster.find(pose.mask, lastColumn, useful, from, accept)
    if (at >= 0) sheet.from.set(key, at)
    else if (useful === lastRow) sheet.from.set(key, -1)
    return at
  }

  private posesOf(shape: number, sideways: boolean): Pose[] {
    const { cell, kinds } = this
    const { region, turned } = kinds.shapes[shape]!
    return turned.map(({ turn, box }) => {
      const [minX, minY] = swap(box.minX, box.minY, sideways)
      const [maxX, maxY] = swap(box.maxX, box.maxY, sideways)
      const inCells = (loop: Loop) =>
        placeLoop(loop, turn).map(([px, py]): Point => {
          const [x, y] = swap(px, py, sideways)
          return [(x - minX) / cell, (y - minY) / cell]
        })
      const labels = kinds.placesOf(shape).map((loop, place): PosedLabel => {
        const at = inCells(loop)
        return { place, mask: rasterize([at]), around: boundsOf(at) }
      })
      const mask = rasterize(region.map(inCells))
      return { mask, box: { minX, minY }, width: maxX - minX, height: maxY - minY, labels }
    })
  }
}

/** Filling sideways is filling upwards what is mirrored in the diagonal. */
function swap(x: number, y: number, sideways: boolean): [number, number] {
  return sideways ? [y, x] : [x, y]
}

function isFree({ raster, inCells }: OpenSheet, { mask, around }: PosedLabel, column: number, row: number): boolean {
  if (column + around.minX < 0 || row + around.minY < 0) return false
  if (column + around.maxX > inCells.width || row + around.maxY > inCells.height) return false
  return raster.isFree(mask, column, row)
}

/** Of the free places for a label the one that leans on most of what lies there: it spoils least room. */
function snuggest(sheet: OpenSheet, labels: readonly PosedLabel[], column: number, row: number): PosedLabel | undefined {
  let best: PosedLabel | undefined
  let most = -1
  for (const label of labels) {
    if (!isFree(sheet, label, column, row)) continue
    let touching = 0
    for (const [dx, dy] of AROUND) if (!sheet.raster.isFree(label.mask, column + dx, row + dy)) touching++
    if (touching <= most) continue
    most = touching
    best = label
  }
  return best
}

const AROUND = [[-2, 0], [2, 0], [0, -2], [0, 2]] as const

/** A turned piece as a mask, whose column and row 0 are at the corner of the piece's box. */
interface Pose {
  readonly mask: Mask
  readonly box: { readonly minX: number; readonly minY: number }
  readonly width: number
  readonly height: number
  readonly labels: readonly PosedLabel[]
}

interface PosedLabel {
  /** Its number among the places of the shape. */
  readonly place: number
  readonly mask: Mask
  /** In cells. */
  readonly around: Bounds
}

interface OpenSheet {
  readonly plan: Plan
  readonly sideways: boolean
  readonly raster: Raster
  readonly width: number
  readonly height: number
  readonly inCells: { readonly width: number; readonly height: number }
  /** By pose: the position it was last found at, or -1 once there is no room. */
  readonly from: Map<number, number>
}

/** What laying a piece down costs, in positions looked at. */
const DRAW_STEPS = 2000

const MOST_TURNS = 4096

/** Share of a cell that is taken for a rounding error. */
const SLIVER = 1e-6
