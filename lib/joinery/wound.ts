import type { Finding } from '../finding/finding'
import { type Length, mm } from '../length/length'
import { checkCurl } from '../craft/fold'
import type { Flat, FlatLine } from '../craft/flat'
import { type Winding, type Wound, windStrip, windingLength, woundRadius } from '../craft/roll'
import type { Draft } from '../model/draft'
import type { Point, Polyline } from '../shape/point'
import type { Stock } from '../stock/card'
import { type CraftPart, craftDraft, stockOf } from './craftDraft'
import { longestAcross } from './sheetRoom'

export interface WoundOptions extends Omit<CraftPart, 'plies'> {
  /** Diameter it is wound on: a core that stays in, or a rod that comes out. */
  readonly core: Length
  /** Diameter of the finished roll. */
  readonly outside: Length
  /** Along the axis. */
  readonly width: Length
}

/** The strips of something wound, by number: `{ 1: piece…, 2: piece… }`, for a family's function to return. */
export type Strips = Record<string, Draft>

/**
 * Strips to be wound on each other from the core outwards, such as a roller or a drum: `WH-01-1`, `WH-01-2`. Length
 * from the ring the strip's edge fills, L = π(D² − d²)/4t, glue line included. It stands about the axis of its pose, half
 * its width to either side.
 *
 * @throws FindingError where nothing is left between core and outside
 */
export function wound(options: WoundOptions): Strips {
  const stock = stockOf(options.stock)
  const winding = windingOf(options, stock)
  return stripsOf(windStrip(winding), options, stock, winding.core)
}

export function windingOf({ core, outside, width }: WoundOptions, stock: Stock & { measured: number }): Winding {
  return {
    core: mm(core),
    outside: mm(outside),
    width: mm(width),
    pitch: pitchOf(stock),
    longest: longestAcross(stock),
  }
}

/** One turn and its glue. */
export function pitchOf({ measured, glueLine }: Stock & { measured: number }): number {
  return measured + glueLine.value
}

export function stripsOf(
  { strips, turns }: Wound,
  part: Omit<CraftPart, 'plies'>,
  stock: Stock & { measured: number },
  core: number,
  lift = 0,
): Strips {
  const findings = tooTight(core, stock)
  const run = {}
  let start = 0
  const all = strips.map(({ flat, length, startsAt }, i) => {
    const notes = [
      `Strip ${i + 1} of ${strips.length} from the core outwards, ${length.toFixed(1)} mm, ${turns.toFixed(1)} turns ` +
        `in all; starts ${startsAt.toFixed(0)}° round. Wind along the arrow, printed side outside; each line comes ` +
        'over the one before.',
    ]
    const from = start
    const marks = turnMarks(flat, start, start + length, core, pitchOf(stock))
    start += length
    // The arrow is drawn through: broken like a centre line it would hardly be one.
    const arrow = flat.lines.map((line): FlatLine => ({ ...line, kind: 'align' }))
    const marked = { ...flat, lines: [...arrow, ...marks] }
    // Every turn lies as far out as the strip before it has filled the ring.
    const [pitch, inside] = [pitchOf(stock), woundRadius(core / 2, pitchOf(stock), from)]
    const profile = flat.outline.map(([x, y]): Point => [woundRadius(inside, pitch, x), y + lift])
    const form = { kind: 'turned', profile, card: { kind: 'strip', inside, pitch, lift } } as const
    const layer = { of: run, number: i }
    return [String(i + 1), craftDraft(marked, part, notes, i === 0 ? findings : [], form, layer)] as const
  })
  return Object.fromEntries(all)
}

/** Short lines across the strip where each full turn ends, so that a slack winding shows. */
function turnMarks({ outline }: Flat, start: number, end: number, core: number, pitch: number): FlatLine[] {
  const reach = Math.max(...outline.map(([, y]) => y)) / 3
  const lines: FlatLine[] = []
  for (let turn = 1; ; turn++) {
    const at = windingLength(core, core + 2 * turn * pitch, pitch)
    if (at > end - END) return lines
    if (at < start + END) continue
    const line: Polyline = [
      [at - start, -reach],
      [at - start, reach],
    ]
    lines.push({ kind: 'align', line, closed: false })
  }
}

/** No turn is marked nearer than this to the ends of a strip, mm. */
const END = 1

/** Card wound tighter than it curls dry creases inside; damped it goes, so this is for reading. */
function tooTight(core: number, stock: Stock): Finding[] {
  return checkCurl(core / 2, 0, stock).map((finding): Finding => ({
    ...finding,
    severity: 'note',
    remedy: 'damp the strip and draw it over an edge before winding, or take a thicker core',
  }))
}
