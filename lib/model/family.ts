import { type Finding, FindingError, type Site } from '../finding/finding'
import { suggest } from '../finding/nearest'
import { type CallSite, callSite, resolveSite } from '../finding/site'
import { thrownWords } from '../finding/thrown'
import { inMm } from '../craft/figure'
import { toModel } from '../craft/space'
import { recording } from '../length/bench'
import { type Length, ZERO } from '../length/length'
import { cutOut } from './cutOut'
import { Draft } from './draft'
import type { GluedTo } from './gluedTo'
import { mirrorPiece } from './mirror'
import type { Relation } from './relation'
import type { Piece, Side } from './piece'
import { type StationResult, session, stationKey } from './session'
import type { Station } from './stations'

/** What a family's function is told about the station it is called for. */
export interface StationInfo {
  /** From 1. */
  readonly number: number
  /** How many stations the family has. */
  readonly count: number
  /** 0 at the first station, 1 at the last. */
  readonly share: number
  /** The mark its piece will have, before side and part are added. */
  readonly mark: string
}

/** One piece, or several by name: `{ PAN: piece…, ARM: piece… }` makes `SE-03-PAN` and `SE-03-ARM`. */
export type Made = Draft | Readonly<Record<string, Draft>>

export type FamilyFunction = (at: Length, info: StationInfo) => Made

/** A change to the pieces of some stations; `part` is the name within the family's record, or empty. */
export type Exception = (piece: Draft, part: string) => Draft

/**
 * One function called for each station, giving a run of related pieces. It is a description: the function is called
 * when the model is evaluated, once for each scale and stock.
 */
export class Family {
  readonly code: string
  readonly stations: readonly Station[]
  readonly make: FamilyFunction
  readonly handed: boolean
  /** A family of one piece has no number in its mark. */
  readonly numbered: boolean
  readonly exceptions: ReadonlyMap<number, readonly Exception[]>
  readonly left: ReadonlySet<number>
  readonly site: CallSite

  constructor(parts: FamilyParts) {
    this.code = parts.code
    this.stations = parts.stations
    this.make = parts.make
    this.handed = parts.handed
    this.numbered = parts.numbered
    this.exceptions = parts.exceptions
    this.left = parts.left
    this.site = parts.site
    Object.freeze(this)
  }

