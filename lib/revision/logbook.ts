import { createHash } from 'node:crypto'
import * as v from 'valibot'
import { type Finding, FindingError } from '../finding/finding'

/** What is entered about pieces of card. `kept` accepts a piece as it is though the model has changed since. */
export const DEEDS = ['printed', 'cut', 'formed', 'glued', 'scrapped', 'kept'] as const

export type Deed = (typeof DEEDS)[number]

/** One line of the logbook: something done, or an earlier entry withdrawn. */
export type LogEntry = WorkEntry | WithdrawalEntry

export interface WorkEntry extends EntryHead {
  readonly did: Deed
  readonly pieces: readonly LoggedPiece[]
}

/** Takes back an entry made by mistake; nothing in a logbook is ever changed or deleted. */
export interface WithdrawalEntry extends EntryHead {
  readonly did: 'withdrawn'
  /** {@link entryId} of the entry that does not count. */
  readonly entry: string
}

interface EntryHead {
  /** As ISO 8601 with the bench's own offset, so that the first ten characters are the day there. */
  readonly time: string
  /** Folder name under `out/`. */
  readonly model: string
  /** Spent on all pieces of the entry together. */
  readonly minutes?: number
  readonly note?: string
  /** Which repetition it is of an entry that is otherwise the same, from 1. */
  readonly again?: number
  /** How many lines just before this one a crash had left torn when this one was written. */
  readonly torn?: number
}

export interface LoggedPiece {
  readonly mark: string
  /** Pieces of card: every copy, every ply. */
  readonly count: number
  /** What the piece on the bench was made to. */
  readonly fingerprint: string
  /** Of `kept`: the fingerprint in the model that it is accepted for. */
  readonly for?: string
}

export interface Logbook {
  /** In the order of the file, one entry that stands there twice given once. */
  readonly entries: readonly LogEntry[]
  /** Lines that a crash left torn: a warning for the last, a note for those that a later entry has vouched for. */
  readonly findings: readonly Finding[]
  /** How many torn lines the file ends in; the next entry says so in `torn`. */
  readonly tornAtEnd: number
}

/** Raised when the meaning of a field changes; readers of this version take what older ones wrote. */
export const LOGBOOK_VERSION = 1

/**
 * Reads a logbook, one JSON object a line. A last line that is torn, and torn lines which the entry after them vouches
 * for, are findings; every whole line is kept.
 *
 * @param file what the text was read from, for messages
 * @throws FindingError naming the line, where any other line is not an entry, or is from a newer version
 */
export function readLogbook(text: string, file = 'logbook.jsonl'): Logbook {
  const lines = text.split('\n')
  if (lines.at(-1) === '') lines.pop()
  const entries = new Map<string, LogEntry>()
  const findings: Finding[] = []
  let torn: Torn[] = []
  for (const [i, line] of lines.entries()) {
    if (line.trim() === '') continue
    const entry = entryAt(line, i + 1, file)
    if ('wrong' in entry) {
      torn.push({ line: i + 1, length: line.length, why: entry.wrong })
      continue
    }
    const vouched = entry.torn ?? 0
    if (torn.length > vouched) throw badLine(torn.at(-1 - vouched)!, file)
    findings.push(...torn.map((one): Finding => ({ ...tornFinding(one, file), severity: 'note' })))
    torn = []
    entries.set(entryId(entry), entry)
  }
  // A crash tears what was being written, which is last; one while the next entry started a new line tears two.
  findings.push(...torn.map((one) => tornFinding(one, file)))
  return { entries: [...entries.values()], findings, tornAtEnd: torn.length }
}

/** An entry as a line of the file, with its line end. */
export function writeEntry(entry: LogEntry): string {
  return `${JSON.stringify({ v: LOGBOOK_VERSION, ...ordered(entry) })}\n`
}

/** What an entry is called: 8 hexadecimal digits of a SHA-256 of its content, so that merging logbooks renames none. */
export function entryId(entry: LogEntry): string {
  const { torn: _, ...content } = ordered(entry)
  return createHash('sha256').update(JSON.stringify(content)).digest('hex').slice(0, ID_DIGITS)
}

