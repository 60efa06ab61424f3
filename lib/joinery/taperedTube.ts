import { type Length, above0, mm } from '../length/length'
import { taperedTube as taperedPlies } from '../craft/taperedTube'
import type { Draft } from '../model/draft'
import { type CraftPart, craftDraft, stockOf } from './craftDraft'
import { coneLines } from './cone'
import { closedRound, coneWall } from './round'

export interface TaperedTubeOptions extends CraftPart {
  /** Diameters of the bore at both ends. */
  readonly bottom: Length
  readonly top: Length
  readonly length: Length
}

/**
 * A tapered tube of so many plies, each cut for its own place in the wall, from the bore outwards. It stands on its
 * bottom, about the axis of its pose.
 */
export function taperedTube({ plies = 2, ...options }: TaperedTubeOptions): Record<string, Draft> {
  const stock = stockOf(options.stock)
  const layers = taperedPlies({
    bottom: above0(options.bottom, 'the bottom bore of a tapered tube'),
    top: above0(options.top, 'the top bore of a tapered tube'),
    length: above0(options.length, 'the length of a tapered tube'),
    plies,
    thickness: stock.measured,
    glueLine: stock.glueLine.value,
    k: stock.fold.k.value,
  })
  const run = {}
  const all = layers.map(({ flat, seamAt }, i) => {
    const note = `Ply ${i + 1} of ${plies} from the bore outwards, its seam ${seamAt}° round.`
    const [bottom, top, length] = [mm(options.bottom) / 2, mm(options.top) / 2, mm(options.length)]
    const across = Math.hypot(length, bottom - top) / length
    const inside = i * (stock.measured + stock.glueLine.value)
    const out = (inside + stock.measured) * across
    const cone = { bottom, top, height: length, out: inside + stock.fold.k.value * stock.measured }
    const form = closedRound(coneWall(bottom + out, top + out, length, stock.measured), coneLines(cone, (inside + stock.measured / 2) * across, seamAt))
    return [String(i + 1), craftDraft(flat, options, [note], [], form, { of: run, number: i })] as const
  })
  return Object.fromEntries(all)
}
