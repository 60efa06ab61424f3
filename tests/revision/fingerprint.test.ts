import { createHash } from 'node:crypto'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Piece } from '../../lib/model/piece'
import type { Loop, Point } from '../../lib/shape/point'
import { fingerprint, fingerprints } from '../../lib/revision/fingerprint'
import { box, hole, line, rib, seat, testPiece } from '../sheet/pieces'

const one = { ...seat('SE-01-PAN', 12, 9), openings: [hole(4, 4, 1), hole(8, 4, 1.5)] }

function rotated(loop: Loop, by: number): Loop {
  return [...loop.slice(by), ...loop.slice(0, by)]
}

function shifted(piece: Piece, dx: number, dy: number): Piece {
  const to = ([x, y]: Point): Point => [x + dx, y + dy]
  return {
    ...piece,
    outline: piece.outline.map(to),
    openings: piece.openings.map(({ kind, loop }) => ({ kind, loop: loop.map(to) })),
    scores: piece.scores.map((score) => ({ ...score, line: score.line.map(to) })),
  }
}

describe('fingerprint', () => {
  test('is 16 hexadecimal digits, and stays what it was', () => {
    expect(fingerprint(one)).toMatch(/^[0-9a-f]{16}$/)
    // A square of 1 mm, put together by hand: form 1, one layer, no grain, stock `folder`, one outline of 8 numbers
    // from its lower left corner counter-clockwise in microns, no opening, no score; doubles, little end first.
    const numbers = (list: number[]) => Buffer.from(new Float64Array(list).buffer)
    const bytes = Buffer.concat([
      numbers([1, 1, -1, 6]),
      Buffer.from('folder'),
      numbers([1, 8, 0, 0, 1000, 0, 1000, 1000, 0, 1000, 0, 0]),
    ])
    const wanted = createHash('sha256').update(bytes).digest('hex').slice(0, 16)
    expect(fingerprint(testPiece('A', box(0, 0, 1, 1)))).toBe(wanted)
  })

  test('does not hang on where a loop starts, nor on the order of openings and folds', () => {
    const wanted = fingerprint(one)
    for (let k = 0; k < one.outline.length; k++) {
      expect(fingerprint({ ...one, outline: rotated(one.outline, k) })).toBe(wanted)
    }
    const openings = one.openings.toReversed().map(({ kind, loop }) => ({ kind, loop: rotated(loop, 17) }))
    expect(fingerprint({ ...one, openings })).toBe(wanted)
    const scores = one.scores.toReversed().map((score) => ({ ...score, line: score.line.toReversed() }))
    expect(fingerprint({ ...one, scores })).toBe(wanted)
  })

  test('of a loop that has its lowest leftmost point twice hangs on the loop alone', () => {
    const outline: Loop = [[0, 0], [4, 0], [4, 4], [0, 4], [0, 0], [-2, 6], [-2, 0]]
    const prints = outline.map((_, k) => fingerprint(testPiece('A', rotated(outline, k))))
    expect(new Set(prints).size).toBe(1)
  })

  test('does not hang on mark, text, drawn lines, notes, pose, copies, or place in its own axes', () => {
    const other: Piece = {
      ...one,
      mark: 'SE-99-PAN',
      family: 'SX',
      side: 'P',
      station: 9,
      copies: 7,
      assembly: 'cabin',
      lines: [line('align', box(1, 1, 2, 2))],
      texts: [{ text: 'UP', at: [3, 3], size: 2, angle: 0 }],
      notes: ['cut last'],
      reads: ['scale'],
      pose: { origin: [1, 2, 3], right: [1, 0, 0], up: [0, 0, 1] },
    }
    expect(fingerprint(other)).toBe(fingerprint(one))
    expect(fingerprint(shifted(one, 12, -7))).toBe(fingerprint(one))
  })

  test('sees every thousandth of a millimetre, and nothing finer than half of one', () => {
    fc.assert(
      fc.property(fc.nat({ max: 3 }), fc.nat({ max: 1 }), (corner, axis) => {
        const move = (by: number) => {
          const [dx, dy] = axis === 0 ? [by, 0] : [0, by]
          const to = ([x, y]: Point, i: number): Point => (i === corner ? [x + dx, y + dy] : [x, y])
          return { ...one, outline: one.outline.map(to) }
        }
        expect(fingerprint(move(0.001))).not.toBe(fingerprint(one))
        expect(fingerprint(move(0.0004))).toBe(fingerprint(one))
      }),
    )
  })

  test('changes with stock, layers, grain, folds and openings', () => {
    const [first, second] = one.scores
    const changed: Piece[] = [
      { ...one, stock: 'divider' },
      { ...one, plies: 2 },
      { ...one, grain: 0 },
      { ...one, grain: 90 },
      { ...one, scores: [first!] },
      { ...one, scores: [{ ...first!, fold: 'mountain' }, second!] },
      { ...one, scores: [{ ...first!, angle: 91 }, second!] },
      { ...one, openings: one.openings.slice(1) },
      { ...one, openings: [] },
    ]
    expect(new Set([one, ...changed].map(fingerprint)).size).toBe(changed.length + 1)
    // Grain has no sense.
    expect(fingerprint({ ...one, grain: 180 })).toBe(fingerprint({ ...one, grain: 0 }))
    expect(fingerprint({ ...one, grain: -90 })).toBe(fingerprint({ ...one, grain: 90 }))
  })

  test('an opening cannot pass for an outline, nor an outline split in two for one', () => {
    const whole = testPiece('A', [...box(0, 0, 4, 4), ...box(5, 5, 9, 9)])
    const parts = testPiece('A', box(0, 0, 4, 4), { openings: [{ kind: 'opening', loop: box(5, 5, 9, 9) }] })
    expect(fingerprint(whole)).not.toBe(fingerprint(parts))
  })

  test('many at once are the same as one by one, by mark', () => {
    const big = testPiece('BIG', hole(0, 0, 50, 5000).loop.toReversed())
    const pieces = [rib('WR-P01', 60), one, big, testPiece('Ü-中', box(0, 0, 1, 1))]
    expect([...fingerprints(pieces)]).toEqual(pieces.map((piece) => [piece.mark, fingerprint(piece)]))
  })
})
