import type { NestPiece, NestSheet, Placement } from '../nest'
import { middleOf, originOf, type Shape } from './shape'

/** One piece on a sheet: its middle from the lower left corner of the printable area, mm. */
export interface Item {
  /** None for a used part of the sheet, which lies there like a kept piece. */
  readonly piece: NestPiece | undefined
  readonly shape: number
  /** Number of the turn among those the shape offers. */
  readonly turn: number
  readonly x: number
  readonly y: number
  /** Kept from an earlier layout. */
  readonly fixed: boolean
  /** Lies edge to edge with another. */
  readonly joined?: boolean
}

/** A piece that waits for a place. */
export interface Waiting {
  readonly piece: NestPiece
  /** Without a label. */
  readonly shape: number
}

/** One sheet while it is being filled. */
export interface Plan {
  readonly index: number
  readonly sheet: NestSheet
  items: Item[]
}

/** Where an item's own origin comes to lie on the whole card. */
export function toPlacement(id: string, item: Item, shape: Shape, { index, sheet }: Plan): Placement {
  const turned = shape.turned[item.turn]!
  const [x, y] = originOf(shape, turned, item.x + sheet.area.minX, item.y + sheet.area.minY)
  return { id, sheet: index, x: onGrid(x), y: onGrid(y), turn: turned.turn }
}

/** What stays where a placement has put it; without a piece, a used part of the sheet. */
export function fixedItem(
  piece: NestPiece | undefined, shape: number, of: Shape, placement: Omit<Placement, 'id' | 'sheet'>, sheet: NestSheet,
): Item {
  const turn = of.turned.findIndex((turned) => turned.turn === placement.turn)
  const [x, y] = middleOf(of, of.turned[turn]!, placement.x, placement.y)
  return { piece, shape, turn, x: x - sheet.area.minX, y: y - sheet.area.minY, fixed: true }
}

/** Placements are written to 0.001 mm. */
export function onGrid(value: number): number {
  return Math.round(value * 1000) / 1000
}
