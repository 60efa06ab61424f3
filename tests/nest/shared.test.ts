import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { nest } from '../../lib/nest/index'
import type { NestPiece, NestRequest, Placement } from '../../lib/nest/nest'
import { outlineWithout } from '../../lib/nest/openOutline'
import { sharedCuts } from '../../lib/nest/sharedCut'
import { verifyLayout } from '../../lib/nest/verify'
import type { Loop, Point } from '../../lib/shape/point'
import { A4, box, piece, rounded } from './cases'

// What is right and wrong below follows from how each case is made, not from another run of the program.

const GAP = 2
const mm = (min: number, max: number) => fc.double({ min, max, noNaN: true })

/** Outlines at offsets from each other, all turned together about a point of the sheet; rounded as placements are. */
interface Group {
  readonly outlines: readonly Loop[]
  readonly offsets: readonly Point[]
}

function faultsOf({ outlines, offsets }: Group, angle: number, more: Partial<NestRequest> = {}) {
  const pieces = outlines.map((outline, i) => piece(`P${i}`, outline, { turns: [angle] }))
  const [cos, sin] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)]
  const round = (value: number) => Math.round(value * 1000) / 1000
  const placements = offsets.map(([x, y], i): Placement => {
    return { id: `P${i}`, sheet: 0, x: round(500.1234 + cos * x - sin * y), y: round(500.4321 + sin * x + cos * y), turn: angle }
  })
  const sheet = { width: 1000, height: 1000, area: { minX: 0, minY: 0, maxX: 1000, maxY: 1000 } }
  const request = { pieces, sheet, gap: GAP, sharedCuts: true, ...more }
  return verifyLayout(request, { placements, unplaced: [], sheets: 1 })
}

function block(width: number, height: number, columns: number, rows: number): Group {
  const cells = Array.from({ length: columns * rows }, (_, i): Point => [(i % columns) * width, Math.floor(i / columns) * height])
  return { outlines: cells.map(() => box(width, height)), offsets: cells }
}

const angles = fc.oneof(fc.constantFrom(0, 90, 180, 270), mm(0, 360))

