import type { Finding } from '../finding/finding'
import { callSite } from '../finding/site'
import { type Flat, type FlatLine, plainFlat, rectangleLoop } from '../craft/flat'
import { type Seat, notchFrames } from '../craft/notch'
import type { Plate } from '../craft/plate'
import { distance, heightOver } from '../craft/space'
import { recording } from '../length/bench'
import { type Length, mm } from '../length/length'
import { PieceSet } from '../model/assembly'
import type { Piece } from '../model/piece'
import type { Stock } from '../stock/card'
import { stockOf } from './craftDraft'
import { type Fit, cuttingOf } from './fit'
import { flatPiece } from './flatPiece'
import { bentInto } from './bentStrip'
import { sayFound } from './found'
import { join } from './relate'
import { roomOn } from './sheetRoom'
import { type Pieces, type Standing, allPieces, cutPieces, standings } from './standing'
import { type Strip, type Stringers, stripsOf } from './stringers'

export interface NotchedOptions {
  /** How the notches take the strips; `sliding` where not given. */
  readonly fit?: Fit
  /** Farthest a stringer's line may lie from a frame's outline; 1 mm where not given. */
  readonly reach?: Length
}

/**
 * Cuts notches for stringers into every frame that their lines pass, and the strips to go into them:
 * `const [hullFrames, strips] = notched(frames, [stringers('SG', { … })])`. The depth of a notch puts the strip flush
 * with the frame, or as far under it as the stringers say, at whatever angle the line passes.
 *
 * A strip is as long as its line, with the faces of the frames drawn on it; one too long for the sheet is cut on the
 * middle of a frame. It is cut straight, and bends into a line that curves across its flat side only.
 *
 * @throws FindingError for a frame without a place; a line off a frame's outline and webs too thin are findings
 */
export function notched(
  frames: Pieces,
  runs: readonly Stringers[],
  { fit = 'sliding', reach }: NotchedOptions = {},
): [PieceSet, PieceSet] {
  const site = callSite()
  const { result, read } = recording(() => {
    const standing = standings(allPieces(frames, 'notched', site), 'notched', site)
    const strips = runs.flatMap(stripsOf)
    const pieces = standing.flatMap((frame) => frame.pieces)
    const options = { ...cuttingOf(pieces, fit), reach: reach ? mm(reach) : REACH }
    const findings: Finding[] = []
    const seats: Seat[] = []
    const cut = standing.map((frame) => {
      const made = notchFrames([frame.plate], strips.filter((strip) => meets(frame, strip)), options)
      findings.push(...made.findings)
      seats.push(...made.seats)
      return made.frames[0]!
    })
    const made = strips.flatMap((strip) => stripParts(strip, standing.filter((frame) => meets(frame, strip))))
    findings.push(...made.filter(({ passes }) => passes.length === 0).map(passesNothing))
    return { standing, cut, made, seats, findings }
  })
  const { standing, cut, made, seats, findings } = result
  sayFound(findings, standing.flatMap(({ pieces }) => pieces), site)
  const frameReads = read.filter((name) => name === 'scale' || name.startsWith('stock:'))
  const notchedFrames = standing.flatMap((frame, i) =>
    cut[i] === frame.plate ? frame.pieces : cutPieces(frame, cut[i]!, frameReads),
  )
  const strips = made.map((part) => {
    const piece = stripPiece(part, seats.filter(({ stringer }) => stringer === part.strip.name), read)
    const through = standing.filter(({ plate }) => part.passes.some((pass) => pass.plate === plate && within(pass, part)))
    for (const { pieces } of through) join('slot', [piece], pieces)
    return piece
  })
  // Lengths of one strip meet end to end.
  for (const [i, part] of made.slice(1).entries()) if (part.strip === made[i]!.strip) join('glue', [strips[i]!], [strips[i + 1]!])
  return [new PieceSet(notchedFrames), new PieceSet(strips)]
}

const REACH = 1

/** Each side's strips lie in its own frames; frames across the centre line take those of both. */
function meets({ pieces }: Standing, { side }: Strip): boolean {
  const own = pieces[0]!.side
  return own === '' || side === '' || own === side
}

