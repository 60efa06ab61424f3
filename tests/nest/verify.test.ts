import { describe, expect, it } from 'vitest'
import type { NestPiece, NestRequest, Placement } from '../../lib/nest/nest'
import { verifyLayout } from '../../lib/nest/verify'
import { A4, box, piece, star } from './cases'

// Every figure wanted below is worked by hand from the positions given.

function faults(pieces: NestPiece[], placements: Placement[], more: Partial<NestRequest> = {}) {
  const sheets = Math.max(...placements.map(({ sheet }) => sheet)) + 1
  return verifyLayout({ pieces, sheet: A4, gap: 2, ...more }, { placements, unplaced: [], sheets })
}

function at(id: string, x: number, y: number, turn = 0, sheet = 0): Placement {
  return { id, sheet, x, y, turn }
}

const two = [piece('A', box(10, 10)), piece('B', box(10, 10))]
const frame = piece('F', box(40, 40), { openings: [[[10, 10], [10, 30], [30, 30], [30, 10]]] })

describe('verifyLayout', () => {
  it('has nothing to say where the gap is just kept', () => {
    expect(faults(two, [at('A', 10, 10), at('B', 22, 10)])).toEqual([])
  })

  it('measures a gap across corners, not by boxes', () => {
    const near = faults(two, [at('A', 10, 10), at('B', 21, 21)])
    expect(near).toMatchObject([{ kind: 'gap', id: 'A', other: 'B', wanted: 2 }])
    expect(near[0]!.found).toBeCloseTo(Math.SQRT2, 9)
    expect(faults(two, [at('A', 10, 10), at('B', 21.5, 21.5)])).toEqual([])
  })

  it('finds an overlap and how deep it is', () => {
    // Common region 1 mm by 10 mm: twice 10 mm² over 22 mm.
    const found = faults(two, [at('A', 10, 10), at('B', 19, 10)])
    expect(found).toMatchObject([{ kind: 'overlap', id: 'A', other: 'B', sheet: 0 }])
    expect(found[0]!.found).toBeCloseTo(20 / 22, 6)
  })

  it.each([
    ['exactly upon each other', at('B', 10, 10)],
    ['crossing without a corner inside', at('L', 5, 13)],
    ['wholly inside', at('S', 13, 13)],
  ])('finds two pieces %s', (_, other) => {
    const pieces = [two[0]!, piece('B', box(10, 10)), piece('L', box(30, 4)), piece('S', box(2, 2))]
    const used = pieces.filter(({ id }) => id === 'A' || id === other.id)
    expect(faults(used, [at('A', 10, 10), other])).toMatchObject([{ kind: 'overlap', id: 'A', other: other.id }])
  })

  it('lets edges touch where no gap is asked', () => {
    expect(faults(two, [at('A', 10, 10), at('B', 20, 10)], { gap: 0 })).toEqual([])
    expect(faults(two, [at('A', 10, 10), at('B', 19.99, 10)], { gap: 0 })).toMatchObject([{ kind: 'overlap' }])
  })

  it('lets a piece lie in an opening with the gap all round, and no nearer', () => {
    expect(faults([frame, piece('S', box(16, 16))], [at('F', 10, 10), at('S', 22, 22)])).toEqual([])
    expect(faults([frame, piece('S', box(16, 16))], [at('F', 10, 10), at('S', 22, 23)])).toMatchObject([
      { kind: 'gap', id: 'F', other: 'S', found: 1, wanted: 2 },
    ])
    expect(faults([frame, piece('S', box(20, 20))], [at('F', 10, 10), at('S', 20, 20)], { gap: 0 })).toEqual([])
    expect(faults([frame, piece('S', box(20, 20))], [at('F', 10, 10), at('S', 18, 20)], { gap: 0 })).toMatchObject([
      { kind: 'overlap', id: 'F', other: 'S' },
    ])
  })

  it('finds a piece over the printable border at the turn it has', () => {
    const long = piece('L', box(250, 20), { turns: [0, 90] })
    expect(faults([long], [at('L', 30, 10, 90)])).toEqual([])
    expect(faults([long], [at('L', 5, 10)])).toMatchObject([{ kind: 'outside', id: 'L', found: 50 }])
    expect(faults([long], [at('L', NaN, 10)])).toMatchObject([{ kind: 'outside', id: 'L' }])
  })

  it('refuses a turn that is not offered', () => {
    const grained = piece('G', star([5, 4, 6, 5]), { turns: [0, 180] })
    expect(faults([grained], [at('G', 50, 50, 90)])).toMatchObject([{ kind: 'turn', id: 'G', found: 90 }])
  })

  it('keeps off the used part of a sheet and of an offcut', () => {
    const used = [box(50, 50)]
    const sheet = { ...A4, used }
    const one = [two[0]!]
    expect(faults(one, [at('A', 45, 45)], { sheet })).toMatchObject([{ kind: 'overlap', id: 'A', other: 'used' }])
    expect(faults(one, [at('A', 51, 45)], { sheet })).toMatchObject([{ kind: 'gap', found: 1 }])
    expect(faults(one, [at('A', 45, 45)], { offcuts: [sheet] })).toMatchObject([{ kind: 'overlap' }])
    expect(faults(one, [at('A', 45, 45, 0, 1)], { offcuts: [sheet] })).toEqual([])
  })

  it('wants every piece once', () => {
    expect(faults(two, [at('A', 10, 10)])).toEqual([{ kind: 'count', id: 'B', found: 0, wanted: 1 }])
    const twice = faults(two, [at('A', 10, 10), at('B', 60, 10), at('B', 90, 10)])
    expect(twice).toMatchObject([{ kind: 'count', id: 'B', found: 2 }])
    const stranger = faults(two, [at('A', 10, 10), at('B', 60, 10), at('X', 90, 10)])
    expect(stranger).toMatchObject([{ kind: 'count', id: 'X', found: 1 }])
  })

  it('wants sheets counted from 0', () => {
    const result = { placements: [at('A', 10, 10, 0, 1), at('B', 60, 10, 0, -1)], unplaced: [], sheets: 1 }
    expect(verifyLayout({ pieces: two, sheet: A4, gap: 2 }, result)).toMatchObject([
      { kind: 'sheet', id: 'A', found: 1 },
      { kind: 'sheet', id: 'B', found: -1 },
    ])
  })
})
