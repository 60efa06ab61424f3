import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { buildCommand, cardwright, contents, project } from '../helpers/command'

beforeAll(buildCommand, 150_000)

describe('cardwright survey', () => {
  test('shows each dimension as written, at model size, with its source and readers, and the rules', () => {
    const { code, stdout, stderr } = cardwright(project('surveyed'), ['survey'])
    expect(stderr).toBe('')
    expect(stdout).toBe(
      [
        'Shed, 1:60: 5 dimensions, 1 of them a guess or without a source',
        '  dimension  on the subject       ±    at 1:60        ±  read by  from                            note',
        '  length                6 m    5 mm  100.00 mm  0.08 mm        2  drawing: sheet 2                over the walls',
        '  bay                 1.5 m    5 mm   25.00 mm  0.08 mm        0  drawing: sheet 2',
        '  width                 3 m    5 mm   50.00 mm  0.08 mm        7  drawing: sheet 2',
        '  height              2.4 m   60 mm   40.00 mm  1.00 mm        5  guess: headroom under the beam',
        '  halfWidth           1.5 m  2.5 mm   25.00 mm  0.04 mm        2  width',
        'rules',
        '  holds: four bays add up to the length: 6 m = 6 m (± 20.6 mm, at worst 25 mm)',
        '',
      ].join('\n'),
    )
    expect(code).toBe(0)
  })

  test('--unsourced leaves only what is still a guess', () => {
    const { stdout } = cardwright(project('surveyed'), ['survey', '--unsourced', '--json'])
    const [shed] = JSON.parse(stdout).models
    expect(shed.dimensions).toEqual([
      {
        name: 'height',
        value: 2400,
        unit: 'm',
        within: 60,
        worst: 60,
        source: { kind: 'guess', title: 'headroom under the beam' },
        note: '',
        from: [],
        unsourced: true,
        atModel: { value: 40, within: 1 },
        pieces: 5,
      },
    ])
    expect(shed).not.toHaveProperty('rules')
  })
})