  /** The same family with the pieces of some stations changed: `ribs.except(7, rib => rib.cut(hatch))`. */
  except(stations: number | readonly number[], change: Exception): Family {
    const exceptions = new Map(this.exceptions)
    for (const n of this.#known(stations)) exceptions.set(n, [...(exceptions.get(n) ?? []), change])
    return new Family({ ...this, exceptions })
  }

  /** The same family without some stations; the others keep their numbers. */
  without(...stations: number[]): Family {
    return new Family({ ...this, left: new Set([...this.left, ...this.#known(stations)]) })
  }

  #known(stations: number | readonly number[]): readonly number[] {
    const numbers = typeof stations === 'number' ? [stations] : stations
    for (const n of numbers) {
      if (this.stations.some((station) => station.number === n)) continue
      throw familyError(this, undefined, `there is no station ${n}`, `its stations run from 1 to ${this.stations.length}`)
    }
    return numbers
  }
}

/** What a family is made of: all of it but its words. */
export type FamilyParts = Omit<Family, 'except' | 'without'>

/** A run of pieces: `family('WR', stations.even(14, …), (y) => piece(…))` makes `WR-01` to `WR-14`. */
export function family(code: string, stations: readonly Station[], make: FamilyFunction): Family {
  return newFamily(code, stations, make, true)
}

/** A family of one: `single('KE', () => piece(…))` makes the piece `KE`. */
export function single(code: string, make: (info: StationInfo) => Made): Family {
  return newFamily(code, [{ number: 1, at: ZERO }], (_, info) => make(info), false)
}

/**
 * The family on both sides: each piece as written stands to starboard (`WR-S01`), and its mirror image to port
 * (`WR-P01`). The port piece is printed mirrored, so that on both the printed side faces the same way.
 */
export function mirrored(given: Family): Family {
  return new Family({ ...given, handed: true })
}

/** The family's pieces on the bench the model is being built for, in order of station. */
export function evaluateFamily(given: Family): readonly Piece[] {
  const mine = session()
  return given.stations.flatMap((station) => {
    if (given.left.has(station.number)) return []
    const key = stationKey(mine, given, station)
    const known = mine.results.get(key)
    if (known) return known.pieces
    mine.working = { family: given, station }
    const result = evaluateStation(given, station)
    mine.results.set(key, result)
    mine.working = undefined
    return result.pieces
  })
}

function evaluateStation(given: Family, station: Station): StationResult {
  const { result, read } = recording(() => makeStation(given, station))
  return {
    pieces: result.flatMap(({ pieces }) => pieces).map((piece) => ({ ...piece, reads: read })),
    findings: result.flatMap(({ findings }) => findings),
    relations: result.flatMap(({ relations }) => relations),
    bonds: result.flatMap(({ bonds }) => bonds),
  }
}

function makeStation(given: Family, station: Station): StationResult[] {
  const count = given.stations.length
  const info: StationInfo = {
    number: station.number,
    count,
    share: count === 1 ? 0 : (station.number - 1) / (count - 1),
    mark: markOf(given, '', station, ''),
  }
  try {
    const made = given.make(station.at, info)
    const changes = given.exceptions.get(station.number) ?? []
    const parts = partsOf(given, station, made).map(([part, draft]) => ({
      part,
      draft: changes.reduce((before, change) => changed(given, station, change(before, part)), draft),
    }))
    return parts.map((one) => ({ ...finished(given, station, one.part, one.draft), ...meetings(given, station, one, parts) }))
  } catch (error) {
    throw located(given, station, error)
  }
}

function partsOf(given: Family, station: Station, made: unknown): [string, Draft][] {
  if (made instanceof Draft) return [['', made]]
  const parts = made !== null && typeof made === 'object' ? Object.entries(made) : []
  if (parts.length === 0) {
    throw familyError(given, station, 'its function returned nothing', 'return a piece, or a record of named pieces')
  }
  for (const [name, draft] of parts) {
    if (!(draft instanceof Draft)) {
      throw familyError(given, station, `its part "${name}" is not a piece`, 'start it with piece({ stock: … })')
    }
    checkCode(name, `the part name of family ${given.code}`)
  }
  return parts
}

function changed(given: Family, station: Station, result: unknown): Draft {
  if (result instanceof Draft) return result
  throw familyError(given, station, 'an exception returned no piece', 'return the changed piece from it')
}

interface NamedDraft {
  readonly part: string
  readonly draft: Draft
}

/** What a part is to the other parts of its station and to other families, on each side. */
function meetings(
  given: Family,
  station: Station,
  { part, draft: { state } }: NamedDraft,
  parts: readonly NamedDraft[],
): Pick<StationResult, 'relations' | 'bonds'> {
  const sides: readonly Side[] = given.handed ? ['P', 'S'] : ['']
  const mark = (side: Side, name: string): string => markOf(given, side, station, name)
  const { layer } = state
  const beneath = parts.filter(({ draft }) => layer && draft.state.layer?.of === layer.of && draft.state.layer.number === layer.number - 1)
  const names = state.glued.flatMap(({ to }) => (typeof to === 'string' ? [to] : []))
  for (const name of names) {
    if (name !== part && parts.some((other) => other.part === name)) continue
    const others = parts.flatMap((other) => (other.part === part || other.part === '' ? [] : [other.part]))
    const remedy = others.length > 0 ? suggest(name, others) : 'give it the family itself, or make the parts of one station in one record'
    throw familyError(given, station, `${mark(sides.at(-1)!, part)} is glued to "${name}", of which there is no other part`, remedy)
  }
  return {
    relations: sides.flatMap((side): Relation[] => [
      ...beneath.map((below): Relation => ({ kind: 'join', a: mark(side, below.part), b: mark(side, part), how: 'glue' })),
      ...(state.round > 1 ? [seamOf(mark(side, part))] : []),
      ...names.map((name): Relation => ({ kind: 'bond', a: [mark(side, part)], b: [mark(side, name)] })),
    ]),
    bonds: sides.flatMap((side) =>
      state.glued.flatMap(({ to, site }): GluedTo[] => (typeof to === 'string' ? [] : [{ mark: mark(side, part), side, to, site }])),
    ),
  }
}

/** Petals round an axis meet the next copy of themselves. */
function seamOf(mark: string): Relation {
  return { kind: 'seam', a: mark, b: mark, edges: ['starts', 'ends'] }
}

function finished(given: Family, station: Station, part: string, draft: Draft): Pick<StationResult, 'pieces' | 'findings'> {
  const identity = (side: Side) => ({
    mark: markOf(given, side, station, part),
    family: given.code,
    side,
    station: station.number,
  })
  const { piece, findings: said } = cutOut(draft, identity(given.handed ? 'S' : ''))
  const findings = said.map((finding) => ({ mark: piece.mark, family: given.code, ...finding }))
  if (!given.handed) return { pieces: [piece], findings }
  const port = mirrorPiece(piece, identity('P'))
  return { pieces: [port, piece], findings: [...findings, ...onCentre(piece, port.mark)] }
}

/** A flat piece across or along the centre plane stands where its mirror image does. */
function onCentre(piece: Piece, port: string): Finding[] {
  const { pose, form, mark, family, outline } = piece
  if (!pose || form) return []
  const ys = outline.map((point) => toModel(pose, point)[1])
  const [least, most] = [Math.min(...ys), Math.max(...ys)]
  const across = least < -CENTRE && most > CENTRE
  if (!across && Math.max(Math.abs(least), Math.abs(most)) > CENTRE) return []
  const site = resolveSite(piece.site)
  return [
    {
      id: 'mirrored-centre',
      severity: 'warning',
      text: `it reaches from ${inMm(least)} to ${inMm(most)} of the centre plane, and so does its mirror image ${port}: they stand in one place`,
      remedy: 'take mirrored(…) away where one serves both sides, or draw the starboard half of it alone',
      mark,
      family,
      found: least,
      wanted: 0,
      ...(site && { site }),
    },
  ]
}

/** What reaches less far to one side of the centre plane is on it, mm. */
const CENTRE = 0.05

function markOf(given: Family, side: Side, station: Station, part: string): string {
  const digits = String(given.stations.length).length < 2 ? 2 : String(given.stations.length).length
  const number = given.numbered ? String(station.number).padStart(digits, '0') : ''
  return [given.code, side + number, part].filter(Boolean).join('-')
}

function newFamily(code: string, list: readonly Station[], make: FamilyFunction, numbered: boolean): Family {
  const site = callSite()
  checkCode(code, 'the family code')
  if (!Array.isArray(list) || list.length === 0) {
    throw simpleError(site, `family ${code} has no stations`, 'give it stations.even(…), stations.at(…) or another list')
  }
  if (typeof make !== 'function') {
    throw simpleError(site, `family ${code} has no function`, 'give it a function of the station that returns a piece')
  }
  return new Family({
    code,
    stations: list,
    make,
    handed: false,
    numbered,
    exceptions: new Map(),
    left: new Set(),
    site,
  })
}

const LONGEST_CODE = 24

/** Marks are printed small, used as ids and typed on the command line in ranges; so they keep to plain characters. */
function checkCode(code: unknown, what: string): void {
  const site = callSite()
  if (typeof code !== 'string' || code.length === 0) {
    throw simpleError(site, `${what} is empty`, 'give it a short name such as WR')
  }
  if (code.length > LONGEST_CODE) {
    throw simpleError(
      site,
      `${what} "${code.slice(0, 12)}…" is ${code.length} characters long, at most ${LONGEST_CODE} can be printed`,
      'shorten it',
    )
  }
  const odd = /[^\p{L}\p{N}._-]/u.exec(code)
  if (odd) {
    throw simpleError(site, `${what} "${code}" has the character "${odd[0]}"`, 'use letters, digits, dots, hyphens and underscores')
  }
}

function located(given: Family, station: Station, error: unknown): FindingError {
  const site = error instanceof Error ? resolveSite(error) : undefined
  if (error instanceof FindingError) {
    const { finding } = error
    const where = finding.site ?? site ?? resolveSite(given.site)
    return new FindingError(
      { family: given.code, station: stationName(given, station), ...finding, ...(where && { site: where }) },
      { cause: error.cause ?? error },
    )
  }
  const { text, remedy = 'mend the function' } = thrownWords(error)
  return new FindingError(familyFinding(given, station, `its function failed: ${text}`, remedy, site), { cause: error })
}

export function stationName(given: Family, station: Station): string {
  return given.numbered ? `station ${station.number}` : 'its only station'
}

function familyError(given: Family, station: Station | undefined, text: string, remedy: string): FindingError {
  return new FindingError(familyFinding(given, station, text, remedy))
}

export function familyFinding(
  given: Family,
  station: Station | undefined,
  text: string,
  remedy: string,
  site: Site | undefined = resolveSite(given.site),
): Finding {
  const where = station ? `, ${stationName(given, station)}` : ''
  return {
    id: 'family',
    severity: 'error',
    text: `family ${given.code}${where}: ${text}`,
    remedy,
    family: given.code,
    ...(station && { station: stationName(given, station) }),
    ...(site && { site }),
  }
}

function simpleError(site: CallSite, text: string, remedy: string): FindingError {
  const where = resolveSite(site)
  return new FindingError({ id: 'family', severity: 'error', text, remedy, ...(where && { site: where }) })
}
