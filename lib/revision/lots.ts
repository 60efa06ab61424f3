import { type LogEntry, standingEntries, type WorkEntry } from './logbook'

/** How far a piece of card has come; each stage takes in those before it. */
export const STAGES = ['printed', 'cut', 'formed', 'glued'] as const

export type Stage = (typeof STAGES)[number]

/** Pieces of one mark made to one geometry, as they are on the bench. */
export interface Lot {
  /** The mark they were entered under. */
  readonly mark: string
  readonly fingerprint: string
  /** How many have come just so far. */
  readonly at: Readonly<Record<Stage, number>>
  readonly scrapped: number
  /** When something was last done to them. */
  readonly last: string
  /** Fingerprints of the model that these pieces were accepted for. */
  readonly keptFor: readonly string[]
}

/** Lots by mark, each mark's in the order in which they were begun. */
export type Lots = ReadonlyMap<string, readonly Lot[]>

/** What the entries that count have left on the bench, of one model. */
export function lotsOf(entries: readonly LogEntry[]): Lots {
  const lots = new Map<string, OpenLot[]>()
  for (const entry of standingEntries(entries)) enter(lots, entry)
  return lots
}

/** How many of a lot have come at least so far. */
export function reached(lot: Lot, stage: Stage): number {
  return STAGES.slice(STAGES.indexOf(stage)).reduce((sum, one) => sum + lot.at[one], 0)
}

/** One entry more, the lots changed in place: for what is told step by step. */
export function enter(lots: Map<string, OpenLot[]>, { did, pieces, time }: WorkEntry): void {
  for (const { mark, count, fingerprint, for: wanted } of pieces) {
    const lot = lotFor(lots, mark, fingerprint)
    lot.last = time
    if (did === 'scrapped') lot.scrapped += take(lot, SCRAPPED_FIRST, count)
    else if (did !== 'kept') {
      take(lot, STAGES.slice(0, STAGES.indexOf(did)).toReversed(), count)
      lot.at[did] += count
    } else if (wanted !== undefined) lot.keptFor.push(wanted)
  }
}

export interface OpenLot extends Lot {
  readonly at: Record<Stage, number>
  scrapped: number
  last: string
  readonly keptFor: string[]
}

/** What is spoiled is most often what the knife has just been at; paper that was only printed is no loss. */
const SCRAPPED_FIRST = ['cut', 'formed', 'glued', 'printed'] as const

/** Takes up to so many out of the stages in turn, and says how many there were. */
function take(lot: OpenLot, stages: readonly Stage[], count: number): number {
  let left = count
  for (const stage of stages) {
    const taken = Math.min(left, lot.at[stage])
    lot.at[stage] -= taken
    left -= taken
  }
  return count - left
}

function lotFor(lots: Map<string, OpenLot[]>, mark: string, fingerprint: string): OpenLot {
  const known = lots.get(mark) ?? []
  if (known.length === 0) lots.set(mark, known)
  const found = known.find((lot) => lot.fingerprint === fingerprint)
  if (found) return found
  const lot = { mark, fingerprint, at: { printed: 0, cut: 0, formed: 0, glued: 0 }, scrapped: 0, last: '', keptFor: [] }
  known.push(lot)
  return lot
}
