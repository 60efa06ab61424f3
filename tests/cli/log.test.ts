import { type ChildProcess, spawn } from 'node:child_process'
import { appendFileSync, chmodSync, existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Readable } from 'node:stream'
import { beforeAll, describe, expect, test } from 'vitest'
import { log } from '../../lib/cli/command/log'
import { addEntry, readProjectLogbook } from '../../lib/cli/logbook'
import { localTime, onDay } from '../../lib/cli/clock'
import { parse } from '../../lib/cli/parse'
import { UsageError } from '../../lib/cli/usage'
import { entryId, type LogEntry } from '../../lib/revision/logbook'
import { BIN, buildCommand, cardwright, emptyFolder, project } from '../helpers/command'

beforeAll(buildCommand)

/** What a command that is used wrongly says, without the cost of a process. */
async function refusal(root: string, words: readonly string[]): Promise<string> {
  const from = process.cwd()
  process.chdir(root)
  try {
    await log(parse(['log', ...words]), { color: false, trace: false, from: root })
  } catch (error) {
    if (error instanceof UsageError) return `${error.message}\n  ${error.remedy}`
    throw error
  } finally {
    process.chdir(from)
  }
  throw new Error(`${words.join(' ')} was not refused`)
}

const built = () => {
  const root = project('good')
  expect(cardwright(root, ['build', '--no-types']).code).toBe(0)
  return root
}
const entriesOf = (root: string) => readProjectLogbook(root).entries
const marksOf = (entry: LogEntry) => (entry.did === 'withdrawn' ? [] : entry.pieces.map(({ mark }) => mark))

