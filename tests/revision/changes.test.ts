import { describe, expect, test } from 'vitest'
import { parseScale } from '../../lib/length/scale'
import type { Model } from '../../lib/model/model'
import type { Piece } from '../../lib/model/piece'
import { type Changes, compareManifests, isChanged } from '../../lib/revision/changes'
import { manifestOf } from '../../lib/revision/manifest'
import { builtInStock } from '../../lib/stock/catalogue'
import { NO_SURVEY } from '../../lib/survey/table'
import { hole, rib, seat } from '../sheet/pieces'

const [folder, divider] = [builtInStock('folder'), builtInStock('divider')]

function manifest(pieces: readonly Piece[], { scale = '1:60', thickness = folder.thickness.value } = {}) {
  const card = { ...folder, thickness: { ...folder.thickness, value: thickness } }
  const model: Model = {
    name: 'tug',
    title: 'Tug',
    scale: parseScale(scale),
    stocks: new Map([card, divider].map((stock) => [stock.id, stock])),
    pieces,
    assemblies: [],
    relations: [],
    survey: NO_SURVEY,
    findings: [],
  }
  return manifestOf(model, [])
}

const compare = (before: readonly Piece[], after: readonly Piece[]) => compareManifests(manifest(before), manifest(after))
const told = ({ pieces }: Changes) =>
  pieces
    .filter(({ kind }) => kind !== 'unchanged')
    .map(({ mark, kind, also, again, before }) => [mark, kind, [...also], again, before?.mark ?? ''])
const at = (piece: Piece, x: number): Piece => ({
  ...piece,
  pose: { origin: [x, 0, 0], right: [0, 1, 0], up: [0, 0, 1] },
})

const panel = seat('SE-01', 20, 9)

describe('each piece is', () => {
  test('unchanged, when nothing is other; also when it stands elsewhere, which is told', () => {
    const changes = compare([panel, at(rib('WR-P01', 60), 10)], [panel, at(rib('WR-P01', 60), 12.5)])
    expect(told(changes)).toEqual([])
    expect(changes.pieces.map(({ mark, stands }) => [mark, stands])).toEqual([['SE-01', undefined], ['WR-P01', 2.5]])
    expect(isChanged(changes)).toBe(false)
  })

  test('recounted, and only what is more is cut again', () => {
    const of = (copies: number) => [{ ...panel, copies, plies: 2 }]
    expect(told(compare(of(2), of(5)))).toEqual([['SE-01', 'recounted', [], 6, 'SE-01']])
    expect(told(compare(of(5), of(2)))).toEqual([['SE-01', 'recounted', [], 0, 'SE-01']])
  })

  test('renamed, when the same piece has another mark', () => {
    const [before, after] = [[{ ...panel, copies: 1 }], [{ ...panel, mark: 'SE-07', copies: 2 }]]
    expect(told(compare([panel], [{ ...panel, mark: 'SE-07' }]))).toEqual([['SE-07', 'renamed', [], 0, 'SE-01']])
    expect(told(compare(before, after))).toEqual([['SE-07', 'recounted', ['renamed'], 1, 'SE-01']])
  })

  test('re-marked, when only words, drawn lines or notes are other', () => {
    const after = [
      { ...panel, notes: ['glue last'] },
      { ...rib('WR-P01', 60), texts: [{ text: 'UP', at: [9, 2] as const, size: 2, angle: 0 }] },
    ]
    expect(told(compare([panel, rib('WR-P01', 60)], after))).toEqual([
      ['SE-01', 're-marked', [], 0, 'SE-01'],
      ['WR-P01', 're-marked', [], 0, 'WR-P01'],
    ])
  })

  test('reshaped, by how much and where', () => {
    const { pieces } = compare([panel], [{ ...panel, openings: [hole(10, 5, 2)] }])
    expect(pieces[0]).toMatchObject({ kind: 'reshaped', again: 1 })
    // The hole's top, and the nearest place on the edge.
    expect(pieces[0]!.deviation!.distance).toBeGreaterThan(2.9)
    const folded = compare([panel], [{ ...panel, scores: [{ fold: 'valley', line: [[1, 4], [19, 4]], angle: 90 }] }])
    expect(folded.pieces[0]).toMatchObject({ kind: 'reshaped', deviation: { distance: 0, refolded: true } })
  })

  test('restocked, when stock, plies or grain are other', () => {
    expect(told(compare([panel], [{ ...panel, stock: 'divider' }]))).toEqual([['SE-01', 'restocked', [], 1, 'SE-01']])
    expect(told(compare([panel], [{ ...panel, plies: 3, copies: 2 }]))).toEqual([
      ['SE-01', 'restocked', ['recounted'], 6, 'SE-01'],
    ])
    expect(told(compare([{ ...panel, grain: 0 }], [{ ...panel, grain: 90 }]))).toEqual([
      ['SE-01', 'restocked', [], 1, 'SE-01'],
    ])
    expect(told(compare([panel], [{ ...seat('SE-01', 21, 9), stock: 'divider', notes: ['new'] }]))).toEqual([
      ['SE-01', 'restocked', ['reshaped'], 1, 'SE-01'],
    ])
  })

  test('added or removed', () => {
    expect(told(compare([panel], [panel, rib('WR-P01', 60)]))).toEqual([['WR-P01', 'added', [], 1, '']])
    expect(told(compare([panel, rib('WR-P01', 60)], [panel]))).toEqual([['WR-P01', 'removed', [], 0, 'WR-P01']])
    expect(told(compareManifests(undefined, manifest([panel])))).toEqual([['SE-01', 'added', [], 1, '']])
    expect(told(compareManifests(manifest([panel]), undefined))).toEqual([['SE-01', 'removed', [], 0, 'SE-01']])
  })
})

