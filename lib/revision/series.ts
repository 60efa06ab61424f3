import { enter, type Lots, type OpenLot, reached, type Stage } from './lots'
import { type LogEntry, standingEntries } from './logbook'

/** How things stood after an entry: hours so far, and pieces of card on the bench that had come at least so far. */
export interface SeriesPoint {
  readonly time: string
  readonly hours: number
  readonly cut: number
  readonly glued: number
}

/**
 * The history of the bench for a plot, a point an entry, in order of time. Pieces count whether or not the model has
 * moved on since: that is what lay there on the day.
 */
export function seriesOf(entries: readonly LogEntry[]): SeriesPoint[] {
  const lots = new Map<string, OpenLot[]>()
  const reach = { cut: 0, glued: 0 }
  let minutes = 0
  return standingEntries(entries).map((entry) => {
    const marks = new Set(entry.pieces.map(({ mark }) => mark))
    const before = countsOf(lots, marks)
    enter(lots, entry)
    const after = countsOf(lots, marks)
    minutes += entry.minutes ?? 0
    for (const stage of ['cut', 'glued'] as const) reach[stage] += after[stage] - before[stage]
    return { time: entry.time, hours: minutes / 60, ...reach }
  })
}

function countsOf(lots: Lots, marks: ReadonlySet<string>): Pick<SeriesPoint, 'cut' | 'glued'> {
  const count = (stage: Stage) =>
    [...marks].flatMap((mark) => lots.get(mark) ?? []).reduce((sum, lot) => sum + reached(lot, stage), 0)
  return { cut: count('cut'), glued: count('glued') }
}
