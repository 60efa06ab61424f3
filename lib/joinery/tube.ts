import { type Length, mm } from '../length/length'
import { windStrip } from '../craft/roll'
import { type CraftPart, stockOf } from './craftDraft'
import { longestAcross } from './sheetRoom'
import { type Strips, pitchOf, stripsOf } from './wound'

export interface TubeOptions extends Omit<CraftPart, 'plies'> {
  readonly bore: Length
  readonly length: Length
  /** Turns of card in the wall, 2 unless said. */
  readonly turns?: number
}

/** A tube or a bush wound from one strip round a rod. It stands on its end, about the axis of its pose. */
export function tube(options: TubeOptions): Strips {
  const stock = stockOf(options.stock)
  const { turns = 2 } = options
  const core = mm(options.bore)
  const pitch = pitchOf(stock)
  const spec = {
    core,
    outside: core + 2 * turns * pitch,
    width: mm(options.length),
    pitch,
    longest: longestAcross(stock),
  }
  return stripsOf(windStrip(spec), options, stock, core, spec.width / 2)
}
