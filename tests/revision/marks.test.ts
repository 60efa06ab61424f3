import { describe, expect, test } from 'vitest'
import { parseScale } from '../../lib/length/scale'
import { manifestOf } from '../../lib/revision/manifest'
import { chooseMarks } from '../../lib/revision/marks'
import { builtInStock } from '../../lib/stock/catalogue'
import { NO_SURVEY } from '../../lib/survey/table'
import { findingOf } from '../helpers/geometry'
import { box, testPiece } from '../sheet/pieces'

const square = box(0, 0, 10, 10)
const ribs = (['P', 'S'] as const).flatMap((side) =>
  Array.from({ length: 12 }, (_, i) =>
    testPiece(`WR-${side}${String(i + 1).padStart(2, '0')}`, square, { side, assembly: 'wing/ribs' }),
  ),
)
const seats = ['01', '02', '03'].flatMap((n) =>
  ['BOX', 'PAN'].map((part) => testPiece(`SE-${n}-${part}`, square, { family: 'SE', assembly: 'cabin', copies: 2 })),
)
const odd = [testPiece('wing', square, { family: 'KE' }), testPiece('KE-1', square, { family: 'cabin' })]
const pieces = [...ribs, ...seats, ...odd]
const stock = builtInStock('folder')
const manifest = manifestOf(
  {
    name: 'tug',
    title: 'Tug',
    scale: parseScale('1:60'),
    stocks: new Map([['folder', stock]]),
    pieces,
    assemblies: ['wing', 'wing/ribs', 'cabin'],
    relations: [],
    survey: NO_SURVEY,
    findings: [],
  },
  [
    {
      stock,
      sheets: 2,
      placements: seats.flatMap(({ mark }, i) => [
        { id: mark, sheet: 0, x: 0, y: 0, turn: 0 },
        { id: `${mark}#2`, sheet: i === 0 ? 0 : 1, x: 0, y: 0, turn: 0 },
      ]),
    },
  ],
)
const marks = (...words: string[]) => chooseMarks(words, manifest).map(({ mark }) => mark)
const said = (...words: string[]) => {
  const { text, remedy } = findingOf(() => chooseMarks(words, manifest, ['ZZ-1']))
  return [text, remedy]
}

describe('marks', () => {
  test.each([
    [['WR-P03'], ['WR-P03']],
    [['WR-P03..P05'], ['WR-P03', 'WR-P04', 'WR-P05']],
    [['WR-P03..WR-P05'], ['WR-P03', 'WR-P04', 'WR-P05']],
    [['WR-S09..11'], ['WR-S09', 'WR-S10', 'WR-S11']],
    [['WR-P03..P03'], ['WR-P03']],
    [['WR-P05,WR-P03', 'WR-P05'], ['WR-P05', 'WR-P03']],
    [['SE-02'], ['SE-02-BOX', 'SE-02-PAN']],
    [['SE-01..02'], ['SE-01-BOX', 'SE-01-PAN', 'SE-02-BOX', 'SE-02-PAN']],
    [['SE-01-PAN..SE-03-PAN'], ['SE-01-PAN', 'SE-02-PAN', 'SE-03-PAN']],
    [['WR-P'], ribs.slice(0, 12).map(({ mark }) => mark)],
    [['WR'], ribs.map(({ mark }) => mark)],
    [['wing/ribs'], ribs.map(({ mark }) => mark)],
    [['wing/'], ribs.map(({ mark }) => mark)],
    [['wing'], ['wing']],
    [['cabin/'], seats.map(({ mark }) => mark)],
  ])('%j', (words, wanted) => expect(marks(...words)).toEqual(wanted))

  test('a sheet stands for what lies on it, with how many of each', () => {
    expect(chooseMarks(['folder-01'], manifest).slice(0, 2)).toEqual([
      { mark: 'SE-01-BOX', count: 2 },
      { mark: 'SE-01-PAN', count: 1 },
    ])
    const both = chooseMarks(['folder-01', 'folder-02', 'folder-02'], manifest)
    expect(both.map(({ mark, count }) => [mark, count])).toEqual(seats.map(({ mark }) => [mark, 2]))
    expect(chooseMarks(['folder-01', 'SE-01-BOX'], manifest)[0]).toEqual({ mark: 'SE-01-BOX' })
  })

  test('a mark that the model no longer has can be named where that makes sense', () => {
    expect(chooseMarks(['ZZ-1'], manifest, ['ZZ-1'])).toEqual([{ mark: 'ZZ-1' }])
  })

  test.each([
    ['WR-P09..P03', 'the range WR-P09..P03 runs backwards, from 9 to 3', 'write WR-P03..WR-P09'],
    [
      'WR-P03..P14',
      'there is no mark "WR-P14", an end of the range WR-P03..P14',
      'WR-Pn goes from 1 to 12',
    ],
    ['WT-P03..P05', 'there is no mark "WT-P03", an end of the range WT-P03..P05', 'did you mean "WR-P03"?'],
    ['WR-P03..S05', '"WR-P03..S05" is not a range of marks', 'write it like WR-P03..P09'],
    ['WR-P03..', '"WR-P03.." is not a range of marks', 'write it like WR-P03..P09'],
    ['WR-P03..P05..P07', '"WR-P03..P05..P07" is not a range of marks', 'write it like WR-P03..P09'],
    ['WR-PO3', 'tug has no mark, family, assembly or sheet "WR-PO3"', 'did you mean "WR-P03"?'],
    ['wing/ribz', 'tug has no mark, family, assembly or sheet "wing/ribz"', 'did you mean "wing/ribs"?'],
    [
      'undercarriage',
      'tug has no mark, family, assembly or sheet "undercarriage"',
      'name marks, or what stands for many, as cabin, cabin, folder-01',
    ],
    ['folder-03', 'there is no sheet "folder-03"', 'the sheets of folder end with folder-02'],
    ['cabin', '"cabin" is both a family and an assembly', 'write cabin/ for the assembly, or name marks'],
  ])('%s is refused', (word, text, remedy) => expect(said(word)).toEqual([text, remedy]))
})
