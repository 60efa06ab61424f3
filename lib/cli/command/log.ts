import { type Finding, FindingError } from '../../finding/finding'
import { suggest } from '../../finding/nearest'
import { inherited } from '../../revision/heirs'
import { DEEDS, type Deed, entryId, type LogEntry, standingEntries, type WorkEntry } from '../../revision/logbook'
import { piecesToLog } from '../../revision/logging'
import { type Lots, lotsOf } from '../../revision/lots'
import type { Manifest } from '../../revision/manifest'
import { type ChosenMark, chooseMarks } from '../../revision/marks'
import { shapeOf } from '../../revision/shapes'
import { builtManifest, builtModels, outFolder } from '../built'
import { localTime, onDay } from '../clock'
import { addEntry, LOGBOOK } from '../logbook'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, printProblems } from '../print'
import { findProject } from '../project'
import { asked, UsageError } from '../usage'
import { deedText, latest } from './latest'

/** `cardwright log`: adds an entry to the logbook, or shows the latest. */
export async function log(request: Request, manner: Manner): Promise<number> {
  const { root } = findProject(process.cwd())
  const [did, ...words] = request.operands
  const said =
    did === undefined
      ? latest(root)
      : did === 'withdrawn'
        ? withdraw(root, words, request)
        : enterWork(root, knownDeed(did), words, request)
  const problems = said.findings.filter(({ severity }) => severity !== 'note').map((finding) => ({ finding }))
  if (problems.length > 0) process.stderr.write(printProblems(problems, manner))
  const json = { command: 'log', ok: true, ...said.json, findings: said.findings }
  process.stdout.write(request.options.json ? `${JSON.stringify(json, null, 2)}\n` : said.text)
  return EXIT.good
}

/** What the command has to say: to people, to programs, and what was found on the way. */
export interface Said {
  readonly text: string
  readonly json: Record<string, unknown>
  readonly findings: readonly Finding[]
}

function knownDeed(word: string): Deed {
  const known = DEEDS.find((deed) => deed === word)
  if (known) return known
  throw new UsageError(`"${word}" is nothing that can be entered`, suggest(word, [...DEEDS, 'withdrawn']))
}

function enterWork(root: string, did: Deed, words: readonly string[], request: Request): Said {
  checkWork(did, words, request)
  const { count, fresh, minutes, note } = request.options
  const time = timeOf(request)
  const findings: Finding[] = []
  const entry = asked(() =>
    addEntry(root, (book) => {
      const target = targetOf(root, did, words, request, book.entries)
      const logged = piecesToLog({ did, ...target, ...(count && { count }), ...(fresh && { fresh }) })
      const wanted = new Set(logged.pieces.map(({ fingerprint }) => fingerprint))
      findings.push(...book.findings, ...logged.findings)
      return {
        entry: {
          time,
          model: target.manifest.model,
          did,
          pieces: logged.pieces,
          ...(minutes !== undefined && { minutes }),
          ...(note !== undefined && { note }),
        },
        shapes: target.manifest.pieces.filter(({ fingerprint }) => wanted.has(fingerprint)).map(shapeOf),
      }
    }),
  )
  const id = entryId(entry)
  const text = `${entry.model}: ${deedText(entry as WorkEntry)}\n  entry ${id} of ${LOGBOOK}\n`
  return { text, json: { id, entry }, findings }
}

function checkWork(did: Deed, words: readonly string[], { options: { count, note } }: Request): void {
  if (words.length === 0) {
    throw new UsageError(`what was ${did} is missing`, 'name marks, a range, a family, an assembly or a sheet')
  }
  if (count !== undefined && !Number.isInteger(count)) {
    throw new UsageError(`--count ${count} is not a whole number`, 'write it like --count 2')
  }
  if (did === 'kept' && note === undefined) {
    throw new UsageError('a piece is kept for a reason, and no --note says it', 'add it: --note "the skin hides it"')
  }
}

interface Target {
  readonly manifest: Manifest
  readonly lots: Lots
  readonly chosen: readonly ChosenMark[]
}

/** The one model in which the words stand for pieces. */
function targetOf(
  root: string,
  did: Deed,
  words: readonly string[],
  { options: { model, out } }: Request,
  entries: readonly LogEntry[],
): Target {
  const folder = outFolder(root, out)
  const names = model.length === 0 ? builtModels(folder) : model
  if (names.length === 0) throw new UsageError('no model has been built', 'run cardwright build first')
  const tries = names.map((name): Target | FindingError => {
    const manifest = builtManifest(folder, name)
    const made = lotsOf(entries.filter((entry) => entry.model === name))
    try {
      // What the model no longer has can still be thrown away.
      const chosen = chooseMarks(words, manifest, did === 'scrapped' ? made.keys() : [])
      return { manifest, chosen, lots: withGone(made, inherited(made, manifest).lots) }
    } catch (error) {
      if (error instanceof FindingError) return error
      throw error
    }
  })
  const [target, other] = tries.filter((one) => !(one instanceof FindingError)) as Target[]
  if (target && other) {
    throw new UsageError(
      `${words.join(' ')} stands for pieces of ${target.manifest.model} and of ${other.manifest.model}`,
      `say which is meant: --model ${target.manifest.model}`,
    )
  }
  if (target) return target
  const faults = tries as FindingError[]
  throw faults.find(({ finding }) => finding.remedy.startsWith('did you mean')) ?? faults[0]!
}

function withGone(made: Lots, settled: Lots): Lots {
  return new Map([...[...made].filter(([mark]) => !settled.has(mark)), ...settled])
}

/** Takes an entry back by its digits, of which the first few will do. */
function withdraw(root: string, words: readonly string[], request: Request): Said {
  const [word, ...more] = words
  if (word === undefined || more.length > 0) {
    throw new UsageError('one entry is withdrawn at a time', 'name it by its digits, as cardwright log shows them')
  }
  const { note } = request.options
  const time = timeOf(request)
  const findings: Finding[] = []
  let withdrawn: WorkEntry | undefined
  const entry = asked(() =>
    addEntry(root, (book) => {
      withdrawn = entryNamed(word, book.entries)
      findings.push(...book.findings)
      const { model } = withdrawn
      const body = { time, model, did: 'withdrawn', entry: entryId(withdrawn) } as const
      return { entry: { ...body, ...(note !== undefined && { note }) }, shapes: [] }
    }),
  )
  const id = entryId(withdrawn!)
  const day = withdrawn!.time.slice(0, 10)
  const text = `${entry.model}: entry ${id} of ${day} no longer counts: ${deedText(withdrawn!)}\n`
  return { text, json: { id: entryId(entry), entry }, findings }
}

function entryNamed(word: string, entries: readonly LogEntry[]): WorkEntry {
  const standing = standingEntries(entries)
  const [found, other] = standing.filter((entry) => entryId(entry).startsWith(word.toLowerCase()))
  if (found && !other) return found
  const text = found
    ? `more than one entry begins with ${word}`
    : entries.some((entry) => entry.did !== 'withdrawn' && entryId(entry).startsWith(word))
      ? `entry ${word} has been withdrawn already`
      : `there is no entry ${word}`
  throw new UsageError(text, 'cardwright log shows the latest with their digits')
}

function timeOf({ options: { date } }: Request): string {
  const now = new Date()
  return localTime(date === undefined ? now : onDay(date, now))
}
