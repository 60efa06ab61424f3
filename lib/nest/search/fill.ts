import type { Loop, Point } from '../../shape/point'
import type { NestPiece } from '../nest'
import { placeLoop } from '../turn'
import type { Item, Plan } from './plan'
import { Raster, rasterize, type Mask } from './raster'
import type { Shape } from './shape'

/** A piece that waits for a place. */
export interface Waiting {
  readonly piece: NestPiece
  readonly shape: number
}

/**
 * Fills sheets from the bottom, one after the other, largest pieces first: each at the turn and place that reaches up
 * least. Room is looked for on a raster of cells; cells that a piece but touches are its own, so no two pieces ever
 * overlap. Small pieces find the openings of large ones by themselves.
 */
export class Filler {
  private readonly shapes: readonly Shape[]
  private readonly gap: number
  private readonly cell: number
  private readonly masks: (readonly Turned[] | undefined)[] = []

  /** @param cell side of a raster cell, mm */
  constructor(shapes: readonly Shape[], gap: number, cell: number) {
    this.shapes = shapes
    this.gap = gap
    this.cell = cell
  }

  /**
   * Lays as many pieces on the sheet as go on it, and takes them from their list.
   * @param classes pieces by size, largest first; in a class in the order they are wanted
   * @param patience how many different shapes of one class may fail before the next class has its turn
   */
  fill(plan: Plan, classes: Waiting[][], patience: number): void {
    const sheet = this.openSheet(plan)
    for (let level = 0; level < classes.length; level++) {
      let failures = 0
      let lastFailed = -1
      classes[level] = classes[level]!.filter(({ piece, shape }) => {
        if (failures >= patience || shape === lastFailed) return true
        const placed = this.placeOn(sheet, piece, shape)
        if (!placed) {
          failures++
          lastFailed = shape
        }
        return !placed
      })
    }
  }

  private openSheet(plan: Plan): OpenSheet {
    const { cell, gap } = this
    const width = plan.sheet.area.maxX - plan.sheet.area.minX
    const height = plan.sheet.area.maxY - plan.sheet.area.minY
    const pad = Math.ceil(gap / cell) + 2
    const raster = new Raster(Math.ceil(width / cell), Math.ceil(height / cell), pad)
    for (const { shape, turn, x, y } of plan.items) {
      const { region, turned } = this.shapes[shape]!
      const inCells = (loop: Loop) =>
        placeLoop(loop, turned[turn]!.turn, x, y).map(([px, py]): Point => [px / cell, py / cell])
      raster.draw(rasterize(region.map(inCells)), 0, 0)
    }
    return { plan, raster, width, height, from: new Map() }
  }

  private placeOn(sheet: OpenSheet, piece: NestPiece, shape: number): boolean {
    const { cell } = this
    const poses = (this.masks[shape] ??= this.masksOf(this.shapes[shape]!))
    let best = -1
    let bestTop = Infinity
    let bestAt = -1
    for (let turn = 0; turn < poses.length; turn++) {
      const at = this.seek(sheet, shape, turn, poses[turn]!, bestTop)
      if (at < 0) continue
      const top = (at >> 16) + poses[turn]!.height / cell
      if (top < bestTop - SLIVER) {
        best = turn
        bestTop = top
        bestAt = at
      }
    }
    if (best < 0) return false
    const { mask, box } = poses[best]!
    const column = bestAt & 0xffff
    const row = bestAt >> 16
    sheet.raster.draw(mask, column, row)
    const item: Item = { piece, shape, turn: best, x: column * cell - box.minX, y: row * cell - box.minY, fixed: false }
    sheet.plan.items.push(item)
    return true
  }

  /** Where a pose finds room; what was in its way once always will be, so it goes on from there the next time. */
  private seek(sheet: OpenSheet, shape: number, turn: number, pose: Turned, enough: number): number {
    const key = shape * MOST_TURNS + turn
    const from = sheet.from.get(key) ?? 0
    const lastColumn = Math.floor((sheet.width - pose.width) / this.cell + SLIVER)
    const lastRow = Math.floor((sheet.height - pose.height) / this.cell + SLIVER)
    if (from < 0 || lastColumn < 0 || lastRow < 0) return -1
    const useful = Math.min(lastRow, Math.floor(enough - pose.height / this.cell))
    const at = sheet.raster.find(pose.mask, lastColumn, useful, from)
    if (at >= 0) sheet.from.set(key, at)
    else if (useful === lastRow) sheet.from.set(key, -1)
    return at
  }

  private masksOf(shape: Shape): Turned[] {
    return shape.turned.map(({ turn, box }) => {
      const inCells = (loop: Loop) =>
        placeLoop(loop, turn).map(([x, y]): Point => [(x - box.minX) / this.cell, (y - box.minY) / this.cell])
      const mask = rasterize(shape.region.map(inCells))
      return { mask, box, width: box.maxX - box.minX, height: box.maxY - box.minY }
    })
  }
}

/** A pose as a mask, whose column and row 0 are at the corner of the piece's box. */
interface Turned {
  readonly mask: Mask
  readonly box: { readonly minX: number; readonly minY: number }
  readonly width: number
  readonly height: number
}

interface OpenSheet {
  readonly plan: Plan
  readonly raster: Raster
  readonly width: number
  readonly height: number
  /** By pose: the position it was last found at, or -1 once there is no room. */
  readonly from: Map<number, number>
}

const MOST_TURNS = 4096

/** Share of a cell that is taken for a rounding error. */
const SLIVER = 1e-6
