import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { packBoxes } from '../../lib/nest/strategy/box'
import { nestShapes } from '../../lib/nest/strategy/shape'
import { verifyLayout } from '../../lib/nest/verify'
import { A4, box, piece, requests } from './cases'

describe('nestShapes', () => {
  it('never overlaps, leaves the area, comes too near or loses a piece', () => {
    fc.assert(
      fc.property(requests, (request) => {
        expect(verifyLayout(request, nestShapes({ ...request, effort: 'normal' }))).toEqual([])
      }),
      { numRuns: 20 },
    )
  })

  it('gives the same layout for the same request and seed', () => {
    fc.assert(
      fc.property(requests, (request) => {
        expect(nestShapes(structuredClone(request))).toEqual(nestShapes(request))
      }),
      { numRuns: 6 },
    )
  })

  it('lets triangles share boxes', () => {
    // Right triangles of 90 mm by 130 mm: two make a box, and 2 by 2 boxes go on A4, so 8 triangles; by boxes only 4.
    const triangle = [[0, 0], [90, 0], [0, 130]] as const
    const pieces = Array.from({ length: 8 }, (_, i) => piece(`T${i}`, triangle, { turns: [0, 180] }))
    const request = { pieces, sheet: A4, gap: 1.5 }
    expect(packBoxes(request).sheets).toBe(2)
    expect(nestShapes(request)).toMatchObject({ sheets: 1, unplaced: [] })
  })

  it('puts small pieces into the openings of large ones', () => {
    const window = [[20, 20], [20, 260], [170, 260], [170, 20]] as const
    const frame = piece('F', box(190, 280), { openings: [window] })
    const small = Array.from({ length: 12 }, (_, i) => piece(`S${i}`, box(40, 50)))
    const request = { pieces: [frame, ...small], sheet: A4, gap: 2 }
    const result = nestShapes(request)
    expect(result.sheets).toBe(1)
    expect(verifyLayout(request, result)).toEqual([])
  })

  it('keeps what is to be kept and fills the room around it', () => {
    const pieces = ['A', 'B', 'C'].map((id) => piece(id, box(60, 60)))
    const keep = [{ id: 'B', sheet: 0, x: 70.123, y: 100.456, turn: 0 }]
    const result = nestShapes({ pieces, sheet: A4, gap: 2, keep })
    expect(result.placements[1]).toEqual(keep[0])
    expect(result.sheets).toBe(1)
  })

  it('is never worse than boxes where they just fit', () => {
    // 4 by 7 pieces of 48.5 mm by 39.25 mm with 2 mm between take 200 mm by 286.75 mm of the 200 mm by 287 mm.
    const pieces = Array.from({ length: 28 }, (_, i) => piece(`P${i}`, box(48.5, 39.25)))
    expect(nestShapes({ pieces, sheet: A4, gap: 2 })).toMatchObject({ sheets: 1, unplaced: [] })
  })

  it('places the others where one is too large, and tells by how much', () => {
    const pieces = [piece('L', box(250, 250)), piece('S', box(30, 30)), piece('N', box(30, 30), { turns: [] })]
    expect(nestShapes({ pieces, sheet: A4, gap: 2 })).toMatchObject({
      placements: [{ id: 'S' }],
      unplaced: [{ id: 'L', reason: 'too large', excess: { x: 50, y: 0 } }, { id: 'N', reason: 'no turn' }],
    })
  })

  it('tells of progress up to the last piece', () => {
    const pieces = Array.from({ length: 30 }, (_, i) => piece(`P${i}`, box(20 + i, 30)))
    const told: [number, number][] = []
    nestShapes({ pieces, sheet: A4, gap: 2, onProgress: (done, total) => told.push([done, total]) })
    expect(told.at(-1)).toEqual([30, 30])
    expect(told).toEqual(told.toSorted((a, b) => a[0] - b[0]))
  })
})
