import { FindingError } from '../finding/finding'
import { type CallSite, callSite, resolveSite } from '../finding/site'
import type { Stringer } from '../craft/notch'
import { type Length, above0, mm } from '../length/length'
import type { Place } from '../model/plane'
import type { Side } from '../model/piece'
import type { Vector } from '../shape/pose'
import { stockOf } from './craftDraft'

export interface StringersOptions {
  /** Lines in the model that the strips follow, on or near the skin; each the starboard one of two where handed. */
  readonly lines: readonly (readonly Place[])[]
  readonly stock: string
  readonly plies?: number
  /** Size of the strip across its flat side. */
  readonly breadth: Length
  /** Flat against the skin, or on edge to it; flat where not given. */
  readonly lies?: 'flat' | 'on edge'
  /** How far its outer face lies below the frames' outline; flush where not given. */
  readonly under?: Length
  /** A strip for the port side as well, on the mirror image of each line. */
  readonly handed?: boolean
}

/** Strips of card that run from frame to frame in notches; cut into frames, and cut themselves, by `notched`. */
export class Stringers {
  readonly code: string
  readonly options: StringersOptions
  readonly site: CallSite

  constructor(code: string, options: StringersOptions, site: CallSite) {
    this.code = code
    this.options = options
    this.site = site
    Object.freeze(this)
  }
}

/**
 * Stringers by lines in the model: `stringers('SG', { stock: 'divider', breadth: bench.mm(2.2), handed: true, lines })`
 * makes strips `SG-P01`, `SG-S01` and so on, one a line and side.
 */
export function stringers(code: string, options: StringersOptions): Stringers {
  const site = callSite()
  if (options.lines.length === 0 || options.lines.some((line) => line.length < 2)) {
    const least = Math.min(...options.lines.map((line) => line.length), options.lines.length)
    const where = resolveSite(site)
    throw new FindingError({
      id: 'stringers',
      severity: 'error',
      text: `stringers ${code}: ${options.lines.length} lines, the shortest of ${least} points; 1 of 2 is the least`,
      remedy: 'give each line the places it passes through',
      family: code,
      found: least,
      wanted: 2,
      ...(where && { site: where }),
    })
  }
  return new Stringers(code, options, site)
}

/** One strip on one side, in mm. */
export interface Strip extends Stringer {
  readonly of: Stringers
  readonly number: number
  readonly side: Side
  /** Size across its flat side and thickness, mm. */
  readonly breadth: number
  readonly thickness: number
}

/** The strips of a run of stringers on the bench the model is being built for. */
export function stripsOf(run: Stringers): Strip[] {
  const { lines, stock, plies = 1, lies = 'flat', under, handed = false } = run.options
  const card = stockOf(stock)
  const thickness = plies * card.measured + (plies - 1) * card.glueLine.value
  const breadth = above0(run.options.breadth, 'the breadth of a stringer')
  const [width, depth] = lies === 'flat' ? [breadth, thickness] : [thickness, breadth]
  return lines.flatMap((places, i) => {
    const starboard = places.map(([x, y, z]): Vector => [mm(x), mm(y), mm(z)])
    const port = starboard.map(([x, y, z]): Vector => [x, -y, z])
    const strip = (side: Side, line: Vector[]): Strip => {
      const name = `${run.code}-${side}${String(i + 1).padStart(2, '0')}`
      const sunk = under ? { under: mm(under) } : {}
      return { of: run, number: i + 1, side, name, line, width, depth, breadth, thickness, ...sunk }
    }
    return handed ? [strip('P', port), strip('S', starboard)] : [strip('', starboard)]
  })
}