/** The entries that count, neither withdrawals nor what was withdrawn, in the order in which things were done. */
export function standingEntries(entries: readonly LogEntry[]): WorkEntry[] {
  const withdrawn = new Set(entries.flatMap((entry) => (entry.did === 'withdrawn' ? [entry.entry] : [])))
  return entries
    .filter((entry): entry is WorkEntry => entry.did !== 'withdrawn' && !withdrawn.has(entryId(entry)))
    .toSorted((a, b) => Date.parse(a.time) - Date.parse(b.time))
}

const ID_DIGITS = 8

interface Torn {
  /** From 1. */
  readonly line: number
  readonly length: number
  readonly why: string
}

function entryAt(line: string, number: number, file: string): LogEntry | { wrong: string } {
  let data: unknown
  try {
    data = JSON.parse(line)
  } catch (error) {
    return { wrong: (error as Error).message }
  }
  const version = typeof data === 'object' && data !== null && 'v' in data ? data.v : undefined
  if (typeof version === 'number' && version > LOGBOOK_VERSION) {
    throw new FindingError({
      id: 'logbook',
      severity: 'error',
      text: `line ${number} of ${file} is of version ${version}, this program reads up to ${LOGBOOK_VERSION}`,
      remedy: 'install the version of cardwright that wrote it',
      found: version,
      wanted: LOGBOOK_VERSION,
    })
  }
  const result = v.safeParse(ENTRY, data, { abortEarly: true })
  if (result.success) {
    const { v: _, ...entry } = result.output
    return entry as LogEntry
  }
  const [issue] = result.issues
  const place = v.getDotPath(issue) ?? 'the top'
  const why = `at ${place} expected ${expectedBy(issue)}, found ${issue.received}`
  throw badLine({ line: number, length: line.length, why }, file)
}

function expectedBy(issue: v.BaseIssue<unknown>): string {
  return issue.type === 'regex' ? issue.message : (issue.expected ?? issue.message)
}

function badLine({ line, why }: Torn, file: string): FindingError {
  return new FindingError({
    id: 'logbook',
    severity: 'error',
    text: `line ${line} of ${file} is not an entry: ${why}`,
    remedy: 'take the line back from git, or put it right by hand; nothing was changed',
  })
}

function tornFinding({ line, length }: Torn, file: string): Finding {
  return {
    id: 'torn-entry',
    severity: 'warning',
    text: `line ${line} of ${file} is torn after ${length} characters, as a crash while writing leaves it`,
    remedy: 'it does not count; enter again what it was to say. The line may stay',
  }
}

/** Fields in one settled order, those that say nothing left out. */
function ordered(entry: LogEntry): Record<string, unknown> {
  const { time, model, did, minutes, note, again, torn } = entry
  const body =
    entry.did === 'withdrawn'
      ? { entry: entry.entry }
      : {
          pieces: entry.pieces.map(({ mark, count, fingerprint, for: wanted }) => ({
            mark,
            count,
            fingerprint,
            ...(wanted !== undefined && { for: wanted }),
          })),
        }
  return {
    time,
    model,
    did,
    ...body,
    ...(minutes !== undefined && { minutes }),
    ...(note !== undefined && { note }),
    ...(again !== undefined && { again }),
    ...(torn !== undefined && { torn }),
  }
}

const TIME = v.pipe(
  v.string(),
  v.regex(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d+)?(?:Z|[+-]\d\d:\d\d)$/, 'a time like 2026-03-14T19:20:00+01:00'),
)
const WHOLE = v.pipe(v.number(), v.integer('a whole number'), v.minValue(1))

const HEAD = {
  v: v.literal(LOGBOOK_VERSION),
  time: TIME,
  model: v.string(),
  minutes: v.exactOptional(v.pipe(v.number(), v.finite(), v.gtValue(0))),
  note: v.exactOptional(v.string()),
  again: v.exactOptional(WHOLE),
  torn: v.exactOptional(WHOLE),
}

const ENTRY = v.variant('did', [
  v.object({
    ...HEAD,
    did: v.picklist(DEEDS),
    pieces: v.pipe(
      v.array(
        v.object({ mark: v.string(), count: WHOLE, fingerprint: v.string(), for: v.exactOptional(v.string()) }),
      ),
      v.minLength(1),
    ),
  }),
  v.object({ ...HEAD, did: v.literal('withdrawn'), entry: v.string() }),
])