describe('the exact test of shared cuts', () => {
  it('passes blocks of equal rectangles, down to strips narrower than the gap, and only where they are allowed', () => {
    const counts = fc.integer({ min: 1, max: 4 })
    fc.assert(
      fc.property(mm(1.2, 40), mm(1.2, 40), counts, counts, angles, (width, height, columns, rows, angle) => {
        const group = block(width, height, columns, rows)
        expect(faultsOf(group, angle)).toEqual([])
        expect(faultsOf(group, angle, { sharedCuts: false }).length > 0).toBe(columns * rows > 1)
      }),
    )
  })

  it('passes stacks of strips that are equal in length only', () => {
    fc.assert(
      fc.property(fc.array(mm(1.2, 12), { minLength: 2, maxLength: 8 }), mm(20, 180), angles, (widths, length, angle) => {
        const offsets = widths.map((_, i): Point => [0, widths.slice(0, i).reduce((sum, width) => sum + width, 0)])
        const group = { outlines: widths.map((width) => box(length, width)), offsets }
        expect(faultsOf(group, angle)).toEqual([])
        // With one taken out from between two others its width is all there is between them.
        if (widths.length < 3) return
        const without = { outlines: group.outlines.toSpliced(1, 1), offsets: offsets.toSpliced(1, 1) }
        fc.pre(Math.abs(widths[1]! - GAP) > 0.01)
        expect(faultsOf(without, angle).length > 0).toBe(widths[1]! < GAP)
      }),
    )
  })

  it('refuses a member of a block that is off by a hundredth of a millimetre, or by anything less than the gap', () => {
    const off = fc.oneof(fc.constant(0.01), mm(0.01, 1.1))
    const counts = fc.integer({ min: 1, max: 3 })
    fc.assert(
      fc.property(mm(1.2, 40), mm(1.2, 40), counts, counts, off, fc.integer({ min: 0, max: 3 }), angles, (width, height, columns, rows, by, way, angle) => {
        fc.pre(columns * rows > 1)
        const { outlines, offsets } = block(width, height, columns, rows)
        const [dx, dy] = [[by, 0], [-by, 0], [0, by], [0, -by]][way]!
        const [x, y] = offsets.at(-1)!
        const moved = { outlines, offsets: [...offsets.slice(0, -1), [x + dx!, y + dy!] as const] }
        expect(faultsOf(moved, angle)).not.toEqual([])
      }),
    )
  })

  it('lets a shorter side lie anywhere along a longer one, but no side across the end of another', () => {
    const part = fc.oneof(fc.constantFrom(0, 1), mm(0, 1))
    fc.assert(
      fc.property(mm(3, 60), mm(0.01, 40), part, mm(2, 40), mm(2, 40), angles, (width, more, at, lower, upper, angle) => {
        const outlines = [box(width + more, lower), box(width, upper)]
        expect(faultsOf({ outlines, offsets: [[0, 0], [at * more, lower]] }, angle)).toEqual([])
        for (const over of [-0.01, -width / 2, more + 0.01, more + width / 2]) {
          expect(faultsOf({ outlines, offsets: [[0, 0], [over, lower]] }, angle)).not.toEqual([])
        }
      }),
    )
  })

  it('lets a cut end on the side of a longer piece, which comes out first', () => {
    fc.assert(
      fc.property(mm(2, 40), mm(2, 40), mm(2, 40), angles, (left, right, height, angle) => {
        const outlines = [box(left, height), box(right, height), box(left + right, height)]
        const offsets = [[0, height], [left, height], [0, 0]] as const
        expect(faultsOf({ outlines, offsets }, angle)).toEqual([])
        // A corner in the long side, with no bend, makes no difference.
        const cornered: Loop = [[0, 0], [left + right, 0], [left + right, height], [left, height], [0, height]]
        expect(faultsOf({ outlines: [...outlines.slice(0, 2), cornered], offsets }, angle)).toEqual([])
        // With one that stands out at an end neither it nor the long piece could come out first.
        const moved = [[0, height], [left + 0.01, height], [0.01, 0]] as const
        expect(faultsOf({ outlines, offsets: moved }, angle)).not.toEqual([])
      }),
    )
  })

  it('refuses pieces in a ring, each of which would have to come out before the next', () => {
    // Four rectangles round a square, each with its end on the side of the next; any three of them can be cut out.
    fc.assert(
      fc.property(mm(3, 30), mm(3, 30), angles, fc.integer({ min: 0, max: 3 }), (end, hole, angle, gone) => {
        const long = end + hole
        const outlines = [box(long, end), box(end, long), box(long, end), box(end, long)]
        const offsets = [[0, 0], [long, 0], [end, long], [0, end]] as const
        expect(faultsOf({ outlines, offsets }, angle)).not.toEqual([])
        expect(faultsOf({ outlines: outlines.toSpliced(gone, 1), offsets: offsets.toSpliced(gone, 1) }, angle)).toEqual([])
      }),
    )
  })

  it('keeps the knife that runs over a thin piece out of what is not out before', () => {
    // A strip thinner than the gap; on it a short piece, whose sides are cut when the strip is out; below it a third.
    fc.assert(
      fc.property(mm(1.2, 1.9), mm(20, 40), angles, (thin, length, angle) => {
        const below = (width: number, at: number) => ({
          outlines: [box(length, thin), box(10, 8), box(width, 8)],
          offsets: [[0, 8], [5, 8 + thin], [at, 0]] as const,
        })
        expect(faultsOf(below(length, 0), angle)).not.toEqual([])
        expect(faultsOf(below(length + 4, -2), angle)).toEqual([])
        const thick = { ...below(length, 0), offsets: [[0, 8], [5, 8 + GAP], [0, 0]] as const }
        expect(faultsOf({ ...thick, outlines: thick.outlines.with(0, box(length, GAP)) }, angle)).toEqual([])
      }),
    )
  })

  it('wants as much waste at the end of a cut as it is away from it', () => {
    // A trapezium on each side of the edge; at both of its ends the two corners leave 360° less twice the angle.
    fc.assert(
      fc.property(mm(30, 174), mm(5, 80), mm(3, 20), angles, (corner, length, height, angle) => {
        fc.pre(Math.abs(corner - 150) > 1 && Math.abs(corner - 120) > 1)
        const wider = height * Math.tan(((corner - 90) * Math.PI) / 180)
        fc.pre(length + 2 * wider > 2)
        const upper: Loop = [[0, 0], [length, 0], [length + wider, height], [-wider, height]]
        const lower: Loop = [[length, 0], [0, 0], [-wider, -height], [length + wider, -height]]
        const found = faultsOf({ outlines: [upper, lower], offsets: [[0, 0], [0, 0]] }, angle)
        expect(found.length === 0).toBe(corner < 150)
        // On a longer side it is 180° less the angle.
        const far = Math.abs(wider) + GAP
        const long: Loop = [[-far, -10], [length + far, -10], [length + far, 0], [-far, 0]]
        const onLong = faultsOf({ outlines: [upper, long], offsets: [[0, 0], [0, 0]] }, angle)
        expect(onLong.length === 0).toBe(corner < 120)
      }),
    )
  })

  it('passes blocks of rectangles with rounded corners, and rounded ones beside sharp ones', () => {
    const counts = fc.integer({ min: 1, max: 3 })
    fc.assert(
      fc.property(mm(8, 40), mm(8, 40), mm(0.3, 2.4), counts, counts, fc.boolean(), angles, (width, height, radius, columns, rows, mixed, angle) => {
        const { outlines, offsets } = block(width, height, columns, rows)
        const round = outlines.map((sharp, i) => (mixed && i % 2 > 0 ? sharp : rounded(width, height, radius)))
        expect(faultsOf({ outlines: round, offsets }, angle)).toEqual([])
        fc.pre(columns * rows > 1)
        const [x, y] = offsets.at(-1)!
        const off = [...offsets.slice(0, -1), [x - 0.01, y - 0.01] as const]
        expect(faultsOf({ outlines: round, offsets: off }, angle)).not.toEqual([])
      }),
    )
  })

  it('takes a notched side as one', () => {
    // A comb with its teeth on the whole side of a plate, and two combs tooth to tooth.
    const comb = (length: number, notches: number): Loop => {
      const [pitch, depth] = [length / notches, 4]
      const teeth = Array.from({ length: notches }, (_, i): Point[] => {
        const x = (i + 0.5) * pitch
        return [[x - 0.5, 0], [x - 0.5, depth], [x + 0.5, depth], [x + 0.5, 0]]
      })
      return [[0, 0], ...teeth.flat(), [length, 0], [length, 10], [0, 10]]
    }
    fc.assert(
      fc.property(mm(20, 90), fc.integer({ min: 1, max: 6 }), fc.integer({ min: 1, max: 6 }), angles, (length, one, two, angle) => {
        const turned = comb(length, two).map(([x, y]): Point => [length - x, -y])
        expect(faultsOf({ outlines: [comb(length, one), turned], offsets: [[0, 0], [0, 0]] }, angle)).toEqual([])
        const outlines = [comb(length, one), box(length, 10)]
        expect(faultsOf({ outlines, offsets: [[0, 0], [0, -10]] }, angle)).toEqual([])
        expect(faultsOf({ outlines, offsets: [[0, 0], [0.01, -10]] }, angle)).not.toEqual([])
      }),
    )
  })

  it('does not take a corner for card that is rounded off', () => {
    // Between the corners of two plates, 30 mm wide with corners of 9 mm, a small one is too near to both; above them it is not.
    const plates = [rounded(30, 30, 9), rounded(30, 30, 9), box(4, 4)]
    expect(faultsOf({ outlines: plates, offsets: [[0, 0], [30, 0], [28, 27]] }, 0)).not.toEqual([])
    expect(faultsOf({ outlines: plates, offsets: [[0, 0], [30, 0], [28, 30]] }, 0)).toEqual([])
  })

  it('lets pieces of a block touch at a corner only across a third that lies beside both', () => {
    fc.assert(
      fc.property(fc.array(fc.boolean(), { minLength: 9, maxLength: 9 }), mm(2.1, 30), mm(2.1, 30), angles, (there, width, height, angle) => {
        const has = (x: number, y: number) => there[3 * y + x]!
        const whole = block(width, height, 3, 3)
        const kept = { outlines: whole.outlines.filter((_, i) => there[i]), offsets: whole.offsets.filter((_, i) => there[i]) }
        const lonely = [0, 1].some((x) =>
          [0, 1].some((y) => {
            const [a, b, c, d] = [has(x, y), has(x + 1, y), has(x, y + 1), has(x + 1, y + 1)]
            return (a && d && !b && !c) || (b && c && !a && !d)
          }),
        )
        expect(faultsOf(kept, angle).length > 0).toBe(lonely)
      }),
    )
  })

  it('refuses a piece in the way of the knife, and a slit between pieces that hang together elsewhere', () => {
    // Two hooks that share an edge at one end and leave a slit of 1 mm at the other.
    const hook: Loop = [[0, 0], [10, 0], [10, 10], [30, 10], [30, 0.5], [34, 0.5], [34, 14], [0, 14]]
    const other = hook.map(([x, y]): Point => [x, -y]).toReversed()
    expect(sharedCuts(hook, other).map(({ cuts, first }) => ({ cuts, first }))).toEqual([{ cuts: [[[0, 0], [10, 0]]], first: undefined }])
    expect(faultsOf({ outlines: [hook, other], offsets: [[0, 0], [0, 0]] }, 0)).toMatchObject([{ kind: 'gap', found: 1, wanted: GAP }])
    const wider = hook.map(([x, y]): Point => [x, y === 0.5 ? 1.5 : y])
    expect(faultsOf({ outlines: [wider, wider.map(([x, y]): Point => [x, -y]).toReversed()], offsets: [[0, 0], [0, 0]] }, 0)).toEqual([])
    // A third piece 1 mm from where the cut between two squares runs out.
    const squares = [box(10, 10), box(10, 10), box(8, 8)]
    expect(faultsOf({ outlines: squares, offsets: [[0, 0], [10, 0], [6, 11]] }, 0)).not.toEqual([])
    expect(faultsOf({ outlines: squares, offsets: [[0, 0], [10, 0], [6, 12]] }, 0)).toEqual([])
  })

  it('finds an overlap all the same', () => {
    expect(faultsOf({ outlines: [box(10, 10), box(10, 10)], offsets: [[0, 0], [9.9, 0]] }, 0)).toMatchObject([{ kind: 'overlap' }])
    expect(faultsOf({ outlines: [box(10, 10), box(10, 10)], offsets: [[0, 0], [0, 0]] }, 0)).toMatchObject([{ kind: 'overlap' }])
  })
})

