import { type Finding, FindingError } from '../finding/finding'
import { type CallSite, callSite, resolveSite } from '../finding/site'
import { recording } from '../length/bench'
import { type Length, mm } from '../length/length'
import { bench } from '../length/unit'
import { carrier, carryLine, planeLine } from '../craft/develop/carry'
import { type Curl, rulingDirection, tightestCurl } from '../craft/develop/curl'
import { panelsToFit } from '../craft/develop/sheetPanel'
import type { Development, Ruling } from '../craft/develop/unroll'
import { type Flat, type FlatLine, type FlatOpening, moveFlat } from '../craft/flat'
import { checkCurl } from '../craft/fold'
import { dot, faceNormal, heightOver, radians, scale, subtract, toModel } from '../craft/space'
import { mirrorPiece } from '../model/mirror'
import { PieceSet } from '../model/assembly'
import type { Piece } from '../model/piece'
import { session } from '../model/session'
import { area, boundsOf } from '../shape/measure'
import type { Point } from '../shape/point'
import type { Pose, Vector } from '../shape/pose'
import type { Shape } from '../shape/shape'
import type { Stock } from '../stock/card'
import { flatPiece, readsOf, say } from './flatPiece'
import { type Run, type RunSection, middleOf, mmOr, sectionsOf } from './sections'
import type { EdgePlace } from './stretch'

/** What skins and planks have in common: where they lie, and how they are cut. */
export interface CoveringOptions {
  readonly stock: string
  /** Where it begins on each section; it runs counter-clockwise from there. */
  readonly from: EdgePlace
  /** Where it ends. */
  readonly to?: EdgePlace
  /** Which face of the card the sections describe: `inside` for frames it is laid over, `outside` for the true surface. */
  readonly face?: 'inside' | 'outside'
  /** Numbers of stations where a panel must end. Without any, panels are as long as the rest allows. */
  readonly split?: readonly number[]
  /** How far the card may stand off the sections, 0.25 mm unless said. */
  readonly allowed?: Length
  /** The same for port, mirrored. A mirrored family of ribs has it so without asking. */
  readonly handed?: boolean
  /** Windows, doors and hatches: shapes in planes outside the skin, thrown on it at right angles to their plane. */
  readonly openings?: readonly { readonly shape: Shape; readonly place: Pose }[]
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
  const { result, read } = recording(() => located(site, code, () => coverRun(code, run, options, develop, crease, site)))
  const { pieces, under } = result
  const reads = readsOf(under, read)
  return new PieceSet(pieces.map((piece) => ({ ...piece, reads })))
}

function coverRun(
  code: string,
  run: Run,
  options: CoveringOptions,
  develop: Develop,
  crease: number | undefined,
  site: CallSite,
): { pieces: Piece[]; under: readonly Piece[] } {
  const { list, pieces: under, handed } = sectionsOf(run, mmOr(options.notch, NOTCH))
  const thickness = mm(bench.plies(options.stock))
  const stock = session().stocks.get(options.stock)!
  const k = stock.fold.k.value
  const ground: Ground = {
    sections: list,
    stock,
    out: options.face === 'outside' ? (k - 1) * thickness : k * thickness,
    allowed: mmOr(options.allowed, ALLOWED),
    inside: middleOf(list[list.length >> 1]!),
  }
  const bothSides = options.handed ?? handed
  const parts = panelsOf(ground, options, develop).flatMap((panel) => sheetParts(panel, ground))
  const pieces = parts.flatMap((part, i) => partPieces(part, i, parts.length, code, bothSides, ground, options, crease, site))
  return { pieces, under }
}

const ALLOWED = 0.25
const NOTCH = 3

/** Kept clear of a sheet's sides for its bars and its title, mm. */
const BARS = 8
const TITLE = 30

interface Panel extends CoveringPanel {
  readonly from: number
  readonly to: number
}

/** Longest panels first, from each end on; a panel of one bay is taken as it is. */
function panelsOf(ground: Ground, options: CoveringOptions, develop: Develop): Panel[] {
  const { sections, allowed } = ground
  const last = sections.length - 1
  const forced = new Set(splitsOf(ground, options.split ?? []))
  const make = (from: number, to: number): Panel => ({ ...finished(develop(ground, from, to), ground, options), from, to })
  const panels: Panel[] = []
  for (let from = 0; from < last; ) {
    let best = make(from, from + 1)
    for (let to = from + 2; to <= last && !forced.has(to - 1); to++) {
      const longer = make(from, to)
      if (longer.deviation > allowed || !fits(longer.flat, ground.stock)) break
      const good = to === last || forced.has(to) || !cutsOpening(sections[to]!, options)
      if (good || cutsOpening(sections[best.to]!, options)) best = longer
    }
    panels.push(best)
    from = best.to
  }
  return panels
}

function splitsOf({ sections }: Ground, numbers: readonly number[]): number[] {
  return numbers.map((number) => {
    const found = sections.findIndex((section) => section.number === number)
    if (found >= 0) return found
    throw new FindingError({
      id: 'skin-split',
      severity: 'error',
      text: `a skin is to be split at station ${number}; its sections run from ${sections[0]!.number} to ${sections.at(-1)!.number}`,
      remedy: 'name a station of the run',
      found: number,
      wanted: sections.at(-1)!.number,
    })
  })
}

