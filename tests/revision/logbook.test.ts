import { describe, expect, test } from 'vitest'
import { entryId, type LogEntry, readLogbook, standingEntries, writeEntry } from '../../lib/revision/logbook'
import { readShapes, shapeOf, writeShape } from '../../lib/revision/shapes'
import { fingerprint } from '../../lib/revision/fingerprint'
import { findingOf } from '../helpers/geometry'
import { seat } from '../sheet/pieces'

const entries: LogEntry[] = [
  {
    time: '2026-03-14T19:20:00.000+01:00',
    model: 'tug',
    did: 'cut',
    pieces: [
      { mark: 'FR-01', count: 1, fingerprint: 'aa' },
      { mark: 'Ü "中"', count: 2, fingerprint: 'bb' },
    ],
    minutes: 12.5,
    note: 'line one\nline two',
  },
  {
    time: '2026-03-14T19:20:00.000Z',
    model: 'tug',
    did: 'kept',
    pieces: [{ mark: 'FR-01', count: 1, fingerprint: 'aa', for: 'cc' }],
  },
  { time: '2026-03-15T08:00:00Z', model: 'tug', did: 'withdrawn', entry: '0123abcd', note: 'wrong frame' },
]
const text = entries.map(writeEntry).join('')
const [first = '', second = '', third = ''] = text.split(/(?<=\n)/)

describe('logbook', () => {
  test('reads back what was written, an entry a line', () => {
    expect(readLogbook(text)).toEqual({ entries, findings: [], tornAtEnd: 0 })
    expect(text.split('\n')).toHaveLength(entries.length + 1)
    expect(readLogbook('')).toEqual({ entries: [], findings: [], tornAtEnd: 0 })
  })

  test('torn at any byte of its last line, keeps every whole line and reports the torn one', () => {
    const bytes = Buffer.from(third)
    for (let length = 1; length < bytes.length - 1; length++) {
      const torn = bytes.subarray(0, length).toString('utf8')
      const { entries: kept, findings, tornAtEnd } = readLogbook(first + second + torn)
      expect(kept).toEqual(entries.slice(0, 2))
      expect(tornAtEnd).toBe(1)
      expect(findings).toEqual([
        {
          id: 'torn-entry',
          severity: 'warning',
          text: `line 3 of logbook.jsonl is torn after ${torn.length} characters, as a crash while writing leaves it`,
          remedy: 'it does not count; enter again what it was to say. The line may stay',
        },
      ])
    }
  })

  test('a last line that only lacks its line end is whole', () => {
    expect(readLogbook(text.trimEnd())).toEqual({ entries, findings: [], tornAtEnd: 0 })
  })

  test('torn lines that the next entry vouches for are findings, wherever they stand', () => {
    const after = { ...entries[2]!, torn: 2 }
    const book = readLogbook(`${first}{"v":1,"ti\n\0\0\0x\n${writeEntry(after)}${second}`)
    expect(book.entries).toEqual([entries[0], after, entries[1]])
    expect(book.findings.map(({ severity, text: said }) => [severity, said])).toEqual([
      ['note', 'line 2 of logbook.jsonl is torn after 10 characters, as a crash while writing leaves it'],
      ['note', 'line 3 of logbook.jsonl is torn after 4 characters, as a crash while writing leaves it'],
    ])
  })

  test.each([
    [`${first}oops\n${second}`, 'line 2 of logbook.jsonl is not an entry: Unexpected token'],
    [`oops\noops\n${writeEntry({ ...entries[1]!, torn: 1 })}`, 'line 1 of logbook.jsonl is not an entry: Unexp'],
    [first.replace('"cut"', '"chopped"'), /^line 1 of logbook.jsonl is not an entry: at did expected .*"chopped"/],
    [first.replace('12.5', '-3'), 'line 1 of logbook.jsonl is not an entry: at minutes expected >0, found -3'],
    [first.replace('"count":2', '"count":1.5'), 'is not an entry: at pieces.1.count expected a whole number, found 1.5'],
    [first.replace('2026-03-14T19', '14.3.2026 19'), 'at time expected a time like 2026-03-14T19:20:00+01:00, found'],
    [`${second}[]\n`, 'line 2 of logbook.jsonl is not an entry: at did expected'],
  ])('a line that is no entry %#, is an error that names it', (content, said) => {
    const finding = findingOf(() => readLogbook(content))
    expect(finding.text).toMatch(said)
    expect(finding).toMatchObject({
      id: 'logbook',
      severity: 'error',
      remedy: 'take the line back from git, or put it right by hand; nothing was changed',
    })
  })

  test('from a newer version, names both', () => {
    expect(findingOf(() => readLogbook(second + first.replace('"v":1', '"v":3'), 'x/logbook.jsonl'))).toMatchObject({
      text: 'line 2 of x/logbook.jsonl is of version 3, this program reads up to 1',
      remedy: 'install the version of cardwright that wrote it',
    })
  })

  test('an entry that two branches of a history both brought counts once', () => {
    expect(readLogbook(first + second + first + third).entries).toEqual(entries)
  })

  test('an entry is called the same whatever stood torn before it, and otherwise unlike every other', () => {
    expect(entryId({ ...entries[0]!, torn: 1 })).toBe(entryId(entries[0]!))
    expect(new Set(entries.map(entryId)).size).toBe(entries.length)
    expect(entryId(readLogbook(first).entries[0]!)).toBe(entryId(entries[0]!))
  })

  test('what was withdrawn does not stand, and the rest stands in order of time', () => {
    const wrong: LogEntry = { ...entries[2]!, did: 'withdrawn', entry: entryId(entries[1]!) }
    expect(standingEntries([...entries.slice(0, 2), wrong])).toEqual([entries[0]])
    // 19:20 at +01:00 is before 19:20 UTC.
    expect(standingEntries([entries[1]!, entries[0]!])).toEqual([entries[0], entries[1]])
  })
})

describe('shapes beside a logbook', () => {
  const piece = { ...seat('SE-01', 12, 9), grain: 90 }
  const shape = shapeOf({ ...piece, fingerprint: fingerprint(piece) })

  test('read back as they were written, all that a fingerprint stands for', () => {
    const { shapes, findings } = readShapes(writeShape(shape))
    expect([...shapes]).toEqual([[shape.fingerprint, shape]])
    expect(findings).toEqual([])
    expect(fingerprint({ ...piece, ...shapes.get(shape.fingerprint) })).toBe(shape.fingerprint)
  })

  test('a line that is torn costs that shape and no other', () => {
    const line = writeShape(shape)
    const { shapes, findings } = readShapes(`${line.slice(0, 40)}\n${line}{"fingerprint":"x"}\n`)
    expect([...shapes.keys()]).toEqual([shape.fingerprint])
    expect(findings.map((finding) => finding.text)).toEqual([
      'line 1 of logbook.shapes.jsonl is not the shape of a piece, 40 characters long',
      'line 3 of logbook.shapes.jsonl is not the shape of a piece, 19 characters long',
    ])
  })
})
