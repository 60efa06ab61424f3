import { type Flat, moveFlat } from '../craft/flat'
import { radians } from '../craft/space'
import { boundsOf } from '../shape/measure'
import type { Point } from '../shape/point'
import type { Stock } from '../stock/card'

/** Kept clear of a sheet's sides for its bars and its title, mm. */
const BARS = 8
const TITLE = 30

/** What a sheet of the stock has room for, upright, mm. */
export function roomOn({ sheet, margin }: Stock): { width: number; height: number } {
  return {
    width: sheet.width - margin.left - margin.right - BARS,
    height: sheet.height - margin.top - margin.bottom - TITLE,
  }
}

/** Longest strip that a sheet gives across its grain, so that the strip curls with its axis along it, mm. */
export function longestAcross(stock: Stock): number {
  const { width, height } = roomOn(stock)
  return stock.grain === 'long' ? width : height
}

/** Whether a flat fits on a sheet with its grain along the sheet's. */
export function fitsSheet(flat: Flat, stock: Stock): boolean {
  const { minX, minY, maxX, maxY } = boundsOf([flat.outline.map(squareMove(flat))])
  const { width, height } = roomOn(stock)
  const along = stock.grain === 'long' ? height : width
  const [x, y] = squaring(flat).wanted === 0 ? [along, width + height - along] : [width + height - along, along]
  return maxX - minX <= x && maxY - minY <= y
}

/** A grain nearer than this to where it should run bends as well, degrees; the flat need not be turned for it. */
const NEAR = 5

/** Turned, by as little as will do, so that its grain runs along x or along y. */
export function squared(flat: Flat): Flat {
  const { wanted, turn } = squaring(flat)
  return turn === 0 ? { ...flat, grain: wanted } : { ...moveFlat(flat, turnedBy(turn)), grain: wanted }
}

/** What {@link squared} does to every point of a flat. */
export function squareMove(flat: Flat): (point: Point) => Point {
  const { turn } = squaring(flat)
  return turn === 0 ? (point) => point : turnedBy(turn)
}

function squaring({ grain = 0 }: Flat): { wanted: 0 | 90; turn: number } {
  const wanted = grain > 45 && grain <= 135 ? 90 : 0
  const turn = wanted - (grain > 135 ? grain - 180 : grain)
  return { wanted, turn: Math.abs(turn) < NEAR ? 0 : turn }
}

function turnedBy(turn: number): (point: Point) => Point {
  const [c, s] = [Math.cos(radians(turn)), Math.sin(radians(turn))]
  return ([x, y]) => [c * x - s * y, s * x + c * y]
}