/** A length of a strip that goes on the sheet, by distances along it. */
interface StripPart {
  readonly strip: Strip
  /** A, B, … where there are several. */
  readonly name: string
  readonly from: number
  readonly to: number
  readonly passes: readonly Pass[]
}

/** Where a strip goes through a frame. */
interface Pass {
  readonly plate: Plate
  readonly at: number
  /** Half of the frame's thickness as the strip passes it. */
  readonly half: number
}

function stripParts(strip: Strip, frames: readonly Standing[]): StripPart[] {
  const passes = frames.flatMap(({ plate }) => passesOf(strip, plate)).toSorted((a, b) => a.at - b.at)
  const total = strip.line.slice(1).reduce((sum, point, i) => sum + distance(point, strip.line[i]!), 0)
  const longest = longestOn(stockOf(strip.of.options.stock))
  const cuts = [0]
  while (total - cuts.at(-1)! > longest) {
    const from = cuts.at(-1)!
    const joint = passes.findLast(({ at }) => at > from && at - from <= longest)
    cuts.push(joint?.at ?? from + longest)
  }
  return cuts.map((from, i) => ({
    strip,
    name: cuts.length === 1 ? '' : String.fromCharCode(65 + i),
    from,
    to: cuts[i + 1] ?? total,
    passes,
  }))
}

function passesNothing({ strip }: StripPart): Finding {
  return {
    id: 'stringer-free',
    severity: 'warning',
    text: `stringer ${strip.name} passes 0 frames, 1 or more hold it: it has no place`,
    remedy: 'lead its line through the frames, or place a plain piece where it lies',
    mark: strip.name,
    family: strip.of.code,
    found: 0,
    wanted: 1,
  }
}

function passesOf({ line }: Strip, plate: Plate): Pass[] {
  let run = 0
  return line.slice(1).flatMap((to, i): Pass[] => {
    const from = line[i]!
    const step = distance(from, to)
    const [before, after] = [heightOver(plate.pose, from), heightOver(plate.pose, to)]
    const start = run
    run += step
    if (before <= 0 === after <= 0) return []
    const steep = Math.abs(after - before) / step
    return [{ plate, at: start + (step * before) / (before - after), half: plate.thickness / 2 / steep }]
  })
}

/** Longest strip along the grain that a sheet has room for. */
function longestOn(stock: Stock): number {
  const { width, height } = roomOn(stock)
  return stock.grain === 'long' ? height : width
}

function within({ at }: Pass, { from, to }: StripPart): boolean {
  return at >= from - 1e-6 && at <= to + 1e-6
}

function stripPiece(part: StripPart, seats: readonly Seat[], reads: readonly string[]): Piece {
  const { strip, name } = part
  const { stock, plies = 1 } = strip.of.options
  const inside = part.passes.filter((pass) => within(pass, part))
  const form = seats.length > 0 ? bentInto(strip, part, seats) : undefined
  return flatPiece(stripFlat(part, inside), {
    mark: [strip.name, name].filter(Boolean).join('-'),
    family: strip.of.code,
    side: strip.side,
    station: strip.number,
    stock,
    plies,
    notes: [notesOf(strip, inside)],
    ...(form && { form }),
    reads,
    site: strip.of.site,
  })
}

function stripFlat({ strip, from, to }: StripPart, inside: readonly Pass[]): Flat {
  const lines = inside.flatMap(({ at, half }) =>
    [at - from - half, at - from + half]
      .filter((x) => x > EDGE && x < to - from - EDGE)
      .map((x): FlatLine => ({ kind: 'align', line: [[x, 0], [x, strip.breadth]], closed: false })),
  )
  return plainFlat(rectangleLoop(to - from, strip.breadth), { lines, grain: 0 })
}

/** A line this near an end would be cut off with it, mm. */
const EDGE = 0.1

function notesOf({ of }: Strip, inside: readonly Pass[]): string {
  const lies = of.options.lies === 'on edge' ? 'On edge' : 'Flat'
  if (inside.length === 0) return `${lies} to the skin.`
  const [first, last] = [inside[0]!.plate.name, inside.at(-1)!.plate.name]
  return `${lies} to the skin, through ${first} to ${last}; its lines are their faces.`
}
