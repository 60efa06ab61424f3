import { inherited, type GonePiece } from './heirs'
import { isWithin } from '../model/assemblyPath'
import { lotsOf, type Stage } from './lots'
import { DEEDS, type Deed, type LogEntry, standingEntries } from './logbook'
import type { Manifest } from './manifest'
import { type Hours, hoursFor, type Rates, ratesOf, type Work } from './rate'
import { type SeriesPoint, seriesOf } from './series'
import { type PieceStanding, type StalePiece, type StandingOptions, standingsOf } from './standing'

/** What has been done of a model, what is to be done, and what of it the model has left behind. */
export interface Progress {
  /** Folder name under `out/`. */
  readonly model: string
  readonly title: string
  readonly scale: string
  /** In the order of the manifest. */
  readonly pieces: readonly PieceStanding[]
  readonly total: Tally
  /** In build order; an assembly's figures take in those below it. */
  readonly assemblies: readonly NamedTally[]
  /** By id. */
  readonly stocks: readonly NamedTally[]
  readonly stale: readonly StalePiece[]
  /** Pieces on the bench that the model no longer has under any mark. */
  readonly gone: readonly GonePiece[]
  readonly spent: Spent
  readonly toGo: Hours
  readonly rates: Rates
  readonly series: readonly SeriesPoint[]
}

/** Pieces of card: every copy, every ply. */
export interface Tally extends Readonly<Record<Stage, number>> {
  readonly needed: number
  /** How many of those needed are folded, rolled or curled. */
  readonly toForm: number
  readonly spare: number
  readonly scrapped: number
  /** mm of knife cut round all that is needed, and round what of it is cut. */
  readonly mm: number
  readonly mmCut: number
}

export interface NamedTally extends Tally {
  readonly name: string
}

/** Hours entered so far. */
export interface Spent {
  readonly hours: number
  readonly by: Readonly<Record<Deed, number>>
}

/** @param entries those of the manifest's model; others are left out */
export function progressOf(manifest: Manifest, entries: readonly LogEntry[], options: StandingOptions): Progress {
  const own = entries.filter(({ model }) => model === manifest.model)
  const { lots, gone } = inherited(lotsOf(own), manifest)
  const pieces = standingsOf(manifest, lots, options)
  const rates = ratesOf(own, options.shapes)
  return {
    model: manifest.model,
    title: manifest.title,
    scale: manifest.scale.name,
    pieces,
    total: tally(pieces),
    assemblies: manifest.assemblies.map((name) => ({ name, ...tally(pieces.filter(isIn(name))) })),
    stocks: manifest.stocks.map(({ id }) => ({ name: id, ...tally(pieces.filter(({ piece }) => piece.stock === id)) })),
    stale: pieces.flatMap(({ stale }) => stale),
    gone,
    spent: spentOf(own),
    toGo: hoursFor(workLeft(pieces), rates),
    rates,
    series: seriesOf(own),
  }
}

/** What is still to be done: mm of cut, pieces to form, pieces to glue. */
export function workLeft(pieces: readonly PieceStanding[]): Record<Work, number> {
  const sum = (amount: (one: PieceStanding) => number) => pieces.reduce((total, one) => total + amount(one), 0)
  return {
    cut: sum(({ needed, done, cut }) => (needed - done.cut) * cut),
    formed: sum(({ needed, done, forms }) => (forms ? needed - done.formed : 0)),
    glued: sum(({ needed, done }) => needed - done.glued),
  }
}

function isIn(assembly: string): (one: PieceStanding) => boolean {
  return ({ piece }) => isWithin(piece.assembly, assembly)
}

function tally(pieces: readonly PieceStanding[]): Tally {
  const sum = (count: (one: PieceStanding) => number) => pieces.reduce((total, one) => total + count(one), 0)
  return {
    needed: sum(({ needed }) => needed),
    printed: sum(({ done }) => done.printed),
    cut: sum(({ done }) => done.cut),
    toForm: sum(({ needed, forms }) => (forms ? needed : 0)),
    formed: sum(({ done, forms }) => (forms ? done.formed : 0)),
    glued: sum(({ done }) => done.glued),
    spare: sum(({ spare }) => spare),
    scrapped: sum(({ scrapped }) => scrapped),
    mm: sum(({ needed, cut }) => needed * cut),
    mmCut: sum(({ done, cut }) => done.cut * cut),
  }
}

function spentOf(entries: readonly LogEntry[]): Spent {
  const standing = standingEntries(entries)
  const hours = (did?: Deed) =>
    standing.reduce((sum, entry) => sum + (!did || entry.did === did ? (entry.minutes ?? 0) : 0), 0) / 60
  return { hours: hours(), by: Object.fromEntries(DEEDS.map((did) => [did, hours(did)])) as Record<Deed, number> }
}
