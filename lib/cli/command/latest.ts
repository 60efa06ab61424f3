import type { Finding } from '../../finding/finding'
import { entryId, type LogEntry, type WorkEntry } from '../../revision/logbook'
import { LOGBOOK, readProjectLogbook } from '../logbook'
import { plural, rangesOfMarks } from '../print'
import { asked } from '../usage'

/** How many entries `cardwright log` shows. */
const SHOWN = 20

/** The latest entries as they stand in the logbook, those withdrawn marked. */
export function latest(root: string): { text: string; json: Record<string, unknown>; findings: readonly Finding[] } {
  const { entries, findings } = asked(() => readProjectLogbook(root))
  const withdrawn = new Set(entries.flatMap((entry) => (entry.did === 'withdrawn' ? [entry.entry] : [])))
  const shown = entries.slice(-SHOWN)
  const lines = shown.map((entry) => line(entry, withdrawn.has(entryId(entry))))
  const head = entries.length > SHOWN ? `the latest ${SHOWN} of ${entries.length} entries\n` : ''
  const none = `nothing is in ${LOGBOOK} yet; enter what you have done: cardwright log cut WR-P03..P09 --minutes 95\n`
  const json = { entries: shown.map((entry) => ({ id: entryId(entry), ...entry })), total: entries.length }
  return { text: entries.length === 0 ? none : `${head}${lines.join('')}`, json, findings }
}

/** `7 pieces cut in 95 min: WR-P03..P09`. */
export function deedText({ did, pieces, minutes }: WorkEntry): string {
  const count = pieces.reduce((sum, piece) => sum + piece.count, 0)
  const took = minutes === undefined ? '' : ` in ${minutes} min`
  const how = did === 'kept' ? 'kept as made' : did
  return `${plural(count, 'piece')} ${how}${took}: ${rangesOfMarks(pieces.map(({ mark }) => mark))}`
}

function line(entry: LogEntry, isWithdrawn: boolean): string {
  const what = entry.did === 'withdrawn' ? `entry ${entry.entry} withdrawn` : deedText(entry)
  const note = entry.note === undefined ? '' : ` (${oneLine(entry.note)})`
  const gone = isWithdrawn ? ' [withdrawn]' : ''
  return `${entryId(entry)}  ${entry.time.slice(0, 10)}  ${entry.model}: ${what}${note}${gone}\n`
}

/** What somebody wrote, without control characters: it must not steer the terminal. */
function oneLine(text: string): string {
  return text.replace(/\p{Cc}+/gu, ' ')
}