describe('nesting with shared cuts', () => {
  const strips = (count: number, width: number) =>
    Array.from({ length: count }, (_, i) => piece(`S${i}`, box(180, width), { turns: [0, 180] }))
  const request = (pieces: readonly NestPiece[], more: Partial<NestRequest> = {}): NestRequest => {
    return { pieces, sheet: A4, gap: GAP, sharedCuts: true, effort: 'quick', ...more }
  }

  it('saves the gap between strips', () => {
    // 65 strips of 4 mm are 260 mm high without a gap and 388 mm with it; the sheet has room for 287 mm.
    expect(nest(request(strips(65, 4), { sharedCuts: false })).sheets).toBe(2)
    expect(nest(request(strips(65, 4))).sheets).toBe(1)
  })

  it('hands out layouts without fault, for shapes with and without edges to share', () => {
    const shape = fc.oneof(
      fc.tuple(mm(2, 60), mm(2, 60)).map(([width, height]) => box(width, height)),
      fc.tuple(mm(4, 60), mm(4, 30), mm(0.5, 2)).map(([w, h, c]): Loop => [[c, 0], [w - c, 0], [w, c], [w, h], [0, h], [0, c]]),
      mm(2, 30).map((size): Loop => [[0, 0], [size, 0], [0, size]]),
      fc.tuple(mm(9, 60), mm(9, 30), mm(0.4, 4)).map(([w, h, r]) => rounded(w, h, r)),
    )
    const turns = fc.constantFrom([0], [0, 180], [90, 270], [0, 90, 180, 270], [30])
    const labels = fc.constantFrom<Loop[]>([], [[[-9, 0], [-1, 0], [-1, 2], [-9, 2]], [[-9, 3], [-1, 3], [-1, 5], [-9, 5]]])
    fc.assert(
      fc.property(
        fc.array(fc.tuple(shape, turns, fc.integer({ min: 1, max: 12 }), labels), { minLength: 1, maxLength: 5 }),
        fc.constantFrom(0, 1, 2, 5),
        (kinds, gap) => {
          const pieces = kinds.flatMap(([outline, offered, count, places], k) =>
            Array.from({ length: count }, (_, i) => piece(`K${k}-${i}`, outline, { turns: offered, labels: places })),
          )
          const asked = request(pieces, { gap })
          const laid = nest(asked)
          expect(verifyLayout(asked, laid)).toEqual([])
          expect(nest({ ...asked, keep: laid.placements })).toEqual(laid)
        },
      ),
      { numRuns: 25 },
    )
  })

  it('leaves the neighbours of a changed member where they are', () => {
    const pieces = Array.from({ length: 12 }, (_, i) => piece(`R${i}`, box(30, 20)))
    const before = nest(request(pieces))
    const changed = pieces.map((one, i) => (i === 5 ? piece('R5', box(28, 20)) : one))
    const keep = before.placements.filter(({ id }) => id !== 'R5')
    const after = nest(request(changed, { keep }))
    expect(after.placements.filter(({ id }) => id !== 'R5')).toEqual(keep)
  })

  it('lays neighbours afresh that are too near each other without the strip between them, and no more than has to be', () => {
    const pieces = strips(10, 1.5)
    const before = nest(request(pieces))
    const changed = pieces.map((one, i) => (i === 4 ? piece('S4', box(170, 1.5)) : one))
    const keep = before.placements.filter(({ id }) => id !== 'S4')
    const after = nest(request(changed, { keep }))
    const moved = after.placements.filter((place) => !keep.some((one) => one.id === place.id && one.y === place.y && one.x === place.x))
    expect(moved.length).toBeGreaterThan(1)
    expect(moved.length).toBeLessThan(5)
  })

  it('lays nothing edge to edge that may not be', () => {
    const laid = nest(request(strips(20, 4), { sharedCuts: false }))
    expect(verifyLayout(request(strips(20, 4), { sharedCuts: false }), laid)).toEqual([])
  })
})

describe('outlineWithout', () => {
  it('leaves the other edges, in lines as long as they hang together', () => {
    const square = box(2, 2)
    expect(outlineWithout(square, [])).toEqual([{ points: square, closed: true }])
    expect(outlineWithout(square, [[[2, 0], [0, 0]]])).toEqual([{ points: [[2, 0], [2, 2], [0, 2], [0, 0]], closed: false }])
    // Of what others have cut in part, the rest.
    expect(outlineWithout(square, [[[0.5, 0], [1.5, 0]]])).toEqual([
      { points: [[1.5, 0], [2, 0], [2, 2], [0, 2], [0, 0], [0.5, 0]], closed: false },
    ])
    expect(outlineWithout(square, [[[2, 2], [2, -1]], [[1.999, 0], [0, 0]]])).toEqual([
      { points: [[2, 2], [0, 2], [0, 0]], closed: false },
    ])
    expect(outlineWithout(square, [[[0, 0], [2, 0]], [[0, 2], [2, 2]]])).toEqual([
      { points: [[2, 0], [2, 2]], closed: false },
      { points: [[0, 2], [0, 0]], closed: false },
    ])
  })
})