test('a rib put in before others, whose marks all move on by one, is one piece more', () => {
  const ribs = (chords: readonly number[]) => chords.map((chord, i) => rib(`WR-P0${i + 1}`, chord))
  expect(told(compare(ribs([60, 58, 56]), ribs([60, 59, 58, 56])))).toEqual([
    ['WR-P02', 'added', [], 1, ''],
    ['WR-P03', 'renamed', [], 0, 'WR-P02'],
    ['WR-P04', 'renamed', [], 0, 'WR-P03'],
  ])
})

test('a rib put in while all change shape is one piece more too, told by where they stand', () => {
  const ribs = (stands: readonly number[], by: number) =>
    stands.map((x, i) => at(rib(`WR-P0${i + 1}`, 60 - x / 10 + by), x))
  expect(told(compare(ribs([0, 20, 40], 0), ribs([0, 10, 20, 40], 0.3)))).toEqual([
    ['WR-P01', 'reshaped', [], 1, 'WR-P01'],
    ['WR-P02', 'added', [], 1, ''],
    ['WR-P03', 'reshaped', ['renamed'], 1, 'WR-P02'],
    ['WR-P04', 'reshaped', ['renamed'], 1, 'WR-P03'],
  ])
})

test('of several that are alike, a renamed piece was the one of its family that stood nearest', () => {
  const alike = (mark: string, x: number) => at({ ...panel, mark }, x)
  const before = [alike('SE-01', 0), alike('SE-02', 50), { ...alike('TB-01', 101), family: 'TB' }]
  expect(told(compare(before, [alike('SE-08', 52), alike('SE-09', 100)]))).toEqual([
    ['SE-08', 'renamed', [], 0, 'SE-02'],
    ['SE-09', 'renamed', [], 0, 'SE-01'],
    ['TB-01', 'removed', [], 0, 'TB-01'],
  ])
})

test('another scale or thickness of card is told beside the pieces', () => {
  const changes = compareManifests(manifest([panel]), manifest([panel], { scale: '1:72', thickness: 0.3 }))
  expect(changes).toMatchObject({
    scale: { before: '1:60', after: '1:72' },
    thickness: [{ stock: 'folder', before: folder.thickness.value, after: 0.3 }],
  })
  expect(isChanged(changes)).toBe(true)
})
