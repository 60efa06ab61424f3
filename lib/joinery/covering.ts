import { type Finding, FindingError } from '../finding/finding'
import { type CallSite, callSite } from '../finding/site'
import { recording } from '../length/bench'
import type { Length } from '../length/length'
import { planeLine } from '../craft/develop/carry'
import { type Curl, tightestCurl } from '../craft/develop/curl'
import { panelsToFit } from '../craft/develop/sheetPanel'
import type { Development } from '../craft/develop/unroll'
import type { Flat, FlatLine } from '../craft/flat'
import { checkCurl } from '../craft/fold'
import { faceNormal } from '../craft/space'
import { PieceSet } from '../model/assembly'
import { mirrorPiece } from '../model/mirror'
import type { Piece, Side } from '../model/piece'
import type { Pose, Vector } from '../shape/pose'
import type { Stock } from '../stock/card'
import { stockOf } from './craftDraft'
import { flatPiece, readsOf, say } from './flatPiece'
import { located } from './located'
import { type Run, type RunSection, middleOf, mmOr, sectionsOf } from './sections'
import { join, joinMarks } from './relate'
import { curvedAs, toMiddle } from './rulings'
import { meetAlong, meetOnCentre } from './seam'
import { fitsSheet, roomOn, squareMove, squared } from './sheetRoom'
import { type SkinOpening, cutsOpening, throwOn } from './skinOpening'
import type { EdgePlace } from './stretch'

/** What skins and planks have in common: where they lie, and how they are cut. */
export interface CoveringOptions {
  readonly stock: string
  /** Where it begins on each section; it runs counter-clockwise from there. */
  readonly from: EdgePlace
  /** Where it ends. */
  readonly to?: EdgePlace
  /** Which face of the card the sections are: `inside` for frames it is laid over, `outside` for the true surface. */
  readonly face?: 'inside' | 'outside'
  /** Numbers of stations where a panel must end. Without any, panels are as long as the rest allows. */
  readonly split?: readonly number[]
  /** How far the card may stand off the sections, 0.25 mm unless said. */
  readonly allowed?: Length
  /** The same for port, mirrored. A mirrored family of ribs has it so without asking. */
  readonly handed?: boolean
  /** Windows, doors and hatches: shapes in planes outside the skin, thrown on it at right angles to their plane. */
  readonly openings?: readonly SkinOpening[]
  /** Planes whose cut with the skin is drawn on it: waterlines, centre lines, edges of paint. */
  readonly datums?: readonly Pose[]
  /** Widest mouth of a notch in the frames that it runs over, 3 mm unless said. */
  readonly notch?: Length
  readonly note?: string
}

/** The skin between two sections of the run, by their places in it. */
export interface CoveringPanel {
  readonly development: Development
  readonly flat: Flat
  readonly deviation: number
  readonly findings: readonly Finding[]
}

/** What a panel is developed from. */
export interface Ground {
  readonly sections: readonly RunSection[]
  /** The pieces they were taken from. */
  readonly under: readonly Piece[]
  readonly stock: Stock
  /** From the sections to the card's neutral layer, outwards, mm. */
  readonly out: number
  readonly allowed: number
  readonly inside: Vector
}

/** Develops the panel from one section to another. */
export type Develop = (ground: Ground, from: number, to: number) => CoveringPanel

/**
 * Covers a run of sections in panels: each as long as the deviation allowed, the sheet, the openings and the stations
 * named let it be; each a piece with its frame lines, datums and openings, its grain along the straight lines.
 */
export function cover(code: string, run: Run, options: CoveringOptions, develop: Develop, crease?: number): PieceSet {
  const site = callSite()
  const job: Job = { code, options, develop, crease, site }
  const { result, read } = recording(() => located(site, code, () => coverRun(run, job)))
  const { pieces, under } = result
  const reads = readsOf(under, read)
  return new PieceSet(pieces.map((piece) => ({ ...piece, reads })))
}

/** What was asked for, on its way through the steps. */
interface Job {
  readonly code: string
  readonly options: CoveringOptions
  readonly develop: Develop
  readonly crease: number | undefined
  readonly site: CallSite
}

function coverRun(run: Run, job: Job): { pieces: Piece[]; under: readonly Piece[] } {
  const { options } = job
  const { list, pieces: under, handed } = sectionsOf(run, mmOr(options.notch, NOTCH))
  const stock = stockOf(options.stock)
  const { value: k } = stock.fold.k
  const ground: Ground = {
    sections: list,
    under,
    stock,
    out: (options.face === 'outside' ? k - 1 : k) * stock.measured,
    allowed: mmOr(options.allowed, ALLOWED),
    inside: middleOf(list[list.length >> 1]!),
  }
  const parts = panelsOf(ground, job).flatMap((panel) => sheetParts(panel, ground))
  const pieces = parts.flatMap((part, i) => {
    const number = parts.length === 1 ? '' : String(i + 1).padStart(2, '0')
    return partPieces(part, { number, station: i + 1, handed: options.handed ?? handed }, ground, job)
  })
  for (const side of ['P', 'S', ''] as const) joinPanels(pieces.filter((piece) => piece.side === side), parts)
  return { pieces, under }
}

/** Panels that follow one another meet at a section, and those that one was cut into for the sheet beside each other. */
function joinPanels(pieces: readonly Piece[], parts: readonly Panel[]): void {
  for (const [i, piece] of pieces.entries()) {
    for (const [k, next] of pieces.slice(i + 1).entries()) {
      const [one, other] = [parts[i]!, parts[i + 1 + k]!]
      if (one.from !== other.from && one.to !== other.from) continue
      const whole = k === 0
      if (!meetAlong(piece, next, whole ? Infinity : SAME_EDGE) && whole) join('glue', [piece], [next])
    }
  }
}

