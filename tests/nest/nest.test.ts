import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { nest } from '../../lib/nest/index'
import { verifyLayout } from '../../lib/nest/verify'
import { A4, box, piece, requests } from './cases'

describe('nest', () => {
  it('hands out layouts without fault', () => {
    fc.assert(
      fc.property(requests, (request) => {
        expect(verifyLayout(request, nest({ ...request, effort: 'quick' }))).toEqual([])
      }),
      { numRuns: 20 },
    )
  })

  it('keeps what still holds and places anew what does not', () => {
    const pieces = ['A', 'B', 'C', 'D', 'E'].map((id) => piece(id, box(50, 50)))
    const keep = [
      { id: 'A', sheet: 0, x: 10, y: 10, turn: 0 },
      { id: 'B', sheet: 0, x: 40, y: 10, turn: 0 },
      { id: 'C', sheet: 0, x: 190, y: 10, turn: 0 },
      { id: 'D', sheet: 0, x: 120, y: 100, turn: 90 },
      { id: 'E', sheet: 0, x: NaN, y: 100, turn: 0 },
      { id: 'gone', sheet: 0, x: 10, y: 10, turn: 0 },
    ]
    const request = { pieces, sheet: A4, gap: 2, keep, effort: 'quick' } as const
    const { placements, sheets } = nest(request)
    expect(placements[0]).toEqual(keep[0])
    expect(placements.slice(1)).not.toContainEqual(expect.objectContaining({ x: 40 }))
    expect(placements.every(({ turn }) => turn === 0)).toBe(true)
    expect(sheets).toBe(1)
  })

  it('keeps every placement of an earlier build of the same pieces', () => {
    fc.assert(
      fc.property(requests, (request) => {
        const first = nest({ ...request, effort: 'quick' })
        const again = nest({ ...request, effort: 'quick', keep: first.placements })
        expect(again).toEqual(first)
      }),
      { numRuns: 10 },
    )
  })
})
