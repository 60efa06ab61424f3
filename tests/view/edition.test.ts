import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { applyDelta } from '../../lib/view/applyDelta'
import type { PageData, PageDelta } from '../../lib/view/data'
import { documentOf, type DocumentInput } from '../../lib/view/document'
import { deltaText, editionOf } from '../../lib/view/edition'
import { packSolids } from '../../lib/view/pack'
import { solidsOf } from '../../lib/fit/solid'
import { builtInStock } from '../../lib/stock/catalogue'
import { box, testPiece } from '../sheet/pieces'

const folder = builtInStock('folder')
const pose = { origin: [10, 20, 30], right: [0, 1, 0], up: [0, 0, 1] } as const

function dataOf(sizes: Readonly<Record<string, number>>, rest: Partial<DocumentInput> = {}): PageData {
  const pieces = Object.entries(sizes).map(([mark, size]) => testPiece(mark, box(0, 0, size, 10), { pose, assembly: 'hull' }))
  return documentOf({
    name: 'tug',
    title: 'Tug',
    scale: { name: '1:60', ratio: 60 },
    assemblies: ['hull'],
    relations: [],
    stocks: [folder],
    pieces,
    placements: new Map(),
    sheets: new Map(),
    findings: [],
    solids: new Map(pieces.map((piece) => [piece.mark, packSolids(solidsOf(piece, folder))])),
    ...rest,
  })
}

function deltaBetween(before: PageData, now: PageData): PageDelta {
  return JSON.parse(deltaText(editionOf(before), editionOf(now))) as PageDelta
}

describe('what is sent to a page that is open', () => {
  test('is the piece that changed, and nothing else', () => {
    const before = dataOf({ 'FR-1': 40, 'FR-2': 50 })
    const now = dataOf({ 'FR-1': 40, 'FR-2': 51 })
    const delta = deltaBetween(before, now)
    expect(delta.pieces.map(({ mark }) => mark)).toEqual(['FR-2'])
    expect([delta.parts, delta.without, delta.marks]).toEqual([{}, [], undefined])
    const applied = applyDelta(before, delta)
    expect(applied).toEqual(now)
    // The page keeps what it has worked out for a piece by the piece itself.
    expect(applied.pieces[0]).toBe(before.pieces[0])
  })

  test('is only what the fit has to say, when that is all there is to add', () => {
    const finding = { id: 'clash', severity: 'warning', text: 'FR-1 and FR-2 are in each other’s way', remedy: 'move one', mark: 'FR-1' } as const
    const now = dataOf({ 'FR-1': 40, 'FR-2': 50 }, { fit: 'known', findings: [finding] })
    const delta = deltaBetween(dataOf({ 'FR-1': 40, 'FR-2': 50 }, { fit: 'under way' }), now)
    expect(Object.keys(delta.parts).toSorted()).toEqual(['findings', 'fit'])
    expect(delta.pieces).toEqual([])
    expect(now.findings[0]!.pieces).toEqual([0, 1])
  })

  test('makes any edition into any other', () => {
    const sizes = fc.dictionary(fc.constantFrom('A-1', 'A-2', 'B-1', 'B-2', 'C-1'), fc.integer({ min: 5, max: 9 }))
    const stale = fc.option(fc.constantFrom('old', 'older'), { nil: undefined })
    const edition = fc.tuple(sizes, stale).map(([own, why]) => dataOf(own, why === undefined ? {} : { stale: why }))
    fc.assert(
      fc.property(edition, edition, (before, now) => {
        const delta = deltaBetween(before, now)
        expect(applyDelta(before, delta)).toEqual(now)
        expect(delta.from).toBe(editionOf(before).id)
      }),
      { seed: 7, numRuns: 200 },
    )
  })

  test('an edition reads as the data it is of, and has another name for other data', () => {
    const data = dataOf({ 'FR-1': 40 })
    expect(JSON.parse(editionOf(data).text)).toEqual(data)
    expect(editionOf(data).id).toBe(editionOf(dataOf({ 'FR-1': 40 })).id)
    expect(editionOf(data).id).not.toBe(editionOf(dataOf({ 'FR-1': 41 })).id)
  })
})

describe('order and places', () => {
  test('pieces are in the order that assemblies are finished and families built', () => {
    const piece = (mark: string, assembly: string) => testPiece(mark, box(0, 0, 10, 10), { assembly })
    const pieces = [piece('A-1', 'wing'), piece('B-1', 'hull'), piece('C-1', 'wing/ribs'), piece('D-1', ''), piece('E-1', 'hull')]
    const data = dataOf(
      {},
      {
        pieces,
        solids: new Map(),
        assemblies: ['wing', 'wing/ribs', 'hull'],
        families: ['E', 'A', 'B', 'C', 'D'],
        relations: [{ kind: 'sequence', first: 'hull', second: 'wing' }],
      },
    )
    expect(data.pieces.map(({ mark }) => mark)).toEqual(['E-1', 'B-1', 'C-1', 'A-1', 'D-1'])
  })

  test('a finding’s place on the flat is told in the model too, and not for a piece that is folded', () => {
    const finding = { id: 'narrow-web', severity: 'warning', text: 'web of 0.42 mm', remedy: 'widen it', mark: 'FR-1', at: [3, 4] } as const
    // The piece stands at (10, 20, 30) with its x axis to starboard (y) and its y axis up (z).
    expect(dataOf({ 'FR-1': 40 }, { findings: [finding] }).findings[0]!.spot).toEqual([10, 23, 34])
    const both = { ...finding, also: [{ mark: 'FR-2', at: [5, 6] }, { mark: 'gone', at: [7, 8] }] } as const
    expect(dataOf({ 'FR-1': 40, 'FR-2': 50 }, { findings: [both] }).findings[0]).toMatchObject({ at: [3, 4], also: [{ piece: 1, at: [5, 6] }] })
    const own = { ...finding, inModel: [1, 2, 3] } as const
    expect(dataOf({ 'FR-1': 40 }, { findings: [own] }).findings[0]!.spot).toEqual([1, 2, 3])
  })
})