/** Datums and openings laid on, and turned so that the grain runs along the piece's x or across it. */
function finished(panel: CoveringPanel, { inside }: Ground, { datums = [], openings = [] }: CoveringOptions): CoveringPanel {
  const { development, flat } = panel
  const drawn = datums.map((pose): FlatLine => {
    return { kind: 'datum', line: planeLine(development, pose.origin, faceNormal(pose)), closed: false }
  })
  const thrown = openings.flatMap(({ shape, place }) => throwOn(development, shape, place, inside))
  return {
    ...panel,
    findings: [...panel.findings, ...thrown.flatMap(({ finding }) => finding ?? [])],
    flat: {
      ...flat,
      grain: grainOf(development),
      lines: [...flat.lines, ...drawn].filter(({ line }) => line.length > 1),
      openings: [...flat.openings, ...thrown.flatMap(({ opening }) => opening ?? [])],
    },
  }
}

/** An opening as the line of sight throws it on the skin; nothing where it misses. */
function throwOn(
  development: Development,
  shape: Shape,
  place: Pose,
  inside: Vector,
): { opening?: FlatOpening; finding?: Finding }[] {
  const on = carrier(development)
  const normal = faceNormal(place)
  return shape.region.flatMap((loop): { opening?: FlatOpening; finding?: Finding }[] => {
    const corners = loop.map((point) => toModel(place, point))
    const sight = dot(normal, subtract(inside, corners[0]!)) > 0 ? normal : scale(normal, -1)
    const landed = corners.filter((corner) => on.seenAlong(corner, sight)).length
    if (landed === 0) return []
    if (landed < corners.length) return [{ finding: onTheJoint(landed, corners.length) }]
    const line = carryLine(on, [...corners, corners[0]!], sight).slice(0, -1)
    return [{ opening: { kind: 'opening', loop: area([line]) > 0 ? line.toReversed() : line } }]
  })
}

function onTheJoint(landed: number, count: number): Finding {
  return {
    id: 'opening-on-joint',
    severity: 'error',
    text: `an opening lies across the edge of the panel: ${landed} of its ${count} points are on it`,
    remedy: 'move the opening, or split the skin at another frame',
    found: landed,
    wanted: count,
  }
}

/** Whether the plane of a section runs through one of the openings. */
function cutsOpening({ pose }: RunSection, { openings = [] }: CoveringOptions): boolean {
  return openings.some(({ shape, place }) => {
    const heights = shape.region.flat().map((point) => heightOver(pose, toModel(place, point)))
    return Math.min(...heights) < 0 && Math.max(...heights) > 0
  })
}

/** What the panel is cut into to go on sheets: mostly itself. */
function sheetParts(panel: Panel, { stock }: Ground): Panel[] {
  if (fits(panel.flat, stock)) return [panel]
  const { width, height } = roomOn(stock)
  return panelsToFit(panel, { width, height }).map((part, i) => ({
    ...panel,
    ...part,
    flat: { ...part.flat, ...(panel.flat.grain !== undefined && { grain: panel.flat.grain }) },
    findings: i === 0 ? panel.findings : [],
  }))
}

function fits(flat: Flat, stock: Stock): boolean {
  const bounds = boundsOf([squared(flat).outline])
  const [along, across] = [bounds.maxX - bounds.minX, bounds.maxY - bounds.minY]
  const { width, height } = roomOn(stock)
  const grainAlong = stock.grain === 'long' ? height : width
  const [x, y] = squared(flat).grain === 0 ? [grainAlong, width + height - grainAlong] : [width + height - grainAlong, grainAlong]
  return along <= x && across <= y
}

function roomOn({ sheet, margin }: Stock): { width: number; height: number } {
  return { width: sheet.width - margin.left - margin.right - BARS, height: sheet.height - margin.top - margin.bottom - TITLE }
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

/** Turned, by as little as will do, so that its grain runs along x or along y. */
export function squared(flat: Flat): Flat {
  const grain = flat.grain ?? 0
  const wanted = grain > 45 && grain <= 135 ? 90 : 0
  const turn = wanted - (grain > 135 ? grain - 180 : grain)
  const [c, s] = [Math.cos(radians(turn)), Math.sin(radians(turn))]
  return { ...moveFlat(flat, ([x, y]): Point => [c * x - s * y, s * x + c * y]), grain: wanted }
}

function partPieces(
  part: Panel,
  index: number,
  count: number,
  code: string,
  handed: boolean,
  { sections, stock, allowed }: Ground,
  options: CoveringOptions,
  crease: number | undefined,
  site: CallSite,
): Piece[] {
  const number = count === 1 ? '' : String(index + 1).padStart(2, '0')
  const identity = (side: 'P' | 'S' | '') => ({
    mark: [code, side + number].filter(Boolean).join('-'),
    family: code,
    side,
    station: index + 1,
  })
  const own = identity(handed ? 'S' : '')
  const curl = tightestCurl(part.development, crease)
  say([...part.findings, ...tightCurl(part, curl, stock)].map((finding) => ({ ...finding, mark: own.mark, family: code })), site)
  const notes = [
    `From ${sections[part.from]!.name} to ${sections[part.to]!.name}; stands up to ${part.deviation.toFixed(2)} mm off them, ` +
      `${allowed.toFixed(2)} mm is allowed.`,
    ...(curl ? [`Curl to a radius of ${curl.radius.toFixed(1)} mm, printed side outside.`] : []),
    ...(options.note ? [options.note] : []),
  ]
  const piece = flatPiece(squared(part.flat), { ...own, stock: options.stock, notes, reads: [], site })
  return handed ? [mirrorPiece(piece, identity('P')), piece] : [piece]
}

function tightCurl({ flat }: Panel, curl: Curl | undefined, stock: Stock): Finding[] {
  if (!curl) return []
  return checkCurl(curl.radius, curl.axis - (flat.grain ?? 0), stock)
}

/** Runs the work so that what it throws names the author's line. */
export function located<T>(site: CallSite, family: string, work: () => T): T {
  try {
    return work()
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    const where = error.finding.site ?? resolveSite(site)
    throw new FindingError({ family, ...error.finding, ...(where && { site: where }) }, { cause: error })
  }
}