describe('cardwright impact', () => {
  // Five frames of 50 x 40 mm, cut in 60 minutes and glued in 40; both floors of 100 x 25 mm cut in 30.
  const onTheBench = () => {
    const folder = project('surveyed')
    expect(cardwright(folder, ['build', '--no-types']).code).toBe(0)
    const built = JSON.parse(readFileSync(join(folder, 'out/shed/manifest.json'), 'utf8'))
    const printOf = (mark: string) => built.pieces.find((piece: { mark: string }) => piece.mark === mark).fingerprint
    const frames = [1, 2, 3, 4, 5].map((n) => ({ mark: `FR-0${n}`, count: 1, fingerprint: printOf(`FR-0${n}`) }))
    const entries = [
      { did: 'cut', minutes: 60, pieces: frames },
      { did: 'glued', minutes: 40, pieces: frames },
      { did: 'cut', minutes: 30, pieces: [{ mark: 'FL', count: 2, fingerprint: printOf('FL') }] },
    ]
    const lines = entries.map((entry, i) => JSON.stringify({ v: 1, time: `2026-03-1${i}T19:00:00+01:00`, model: 'shed', ...entry }))
    writeFileSync(join(folder, 'logbook.jsonl'), `${lines.join('\n')}\n`)
    return folder
  }

  test('names the pieces that hang on a dimension by themselves or through a formula, with their sheets', () => {
    const folder = onTheBench()
    expect(cardwright(folder, ['impact', 'width']).stdout).toBe(
      [
        'Shed, 1:60: 7 of 8 pieces hang on width, 3 m, some of them through halfWidth',
        '  family  pieces  sheets',
        '  FL           2  folder-01',
        '  FR           5  divider-01',
        '',
      ].join('\n'),
    )
    expect(JSON.parse(cardwright(folder, ['impact', 'length', '--json']).stdout).models[0].figures[0].families).toEqual([
      { family: 'FL', pieces: 2, marks: ['FL'], sheets: ['folder-01'] },
    ])
  })

  // Width 3 m to 3.018 m: frames come 0.3 mm wider, 0.15 mm on each side of their centre, floors half of that. Half of divider is 0.225 mm, of folder 0.14 mm.
  test('tells what another value changes, what may be kept, and the hours that are lost', () => {
    const folder = onTheBench()
    const before = contents(folder)
    const ask = (...words: string[]) => JSON.parse(cardwright(folder, ['impact', ...words, '--json']).stdout).models[0]
    const small = ask('width=3.018m')
    expect(small.figures).toEqual([{ name: 'width', value: '3 m', instead: '3.018 m' }])
    expect(small.pieces.map((piece: { mark: string }) => piece.mark)).toEqual(['FL', 'FR-01', 'FR-02', 'FR-03', 'FR-04', 'FR-05'])
    expect(small.pieces[0].deviation).toBeCloseTo(0.075, 3)
    expect(small.pieces[1].deviation).toBeCloseTo(0.15, 3)
    expect(small.pieces.every(({ keeps }: { keeps: boolean }) => keeps)).toBe(true)
    expect([small.kept, small.lost.cut, small.lost.hours.likely]).toEqual([7, 0, 0])

    const tight = ask('width=3.018m', '--within', '0.1mm')
    expect([tight.kept, tight.lost.cut, tight.lost.glued]).toEqual([2, 5, 5])
    // 900 mm of frame at the rate of 90 min for the 900 + 500 mm that were cut, and 40 min of glue.
    expect(tight.lost.hours.likely).toBeCloseTo((900 * (90 / 1400) + 40) / 60, 3)

    expect(ask('width+=18mm').pieces).toEqual(small.pieces)
    expect(contents(folder)).toEqual(before)
  })

  test('in words', () => {
    expect(cardwright(onTheBench(), ['impact', 'height=2.7m', 'shed']).stdout).toBe(
      [
        'Shed, 1:60: with height 2.7 m in place of 2.4 m, 5 of 8 pieces change',
        '  family  changed  furthest  marks      may be kept  cut  glued',
        '  FR            5   2.50 mm  FR-01..05  none           5      5',
        'furthest',
        ...[1, 2, 3, 4, 5].map((n) => `  FR-0${n}  2.50 mm  at 0.00, -22.50 mm  more than 0.23 mm  1 glued`),
        'lost: 5 cut, 5 of them glued, about 1.6 h (1.0 to 2.3 h)',
        '',
      ].join('\n'),
    )
  })

  test('knows thickness and scale as figures', () => {
    const folder = project('surveyed')
    const models = (word: string) => JSON.parse(cardwright(folder, ['impact', word, '--json']).stdout).models
    expect(models('scale=1:72')[0].pieces).toHaveLength(6)
    expect(models('scale')[0].figures[0].pieces).toBe(7)
  })

  test.each([
    [['lenght'], 'there is no figure "lenght"\n  did you mean "length"?\n'],
    [['length=6'], 'length: "6" has no unit\n  write a number and its unit, such as 24.9m, 980mm or 12ft 6.5in\n'],
    [['length=0m'], 'length: "0m" is no size at all\n  give it a length above 0\n'],
    [['length=-2m'], 'length: "-2m" is below 0\n  give it a length above 0\n'],
    [['length=6,2m'], 'length: "6,2m" has a decimal comma\n  write a point: 6.2m\n'],
    [['length+=0mm'], 'length moved by 0 mm is what it is\n  write length+=50mm\n'],
    [['scale+=1'], 'scale cannot be raised or lowered by "1"\n  write scale=VALUE\n'],
    [['length=6m', '--within', '-1mm'], '--within -1mm is below 0\n  write it like --within 0.2mm\n'],
    [['shed'], 'cardwright impact needs a FIGURE\n  write it like cardwright impact span, or span=24.9m\n'],
  ])('%j is an error', (words, text) => {
    expect(cardwright(project('surveyed'), ['impact', ...words])).toEqual({ code: 2, stdout: '', stderr: `error: ${text}` })
  })
})
