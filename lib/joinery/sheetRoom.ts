import { type Flat, moveFlat } from '../craft/flat'
import { rulingDirection } from '../craft/develop/curl'
import type { Development, Ruling } from '../craft/develop/unroll'
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
  const { outline, grain } = squared(flat)
  const { minX, minY, maxX, maxY } = boundsOf([outline])
  const { width, height } = roomOn(stock)
  const along = stock.grain === 'long' ? height : width
  const [x, y] = grain === 0 ? [along, width + height - along] : [width + height - along, along]
  return maxX - minX <= x && maxY - minY <= y
}

/** Turned, by as little as will do, so that its grain runs along x or along y. */
export function squared(flat: Flat): Flat {
  const grain = flat.grain ?? 0
  const wanted = grain > 45 && grain <= 135 ? 90 : 0
  const turn = wanted - (grain > 135 ? grain - 180 : grain)
  const [c, s] = [Math.cos(radians(turn)), Math.sin(radians(turn))]
  return { ...moveFlat(flat, ([x, y]): Point => [c * x - s * y, s * x + c * y]), grain: wanted }
}

/**
 * The way the grain should run, by the rulings that part one step of both edges from the next. A ruling between the two
 * steps is the diagonal of a plane four-sided piece, all of them leaning one way, and says nothing.
 */
export function grainOf(development: Development): number {
  const { rulings } = development
  const kept: Ruling[] = [rulings[0]!]
  for (let k = 1; k < rulings.length; k++) {
    const [before, here, after] = [rulings[k - 1]!, rulings[k]!, rulings[k + 1]]
    const turns = after && (here[0] !== before[0]) !== (after[0] !== here[0])
    if (turns && kept.at(-1) === before) continue
    kept.push(here)
  }
  return rulingDirection({ ...development, rulings: kept })
}
