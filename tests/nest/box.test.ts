import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { packBoxes } from '../../lib/nest/strategy/box'
import { verifyLayout } from '../../lib/nest/verify'
import { A4, box, piece, requests } from './cases'

describe('packBoxes', () => {
  it('never overlaps, leaves the area, comes too near or loses a piece', () => {
    fc.assert(
      fc.property(requests, (request) => {
        expect(verifyLayout(request, packBoxes(request))).toEqual([])
      }),
    )
  })

  it('gives the same layout for the same request', () => {
    fc.assert(
      fc.property(requests, (request) => {
        expect(packBoxes(structuredClone(request))).toEqual(packBoxes(request))
      }),
      { numRuns: 20 },
    )
  })

  it('fills an area that boxes tile exactly', () => {
    // 200 mm by 287 mm of printable area takes 4 by 7 pieces of 48.5 mm by 39.25 mm with 2 mm between: 200 and 286.75.
    const pieces = Array.from({ length: 28 }, (_, i) => piece(`P${i}`, box(48.5, 39.25)))
    expect(packBoxes({ pieces, sheet: A4, gap: 2 })).toMatchObject({ sheets: 1, unplaced: [] })
  })

  it('turns a piece that only fits so', () => {
    const long = piece('L', box(280, 20), { turns: [0, 90] })
    expect(packBoxes({ pieces: [long], sheet: A4, gap: 2 }).placements).toMatchObject([{ id: 'L', turn: 90 }])
  })

  it('fills offcuts first and counts them', () => {
    const offcut = { width: 60, height: 60, area: { minX: 0, minY: 0, maxX: 60, maxY: 60 } }
    const pieces = [piece('A', box(50, 50)), piece('B', box(50, 50))]
    const { placements, sheets } = packBoxes({ pieces, sheet: A4, offcuts: [offcut], gap: 2 })
    expect(placements.map(({ sheet }) => sheet)).toEqual([0, 1])
    expect(sheets).toBe(2)
  })

  it('leaves kept pieces and places the others round them', () => {
    const keep = [{ id: 'B', sheet: 0, x: 70, y: 100, turn: 0 }]
    const pieces = [piece('A', box(60, 60)), piece('B', box(60, 60)), piece('C', box(150, 60))]
    const request = { pieces, sheet: A4, gap: 2, keep }
    const result = packBoxes(request)
    expect(result.placements[1]).toEqual(keep[0])
    expect(result.sheets).toBe(1)
    expect(verifyLayout(request, result)).toEqual([])
  })

  it('says why a piece has no place and places the rest', () => {
    const pieces = [
      piece('good', box(20, 20)),
      piece('large', box(300, 210), { turns: [0, 90] }),
      piece('line', [[0, 0], [10, 0], [20, 0]]),
      piece('point', [[3, 3]]),
      piece('nan', [[0, 0], [10, NaN], [5, 5]]),
      piece('still', box(5, 5), { turns: [] }),
    ]
    const { placements, unplaced } = packBoxes({ pieces, sheet: A4, gap: 2 })
    expect(placements).toMatchObject([{ id: 'good' }])
    expect(unplaced).toEqual([
      // Turned by 90 it is 210 by 300 on 200 by 287; unturned it is 300 by 210, 100 too wide.
      { id: 'large', reason: 'too large', excess: { x: 10, y: 13 } },
      { id: 'line', reason: 'degenerate' },
      { id: 'point', reason: 'degenerate' },
      { id: 'nan', reason: 'degenerate' },
      { id: 'still', reason: 'no turn' },
    ])
  })

  it('says by how much a gap is larger than the sheet', () => {
    const { unplaced } = packBoxes({ pieces: [piece('A', box(20, 20))], sheet: A4, gap: 300 })
    expect(unplaced).toEqual([{ id: 'A', reason: 'gap too large', excess: { x: 100, y: 13 } }])
  })

  it('places nothing on a sheet without a printable area', () => {
    const sheet = { width: 10, height: 10, area: { minX: 8, minY: 8, maxX: 2, maxY: 2 } }
    const { unplaced, sheets } = packBoxes({ pieces: [piece('A', box(20, 20))], sheet, gap: 1 })
    expect(sheets).toBe(0)
    expect(unplaced).toEqual([{ id: 'A', reason: 'too large', excess: { x: 26, y: 26 } }])
  })

  it('refuses a gap below zero', () => {
    expect(() => packBoxes({ pieces: [], sheet: A4, gap: -1 })).toThrow(/gap of -1 mm/)
  })
})