describe('cardwright log', () => {
  test('enters, shows, withdraws; and writes nothing when something is wrong', async () => {
    const root = project('good')
    const run = (...words: string[]) => cardwright(root, ['log', ...words])
    expect(run('cut', 'FR-01')).toEqual({
      code: 2,
      stdout: '',
      stderr: 'error: no model has been built\n  run cardwright build first\n',
    })
    expect(cardwright(root, ['build', '--no-types']).code).toBe(0)

    const first = run('cut', 'FR-01..03', '--minutes', '12.5', '--note', 'new blade')
    const [entry] = entriesOf(root)
    expect(entry).toMatchObject({ model: 'tug', did: 'cut', minutes: 12.5, note: 'new blade' })
    expect(marksOf(entry!)).toEqual(['FR-01', 'FR-02', 'FR-03'])
    const id = entryId(entry!)
    expect(first).toEqual({
      code: 0,
      stdout: `tug: 3 pieces cut in 12.5 min: FR-01..03\n  entry ${id} of logbook.jsonl\n`,
      stderr: '',
    })
    expect(run('cut', 'FR-01').stderr).toBe(
      'warning FR-01: 2 cut, 1 needed\n  spare pieces do no harm; if this was entered twice, withdraw the entry\n',
    )
    const before = readFileSync(join(root, 'logbook.jsonl'), 'utf8')
    const refused: [words: string[], said: string][] = [
      [['cut', 'FR-3'], 'tug has no mark, family, assembly or sheet "FR-3"\n  did you mean "FR-03"?'],
      [['cut', 'FR-03..01'], 'the range FR-03..01 runs backwards, from 3 to 1\n  write FR-01..FR-03'],
      [['cut', 'FR', '--minutes', '-5'], '--minutes "-5" is not a number above 0\n  write it like --minutes 95'],
      [['cut', 'FR', '--minutes', '0'], '--minutes "0" is not a number above 0\n  write it like --minutes 95'],
      [['cut', 'FR', '--count', '1.5'], '--count 1.5 is not a whole number\n  write it like --count 2'],
      [['cut', 'FR', '--date', '2026-02-30'], '--date: "2026-02-30" is no day\n  write it like --date 2026-03-14'],
      [['cut'], 'what was cut is missing\n  name marks, a range, a family, an assembly or a sheet'],
      [['cutt', 'FR'], '"cutt" is nothing that can be entered\n  did you mean "cut"?'],
      [
        ['cut', 'FR', '--model', 'tub'],
        'tub has not been built: there is no out/tub/manifest.json\n  did you mean "tug"?; or run cardwright build first',
      ],
      [
        ['scrapped', 'FR-04'],
        'FR-04: 1 to be scrapped, 0 on the bench\n' +
          '  leave the mark out, give another --count, or enter first what was cut',
      ],
      [['kept', 'FR-01'], 'a piece is kept for a reason, and no --note says it\n  add it: --note "the skin hides it"'],
      [
        ['kept', 'FR-01', '--note', 'x'],
        'nothing on the bench under FR-01 differs from the model\n' +
          '  only a piece that was cut before the model changed can be kept as it is; cardwright progress lists them',
      ],
      [['withdrawn', '12'], 'there is no entry 12\n  cardwright log shows the latest with their digits'],
    ]
    for (const [words, said] of refused) expect(await refusal(root, words)).toBe(said)
    expect(readFileSync(join(root, 'logbook.jsonl'), 'utf8')).toBe(before)

    const day = entry!.time.slice(0, 10)
    expect(run('withdrawn', id.slice(0, 6)).stdout).toContain(`entry ${id} of ${day} no longer counts: 3 pieces cut`)
    expect(await refusal(root, ['withdrawn', id])).toContain(`entry ${id} has been withdrawn already`)
    const [, again, third] = entriesOf(root)
    expect(run().stdout).toBe(
      `${id}  ${day}  tug: 3 pieces cut in 12.5 min: FR-01..03 (new blade) [withdrawn]\n` +
        `${entryId(again!)}  ${day}  tug: 1 piece cut: FR-01\n${entryId(third!)}  ${day}  tug: entry ${id} withdrawn\n`,
    )
  })

  test('after a crash starts a new line, says so, and loses no entry before it', () => {
    const root = built()
    const file = join(root, 'logbook.jsonl')
    cardwright(root, ['log', 'cut', 'FR-01'])
    appendFileSync(file, '{"v":1,"time":"2026-03')
    const said = 'warning: line 2 of logbook.jsonl is torn after 22 characters, as a crash while writing leaves it\n'
    expect(cardwright(root, ['log']).stderr).toContain(said)
    const torn = readFileSync(file, 'utf8')
    expect(cardwright(root, ['log', 'cut', 'FR-02']).stderr).toContain(said)
    expect(readFileSync(file, 'utf8').startsWith(`${torn}\n`)).toBe(true)
    expect(entriesOf(root).map(marksOf)).toEqual([['FR-01'], ['FR-02']])
    expect(cardwright(root, ['log', 'cut', 'FR-03']).stderr).toBe('')
  })

  test('a logbook with a line that is no entry is an error, and is left alone', async () => {
    const root = built()
    cardwright(root, ['log', 'cut', 'FR-01'])
    const text = `oops\n${readFileSync(join(root, 'logbook.jsonl'), 'utf8')}`
    writeFileSync(join(root, 'logbook.jsonl'), text)
    for (const words of [[], ['cut', 'FR-02']]) {
      expect(await refusal(root, words)).toMatch(/^line 1 of logbook.jsonl is not an entry: /)
    }
    expect(cardwright(root, ['progress']).code).toBe(2)
    expect(readFileSync(join(root, 'logbook.jsonl'), 'utf8')).toBe(text)
  })

  test.skipIf(process.getuid?.() !== 0)('where it may not write, says so and acknowledges nothing', () => {
    const root = built()
    chmodSync(root, 0o555)
    const { code, stdout, stderr } = cardwright(root, ['log', 'cut', 'FR-01'], { uid: 65534 })
    expect([code, stdout]).toEqual([1, ''])
    expect(stderr).toContain('logbook.jsonl could not be written: you may not write there (EACCES)')
    expect(existsSync(join(root, 'logbook.jsonl'))).toBe(false)
  })

  test('commands at once lose no entry', async () => {
    const root = built()
    const runs = [1, 2, 3, 4].map((i) => {
      return ended(spawn(process.execPath, [BIN, 'log', 'cut', `FR-0${i}`, '--minutes', String(i)], { cwd: root }))
    })
    expect(await Promise.all(runs)).toEqual(runs.map(() => 0))
    expect(entriesOf(root).flatMap(marksOf).toSorted()).toEqual(['FR-01', 'FR-02', 'FR-03', 'FR-04'])
  }, 180_000)

  test('twenty writers at once lose no entry', async () => {
    const root = emptyFolder()
    const runs = Array.from({ length: 20 }, (_, n) => ended(startWriter(root, n * 1000, 2)))
    expect(await Promise.all(runs)).toEqual(runs.map(() => 0))
    const marks = Array.from({ length: 20 }, (_, n) => [`M${n * 1000}`, `M${n * 1000 + 1}`]).flat()
    expect(entriesOf(root).flatMap(marksOf).toSorted()).toEqual(marks.toSorted())
  }, 180_000)

  test('two entries that say the same at the same moment are two', () => {
    const root = emptyFolder()
    const entry: LogEntry = { time: '2026-03-14T08:00:00.000Z', model: 'tug', did: 'cut', pieces: [PIECE] }
    for (let i = 0; i < 3; i++) addEntry(root, () => ({ entry, shapes: [] }))
    expect(entriesOf(root).map(({ again }) => again)).toEqual([undefined, 1, 2])
  })
})

