import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { countFindings, printProblems, rangesOfMarks } from '../../lib/cli/print'
import type { Finding } from '../../lib/finding/finding'

const FROM = join(__dirname, '../fixtures/cli')
const SITE = { file: join(FROM, 'source.txt'), line: 2, column: 4 }
const PLAIN = { color: false, trace: false, from: FROM }

const print = (findings: readonly Finding[], manner = PLAIN) =>
  printProblems(
    findings.map((finding) => ({ finding })),
    manner,
  )

const web = (mark: string, found: number): Finding => ({
  id: 'narrow-web',
  severity: 'error',
  text: `web of ${found.toFixed(2)} mm, the knife needs 0.80 mm`,
  remedy: 'make the web wider',
  mark,
  at: [12.3, 4.5],
  site: SITE,
  found,
  wanted: 0.8,
})

describe('a finding as text', () => {
  test('an error shows mark, place, both numbers, the line in the source and the remedy', () => {
    expect(print([web('WR-P07', 0.42)])).toBe(
      [
        'error WR-P07 at 12.30, 4.50 mm: web of 0.42 mm, the knife needs 0.80 mm',
        '  source.txt:2:4 (narrow-web)',
        '    .openings(row)',
        '     ^',
        '  make the web wider',
        '',
      ].join('\n'),
    )
  })

  test('alike ones from one line are one entry, told by the worst', () => {
    const findings = ['WR-S02', 'WR-P01', 'WR-P02', 'WR-P03', 'WR-P04'].map((mark, i) => web(mark, i === 2 ? 0.2 : 0.7))
    expect(print(findings)).toBe(
      [
        'error WR-P02 at 12.30, 4.50 mm: web of 0.20 mm, the knife needs 0.80 mm',
        '  source.txt:2:4 (narrow-web)',
        '    .openings(row)',
        '     ^',
        '  and 4 more like it: WR-P01, WR-P03, WR-P04, WR-S02',
        '  make the web wider',
        '',
      ].join('\n'),
    )
  })

  test('the mark that is told already is not named again', () => {
    expect(print([web('WR-P02', 0.2), web('WR-P02', 0.7)])).toContain('\n  and 1 more like it\n')
  })

  test('those of one line that are about no piece are alike only where the same is to be done', () => {
    const gap = (text: string, remedy: string): Finding => ({ id: 'survey-gap', severity: 'warning', text, remedy, site: SITE })
    const text = print([gap('2 dimensions have no source: a, b', 'say where from'), gap('1 dimension has no tolerance: a', 'say how far')])
    expect(text).toContain('no source')
    expect(text).toContain('no tolerance')
  })

  test('a warning spares the source line', () => {
    const warning: Finding = { ...web('A-1', 0.7), severity: 'warning' }
    expect(print([web('Z-9', 0.5), warning])).toContain(
      'warning A-1 at 12.30, 4.50 mm: web of 0.70 mm, the knife needs 0.80 mm\n  source.txt:2:4 (narrow-web)\n  make',
    )
  })

  test('a finding without a place is its text and its remedy', () => {
    expect(
      print([{ id: 'x', severity: 'note', text: 'all folds are valleys', remedy: 'score from the printed side' }]),
    ).toBe('note: all folds are valleys\n  score from the printed side\n')
  })

  test('control characters of an author do not reach the terminal, and 10,000 characters do not fill it', () => {
    const mark = `\u001b[2J${'x'.repeat(10_000)}`
    const text = print([{ id: 'x', severity: 'error', text: 'odd\u0007 one\nnext', remedy: 'no', mark }])
    expect(text).toBe(`error \\x1b[2J${'x'.repeat(56)}… (10004 characters): odd\\x07 one\\x0anext\n  no\n`)
  })

  test('colours only when asked for', () => {
    expect(print([web('WR-P07', 0.42)], { ...PLAIN, color: true })).toContain('\u001b[31merror\u001b[39m')
    expect(print([web('WR-P07', 0.42)])).not.toContain('\u001b')
  })
})

describe('runs of marks', () => {
  test.each([
    [['WR-P01', 'WR-P02', 'WR-P03', 'WR-P05'], 'WR-P01..P03, WR-P05'],
    [['FR-10', 'FR-9', 'FR-8'], 'FR-8..10'],
    [['A-1', 'A-2'], 'A-1, A-2'],
    [['KEEL'], 'KEEL'],
    [['B-1', 'A-2', 'A-3', 'A-1', 'A-1'], 'A-1..3, B-1'],
  ])('%j', (marks, text) => expect(rangesOfMarks(marks)).toBe(text))
})

test('counts by severity', () => {
  expect(countFindings([web('a', 1), web('b', 1), { ...web('c', 1), severity: 'warning' }])).toBe('2 errors, 1 warning')
  expect(countFindings([])).toBe('')
})
