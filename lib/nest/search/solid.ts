import type { Loop, Point } from '../../shape/point'
import type { Part } from '../near'
import type { NestPiece } from '../nest'
import { boundsOf, placeLoop } from '../turn'
import { type Cells, covered, coveredAnywhere, type Mask } from './mask'
import type { Item } from './plan'
import { Raster } from './raster'

/** Masks of what is card through and through, made once for all sheets and attempts. */
export class SolidMasks {
  private readonly lying = new WeakMap<Item, Cells>()
  private readonly posed = new WeakMap<NestPiece, (Mask | undefined)[]>()

  /** Of what lies on a sheet, in cells from the corner of its printable area. */
  of(item: Item, { rings }: Part, toCells: (loop: Loop) => Loop): Cells {
    let mask = this.lying.get(item)
    if (!mask) this.lying.set(item, (mask = covered(rings.map(toCells))))
    return mask
  }

  /** Of a piece at one of its turns, in cells from the corner of its box; laid on whole cells it is card wherever in them it lies. */
  at(piece: NestPiece, turn: number): Mask {
    let masks = this.posed.get(piece)
    if (!masks) this.posed.set(piece, (masks = []))
    let mask = masks[turn]
    if (!mask) {
      const rings = [piece.outline, ...piece.openings].map((loop) => placeLoop(loop, piece.turns[turn]!))
      const { minX, minY } = boundsOf(rings[0]!)
      mask = coveredAnywhere(rings.map((ring) => ring.map(([x, y]): Point => [(x - minX) / CELL, (y - minY) / CELL])))
      masks[turn] = mask
    }
    return mask
  }
}

/** Which cells of one sheet are card through and through: tells most pieces that would overlap without a look at outlines. */
export class SolidRaster {
  private readonly masks: SolidMasks
  private readonly raster: Raster
  private readonly toCells: (loop: Loop) => Loop
  private readonly corner: Point

  constructor(masks: SolidMasks, { minX, minY, maxX, maxY }: { minX: number; minY: number; maxX: number; maxY: number }) {
    this.masks = masks
    this.corner = [minX, minY]
    this.raster = new Raster(Math.ceil((maxX - minX) / CELL), Math.ceil((maxY - minY) / CELL), 2)
    this.toCells = (loop) => loop.map(([x, y]): Point => [(x - minX) / CELL, (y - minY) / CELL])
  }

  /** How often it has been asked. */
  get asked(): number {
    return this.raster.asked
  }

  add(item: Item, part: Part): void {
    this.raster.draw(this.masks.of(item, part, this.toCells), 0, 0)
  }

  /** @param box the outline's, where the placement puts it */
  overlaps(piece: NestPiece, turn: number, box: { minX: number; minY: number }): boolean {
    const column = Math.floor((box.minX - this.corner[0]) / CELL)
    const row = Math.floor((box.minY - this.corner[1]) / CELL)
    return this.raster.blocked(this.masks.at(piece, turn), column, row) > 0
  }
}

/** mm */
const CELL = 0.5