/** Parts of panels that share less than an edge are further apart than this in the mean, mm. */
const SAME_EDGE = 0.5

const ALLOWED = 0.25
const NOTCH = 3

interface Panel extends CoveringPanel {
  readonly from: number
  readonly to: number
}

/** Longest panels first, from each end on; a panel of one bay is taken as it is. */
function panelsOf(ground: Ground, { options, develop }: Job): Panel[] {
  const { sections, allowed } = ground
  const last = sections.length - 1
  const forced = new Set(splitsOf(ground, options.split ?? []))
  const make = (from: number, to: number): Panel => ({ ...develop(ground, from, to), from, to })
  const cutAt = (i: number): boolean => cutsOpening(sections[i]!.pose, options.openings)
  const panels: Panel[] = []
  for (let from = 0; from < last;) {
    let best = make(from, from + 1)
    for (let to = from + 2; to <= last && !forced.has(to - 1); to++) {
      const longer = make(from, to)
      if (longer.deviation > allowed || !fitsSheet(longer.flat, ground.stock)) break
      const good = to === last || forced.has(to) || !cutAt(to)
      if (good || cutAt(best.to)) best = longer
    }
    panels.push({ ...best, ...finished(best, ground, options) })
    from = best.to
  }
  return panels
}

function splitsOf({ sections }: Ground, numbers: readonly number[]): number[] {
  const [first, last] = [sections[0]!, sections.at(-1)!]
  return numbers.map((number) => {
    const found = sections.findIndex((section) => section.number === number)
    if (found >= 0) return found
    throw new FindingError({
      id: 'skin-split',
      severity: 'error',
      text: `a skin is to be split at station ${number}; its sections run from ${first.number} to ${last.number}`,
      remedy: 'name a station of the run',
      found: number,
      wanted: last.number,
    })
  })
}

/** Datums and openings laid on, and turned so that the grain runs along the piece's x or across it. */
function finished(
  panel: CoveringPanel,
  { inside }: Ground,
  { datums = [], openings = [] }: CoveringOptions,
): CoveringPanel {
  const { development, flat } = panel
  const drawn = datums.map((pose): FlatLine => {
    return { kind: 'datum', line: planeLine(development, pose.origin, faceNormal(pose)), closed: false }
  })
  const thrown = openings.flatMap((opening) => throwOn(development, opening, inside))
  return {
    ...panel,
    findings: [...panel.findings, ...thrown.flatMap(({ finding }) => finding ?? [])],
    flat: {
      ...flat,
      lines: [...flat.lines, ...drawn].filter(({ line }) => line.length > 1),
      openings: [...flat.openings, ...thrown.flatMap(({ opening }) => opening ?? [])],
    },
  }
}

/** What the panel is cut into to go on sheets: mostly itself. */
function sheetParts(panel: Panel, { stock }: Ground): Panel[] {
  if (fitsSheet(panel.flat, stock)) return [panel]
  const { width, height } = roomOn(stock)
  return panelsToFit(panel, { width, height }).map((part, i) => ({
    ...panel,
    ...part,
    flat: { ...part.flat, ...(panel.flat.grain !== undefined && { grain: panel.flat.grain }) },
    findings: i === 0 ? panel.findings : [],
  }))
}

function partPieces(
  part: Panel,
  { number, station, handed }: { number: string; station: number; handed: boolean },
  { sections, stock, allowed, under }: Ground,
  { code, options, crease, site }: Job,
): Piece[] {
  const identity = (side: 'P' | 'S' | '') => ({
    mark: [code, side + number].filter(Boolean).join('-'),
    family: code,
    side,
    station,
  })
  const own = identity(handed ? 'S' : '')
  const curl = tightestCurl(part.development, crease)
  const findings = [...part.findings, ...tightCurl(part, curl, stock)]
  say(
    findings.map((finding) => ({ ...finding, mark: own.mark, family: code })),
    site,
  )
  const [from, to] = [sections[part.from]!, sections[part.to]!]
  const notes = [
    `From ${from.name} to ${to.name}; stands up to ${part.deviation.toFixed(2)} mm off them, ` +
      `${allowed.toFixed(2)} mm is allowed.`,
    ...(curl ? [`Curl to a radius of ${curl.radius.toFixed(1)} mm, printed side outside.`] : []),
    ...(options.note ? [options.note] : []),
  ]
  const form = curvedAs(part.development, toMiddle(options.face ?? 'inside', stock.thickness.value), squareMove(part.flat))
  const piece = flatPiece(squared(part.flat), { ...own, stock: options.stock, notes, reads: [], form, site })
  const all = handed ? [mirrorPiece(piece, identity('P')), piece] : [piece]
  if (handed) meetOnCentre(all[0]!, piece)
  for (const { name } of sections.slice(part.from, part.to + 1)) {
    for (const { mark, side } of all) joinMarks('glue', mark, onSide(name, under, side), allowed)
  }
  return all
}

/** The frame to port of one to starboard; a frame on the centre line carries both skins. */
export function onSide(name: string, under: readonly Piece[], side: Side): string {
  const frame = under.find(({ mark }) => mark === name)
  return side === 'P' && frame?.side === 'S' ? name.replace(`${frame.family}-S`, `${frame.family}-P`) : name
}

function tightCurl({ flat }: Panel, curl: Curl | undefined, stock: Stock): Finding[] {
  if (!curl) return []
  return checkCurl(curl.radius, curl.axis - (flat.grain ?? 0), stock)
}
