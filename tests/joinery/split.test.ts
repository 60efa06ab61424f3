import { describe, expect, test } from 'vitest'
import { checkModel } from '../../lib/check/index'
import { bench, circle, mirrored, piece, rectangleFrom, single, split } from '../../lib/index'
import { area, boundsOf } from '../../lib/shape/measure'
import { printableArea } from '../../lib/sheet/index'
import { findingOf, modelOf, pieceOf } from '../helpers/model'

const mm = bench.mm
const at = (x: number, y: number) => [mm(x), mm(y)] as const
const keel = () =>
  single('KE', () =>
    piece({ stock: 'folder', grain: 'along' })
      .outline(rectangleFrom(mm(0), mm(0), mm(400), mm(60)))
      .openings(circle(mm(10)).moved(mm(100), mm(30)))
      .datum(at(0, 30), at(400, 30))
      .mountain(at(0, 50), at(400, 50))
      .text('bow', at(390, 20), { size: mm(3) }),
  )
const tiled = () => modelOf(() => split(keel(), { at: [mm(180)], joiner: mm(20) }))
const cardOf = (found: ReturnType<typeof tiled>, mark: string) => {
  const { outline, openings } = pieceOf(found, mark)
  return area([outline, ...openings.map(({ loop }) => loop)])
}

describe('a piece larger than its sheet', () => {
  test('is an error as it is, and none once it is split', () => {
    const rules = (found: ReturnType<typeof tiled>) =>
      checkModel(found, { area: printableArea }).filter(({ severity }) => severity !== 'note').map(({ id }) => id)
    expect(rules(modelOf(keel))).toContain('too-large')
    expect(rules(tiled())).toEqual([])
  })

  test('loses no card: the tiles are the whole, where it was', () => {
    const found = tiled()
    expect(cardOf(found, 'KE-1') + cardOf(found, 'KE-2')).toBeCloseTo(cardOf(modelOf(keel), 'KE'), 3)
    expect(boundsOf([pieceOf(found, 'KE-1').outline])).toEqual({ minX: 0, minY: 0, maxX: 180, maxY: 60 })
    expect(boundsOf([pieceOf(found, 'KE-2').outline])).toEqual({ minX: 180, minY: 0, maxX: 400, maxY: 60 })
    expect([pieceOf(found, 'KE-1').openings.length, pieceOf(found, 'KE-2').openings.length]).toEqual([1, 0])
  })

  test('keeps its grain, folds, lines and words, each on its tile', () => {
    const [first, second] = ['KE-1', 'KE-2'].map((mark) => pieceOf(tiled(), mark))
    expect([first!.grain, second!.grain]).toEqual([0, 0])
    expect([first!, second!].map(({ scores }) => scores.map(({ line }) => line))).toEqual([
      [[[0, 50], [180, 50]]],
      [[[180, 50], [400, 50]]],
    ])
    expect(first!.lines.filter(({ kind }) => kind === 'datum').map(({ line }) => line)).toEqual([[[0, 30], [180, 30]]])
    expect([first!.texts.length, second!.texts.length]).toEqual([0, 1])
  })

  test('has ticks that meet across the joint, and are on the joiner behind it', () => {
    const found = tiled()
    const ticks = (mark: string) =>
      pieceOf(found, mark).lines.filter(({ kind }) => kind === 'align').map(({ line }) => line)
    expect(ticks('KE-1')).toEqual([[[176, 20], [180, 20]], [[176, 40], [180, 40]]])
    expect(ticks('KE-2')).toEqual([[[180, 20], [184, 20]], [[180, 40], [184, 40]]])
    expect(ticks('KE-J1')).toEqual([[[180, 1], [180, 59]], [[176, 20], [184, 20]], [[176, 40], [184, 40]]])
    expect(boundsOf([pieceOf(found, 'KE-J1').outline])).toEqual({ minX: 170, minY: 1, maxX: 190, maxY: 59 })
  })

  test('says that it was split', () => {
    expect(tiled().findings.map(({ severity, mark, text }) => [severity, mark, text])).toEqual([
      ['note', 'KE', 'split into 2 tiles at 180.00 mm of its axis, joiners behind: 1'],
    ])
  })

  test('is warned of where the joint meets an opening, and the joiner keeps clear of it', () => {
    const found = modelOf(() => split(keel(), { at: [mm(100)], joiner: mm(16) }))
    expect(found.findings.map(({ text }) => text)).toContain(
      'the joint at x 100.00 mm runs through an opening from 90.00 mm to 110.00 mm',
    )
    const joiners = found.pieces.filter(({ mark }) => mark.startsWith('KE-J'))
    expect(joiners.map(({ outline }) => boundsOf([outline]).maxY <= 30 || boundsOf([outline]).minY >= 30)).toEqual([true, true])
  })

  test('is split alike on both sides', () => {
    const found = modelOf(() => split(mirrored(keel()), { at: [mm(180)], joiner: mm(20) }))
    const lengths = (side: string) =>
      ['1', '2'].map((n) => {
        const { minX, maxX } = boundsOf([pieceOf(found, `KE-${side}-${n}`).outline])
        return Math.round(maxX - minX)
      })
    expect([lengths('S'), lengths('P').toReversed()]).toEqual([[180, 220], [180, 220]])
  })
})

test('a joint outside the piece is an error with both numbers', () => {
  const { text, remedy } = findingOf(() => modelOf(() => split(keel(), { at: [mm(450)], joiner: mm(20) })))
  expect(`${text}; ${remedy}`).toBe(
    'a joint at 450.00 mm, KE is 400.00 mm long; give a place between its ends, above 0 and below 400.00 mm',
  )
})
