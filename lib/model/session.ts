import type { Finding } from '../finding/finding'
import { FindingError } from '../finding/finding'
import type { Stock } from '../stock/card'
import type { Family } from './family'
import type { Piece } from './piece'
import type { Station } from './stations'

/**
 * One evaluation of a model: what has been worked out so far. Results are kept by family and station, so that a family
 * used twice is called once, and an evaluation cut off by the watchdog carries on where it left off.
 */
export interface Session {
  readonly stocks: ReadonlyMap<string, Stock>
  readonly stationsDone: Map<Family, Map<number, StationResult>>
  /** The station being worked on, for the watchdog; undefined between families. */
  working: { readonly family: Family; readonly station: Station } | undefined
  /** Grows with every piece of work done, so that the watchdog can tell slow from stuck. */
  steps: number
}

export interface StationResult {
  readonly pieces: readonly Piece[]
  readonly findings: readonly Finding[]
}

let current: Session | undefined

export function newSession(stocks: ReadonlyMap<string, Stock>): Session {
  return { stocks, stationsDone: new Map(), working: undefined, steps: 0 }
}

export function inSession<T>(mine: Session, work: () => T): T {
  const before = current
  current = mine
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