const PIECE = { mark: 'FR-01', count: 1, fingerprint: 'aa' }

/** Adds one entry after the other as fast as it can, saying each time that it is on the disk. */
const WRITER = `
const { addEntry } = require(process.argv[1])
const first = Number(process.argv[3])
for (let n = first; n < first + Number(process.argv[4]); n++) {
  const piece = { mark: 'M' + n, count: 1, fingerprint: 'f' + n }
  const shape = { fingerprint: 'f' + n, stock: 'folder', plies: 1, openings: [], scores: [],
    outline: Array.from({ length: 20 }, (_, i) => [i, n]) }
  const entry = { time: '2026-03-14T08:00:00.000Z', model: 'tug', did: 'cut', pieces: [piece], minutes: n + 1 }
  addEntry(process.argv[2], () => ({ entry, shapes: [shape] }))
  require('node:fs').writeSync(1, n + '\\n')
}`

function startWriter(root: string, first: number, count: number): ChildProcess & { stdout: Readable } {
  const module = join(__dirname, '../../dist/cli/logbook.js')
  const words = ['-e', WRITER, module, root, String(first), String(count)]
  return spawn(process.execPath, words, { stdio: ['ignore', 'pipe', 'inherit'] })
}

/** Lets one write and kills it soon after its first entry; what it said is on the disk, as numbers. */
async function killedWriter(root: string, kill: number): Promise<number[]> {
  const writer = startWriter(root, kill * 1000, 1000)
  const gone = ended(writer)
  let said = ''
  writer.stdout.on('data', (data) => (said += String(data)))
  await new Promise((resolve) => writer.stdout.once('data', resolve))
  await new Promise((resolve) => setTimeout(resolve, (kill * 7) % 11))
  writer.kill('SIGKILL')
  await gone
  return said.split('\n').slice(0, -1).map(Number)
}

test('killed at a hundred random moments, four at work at a time, no entry that was acknowledged is missing', async () => {
  const root = emptyFolder()
  const acknowledged: number[] = []
  const lane = async (first: number) => {
    for (let kill = first; kill < 100; kill += 4) acknowledged.push(...(await killedWriter(root, kill)))
  }
  await Promise.all([0, 1, 2, 3].map(lane))
  const { entries, shapes } = readProjectLogbook(root)
  const marks = entries.flatMap(marksOf)
  expect(acknowledged.length).toBeGreaterThanOrEqual(100)
  expect(acknowledged.filter((n) => !marks.includes(`M${n}`))).toEqual([])
  // Whatever is in the logbook has its shape beside it.
  expect(marks.filter((mark) => !shapes.has(mark.replace('M', 'f')))).toEqual([])
}, 300_000)

test('the whole command killed while it starts, works or ends leaves a logbook that is whole', async () => {
  const root = built()
  let acknowledged = 0
  for (let kill = 0; kill < 8; kill++) {
    const run = spawn(process.execPath, [BIN, 'log', 'cut', 'FR-01', '--minutes', '1'], { cwd: root })
    const gone = ended(run)
    let said = ''
    run.stdout.on('data', (data) => (said += String(data)))
    setTimeout(() => run.kill('SIGKILL'), 60 + kill * 40)
    await gone
    if (said !== '') acknowledged++
  }
  const entries = existsSync(join(root, 'logbook.jsonl')) ? entriesOf(root) : []
  expect(entries.length).toBeGreaterThanOrEqual(acknowledged)
  expect(cardwright(root, ['log', 'cut', 'FR-02']).code).toBe(0)
  expect(entriesOf(root)).toHaveLength(entries.length + 1)
}, 300_000)

function ended(run: ChildProcess): Promise<number | null> {
  return new Promise((resolve) => run.once('exit', resolve))
}

describe('days and moments', () => {
  test('a moment is written so that it reads back, with the day here in front', () => {
    const moment = new Date(2026, 2, 14, 23, 59, 58, 7)
    expect(Date.parse(localTime(moment))).toBe(moment.getTime())
    expect(localTime(moment).slice(0, 23)).toBe('2026-03-14T23:59:58.007')
  })

  test('another day is at the same time of day', () => {
    expect(onDay('2026-03-01', new Date(2026, 2, 14, 20, 15))).toEqual(new Date(2026, 2, 1, 20, 15))
  })
})

test('the lock is no part of what is kept', () => {
  const root = emptyFolder()
  mkdirSync(join(root, '.cache'))
  const entry: LogEntry = { time: '2026-03-14T08:00:00.000Z', model: 'tug', did: 'cut', pieces: [PIECE] }
  addEntry(root, () => ({ entry, shapes: [] }))
  expect(existsSync(join(root, '.cache/logbook'))).toBe(false)
})
