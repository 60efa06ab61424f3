import type { Finding } from '../finding/finding'
import type { CallSite } from '../finding/site'
import { FindingError } from '../finding/finding'
import type { Stock } from '../stock/card'
import type { Family } from './family'
import type { Piece } from './piece'
import type { Relation } from './relation'
import type { Station } from './stations'
import type { GluedTo } from './gluedTo'

/**
 * One evaluation of a model: what has been worked out so far. Results are kept by family and station, so that a family
 * used twice is called once, and an evaluation cut off by the watchdog carries on where it left off.
 */
export interface Session {
  readonly stocks: ReadonlyMap<string, Stock>
  /** Results by {@link stationKey}; they outlive a cut-off. */
  readonly results: Map<string, StationResult>
  /** Names of the families met in this run, in the order they came; a model's function makes them anew each run. */
  readonly names: Map<Family, string>
  /** What steps between families had to say in this run. */
  readonly said: Finding[]
  /** What parts were said to be to one another in this run. */
  readonly relations: Relation[]
  /** Pieces that the author named in this run, to be looked for in the finished model. */
  readonly named: Named[]
  /** Assemblies that were named in this run, likewise. */
  readonly awaited: Awaited[]
  /** Marks of pieces that were taken apart in this run, and what they were taken apart into. */
  readonly parted: Map<string, Parted>
  /** The station being worked on, for the watchdog; undefined between families. */
  working: { readonly family: Family; readonly station: Station } | undefined
}

/** Pieces that a statement of the author's is about. */
export interface Named {
  /** What was said: `clearance "door"`. */
  readonly what: string
  readonly marks: readonly string[]
  readonly site: CallSite
}

/** An assembly that another was said to come before or after, by its path. */
export interface Awaited {
  readonly name: string
  readonly site: CallSite
}

/** What a piece was taken apart into: layers one on another, or tiles side by side. */
export interface Parted {
  readonly into: 'plies' | 'tiles'
  readonly marks: readonly string[]
}

export interface StationResult {
  readonly pieces: readonly Piece[]
  readonly findings: readonly Finding[]
  /** What the station's pieces are to one another. */
  readonly relations: readonly Relation[]
  /** What of them is glued to pieces of other families, which are not asked for before all is worked out. */
  readonly bonds: readonly GluedTo[]
}

let current: Session | undefined

export function newSession(stocks: ReadonlyMap<string, Stock>): Session {
  return { stocks, results: new Map(), names: new Map(), said: [], relations: [], named: [], awaited: [], parted: new Map(), working: undefined }
}

/** One run of the model's function. After a cut-off, whatever was set before the run is put back by hand. */
export function inSession<T>(mine: Session, work: () => T): T {
  const before = current
  current = mine
  mine.names.clear()
  mine.said.length = 0
  mine.relations.length = 0
  mine.named.length = 0
  mine.awaited.length = 0
  mine.parted.clear()
  try {
    return work()
  } finally {
    current = before
  }
}

/** @throws FindingError outside a model's function, where no family can be evaluated */
export function session(): Session {
  if (current) return current
  throw new FindingError({
    id: 'no-model',
    severity: 'error',
    text: "pieces were asked for outside the model's function",
    remedy: "move the call inside model('…', { … }, () => { … })",
  })
}

/** Remembers the session that is set now; the function returned puts it back, as `keepBench` does. */
export function keepSession(): () => void {
  const kept = current
  return () => {
    current = kept
  }
}

/**
 * Tells a station's result from all others through every run of one model. Two families may share a code (a fault that
 * is found later), so they are also counted in the order they are first asked for.
 */
export function stationKey({ names }: Session, family: Family, station: Station): string {
  let name = names.get(family)
  if (name === undefined) names.set(family, (name = `${names.size} ${family.code}`))
  return `${name} ${station.number}`
}
