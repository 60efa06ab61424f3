import type { Bounds, Region } from '../../shape/point'
import { boundsOf } from '../turn'
import { type Mask, rasterize } from './mask'
import type { Raster } from './raster'

/** A place for a label, of a piece at one turn; in cells from the corner of the piece's box. */
export interface PosedLabel {
  /** Its number among the places of the shape. */
  readonly place: number
  /** Of one label, or of those of several pieces that are laid as one. */
  readonly masks: readonly Mask[]
  /** In cells. */
  readonly around: Bounds
}

/** What labels are looked for on. */
export interface Ground {
  readonly raster: Raster
  /** Of the printable area. */
  readonly inCells: { readonly width: number; readonly height: number }
}

export function posedLabel(room: Region, place: number): PosedLabel {
  return { place, masks: room.map((loop) => rasterize([loop])), around: boundsOf(room.flat()) }
}

/** 0 where one of the labels is free, else how many columns on the first of them might be. */
export function wayToFree(ground: Ground, labels: readonly PosedLabel[], column: number, row: number): number {
  let least = Infinity
  for (const label of labels) {
    const way = blockedBy(ground, label, column, row)
    if (way === 0) return 0
    if (way < least) least = way
  }
  return least
}

function blockedBy({ raster, inCells }: Ground, { masks, around }: PosedLabel, column: number, row: number): number {
  if (row + around.minY < 0 || row + around.maxY > inCells.height || column + around.maxX > inCells.width) return Infinity
  if (column + around.minX < 0) return Math.ceil(-around.minX) - column || 1
  for (const mask of masks) {
    const way = raster.blocked(mask, column, row)
    if (way > 0) return way
  }
  return 0
}

export function isFree(ground: Ground, label: PosedLabel, column: number, row: number): boolean {
  return blockedBy(ground, label, column, row) === 0
}

/** Of the free places for a label the one that leans on most of what lies there: it spoils least room. */
export function snuggest(ground: Ground, labels: readonly PosedLabel[], column: number, row: number): PosedLabel | undefined {
  let best: PosedLabel | undefined
  let most = -1
  for (const label of labels) {
    if (!isFree(ground, label, column, row)) continue
    let touching = 0
    for (const mask of label.masks) for (const [dx, dy] of AROUND) if (ground.raster.blocked(mask, column + dx, row + dy)) touching++
    if (touching <= most) continue
    most = touching
    best = label
  }
  return best
}

const AROUND = [[-2, 0], [2, 0], [0, -2], [0, 2]] as const
