import { type Length, mm } from '../length/length'
import { crownedTyre, windStrip } from '../craft/roll'
import { stockOf } from './craftDraft'
import { type Strips, type WoundOptions, stripsOf, windingOf } from './wound'

export interface TyreOptions extends WoundOptions {
  /** Width of the tread at the outside diameter; as wide as the tyre unless said. */
  readonly tread?: Length
  /** Diameter up to which the tyre has its full width; the core's unless said. */
  readonly shoulder?: Length
  /** Bands the crown is wound in, 2 unless said. */
  readonly bands?: number
}

/** A solid tyre wound from strip. With a `tread` narrower than itself its crown is round: strips of falling width. */
export function tyre(options: TyreOptions): Strips {
  const stock = stockOf(options.stock)
  const winding = windingOf(options, stock)
  if (options.tread === undefined) return stripsOf(windStrip(winding), options, stock, winding.core)
  const shoulder = options.shoulder === undefined ? winding.core : mm(options.shoulder)
  const made = crownedTyre({ ...winding, tread: mm(options.tread), shoulder, bands: options.bands ?? 2 })
  return stripsOf(made, options, stock, winding.core)
}
