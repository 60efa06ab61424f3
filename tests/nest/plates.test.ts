import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { nest } from '../../lib/nest'
import { boxesNear } from '../../lib/nest/near'
import type { NestPiece, NestRequest } from '../../lib/nest/nest'
import { type Block, type Pattern, Patterns } from '../../lib/nest/search/pattern'
import { Random } from '../../lib/nest/search/random'
import { verifyLayout } from '../../lib/nest/verify'
import type { Bounds, Loop } from '../../lib/shape/point'
import { A4, box, piece } from './cases'

const GAP = 2

/** Every way to lay so many in rows and columns, edge to edge. */
function blocksOf(plate: number, count: number, width: number, height: number): Block[] {
  const blocks: Block[] = []
  for (let columns = 1; columns <= count; columns++) {
    for (let rows = 1; rows * columns <= count; rows++) {
      const laid = columns * rows
      blocks.push({ plate, count: laid, width: columns * width, height: rows * height, area: laid * width * height })
    }
  }
  return blocks
}

function boxesOf({ laid }: Pattern<Block>): Bounds[] {
  return laid.map(({ block, x, y }) => ({ minX: x, minY: y, maxX: x + block.width, maxY: y + block.height }))
}

describe('patterns', () => {
  const mm = (min: number, max: number) => fc.double({ min, max, noNaN: true })

  it('keep blocks apart from each other and from what lies there, on the sheet, and use no piece twice', () => {
    const plate = fc.record({ count: fc.integer({ min: 1, max: 12 }), width: mm(5, 90), height: mm(5, 90) })
    const taken = fc.record({ x: mm(0, 150), y: mm(0, 200), width: mm(1, 50), height: mm(1, 80) })
    fc.assert(
      fc.property(fc.array(plate, { minLength: 1, maxLength: 5 }), fc.array(taken, { maxLength: 3 }), fc.integer(), (plates, used, seed) => {
        const there = used.map(({ x, y, width, height }) => ({ minX: x, minY: y, maxX: x + width, maxY: y + height }))
        const counts = plates.map(({ count }) => count)
        const blocks = plates.flatMap(({ count, width, height }, i) => blocksOf(i, count, width, height))
        const pattern = new Patterns({ blocks, counts, width: 200, height: 287, taken: there, gap: GAP, random: new Random(seed) }).best(20_000)
        const boxes = boxesOf(pattern)
        for (const [i, one] of boxes.entries()) {
          expect(Math.min(one.minX, one.minY)).toBeGreaterThanOrEqual(0)
          expect(one.maxX).toBeLessThan(200 + 1e-5)
          expect(one.maxY).toBeLessThan(287 + 1e-5)
          for (const other of [...boxes.slice(i + 1), ...there]) expect(boxesNear(one, other, GAP - 1e-5)).toBe(false)
        }
        const laid = counts.map((_, i) => pattern.laid.reduce((sum, { block }) => sum + (block.plate === i ? block.count : 0), 0))
        for (const [i, count] of counts.entries()) expect(laid[i]).toBeLessThanOrEqual(count)
        expect(pattern.whole).toBe(laid.every((count, i) => count === counts[i]))
        expect(pattern.area).toBeCloseTo(pattern.laid.reduce((sum, { block }) => sum + block.area, 0), 6)
      }),
      { numRuns: 60 },
    )
  })

  it('find the one way in which three blocks fill a sheet', () => {
    // Four rows of 53 beside five of 42.4, and a plate across both, a gap between blocks.
    const plates = [
      { count: 12, width: 40, height: 53 },
      { count: 10, width: 39, height: 42.4 },
      { count: 1, width: 200, height: 73 },
    ]
    const blocks = plates.flatMap(({ count, width, height }, i) => blocksOf(i, count, width, height))
    const random = new Random(1)
    const pattern = new Patterns({ blocks, counts: [12, 10, 1], width: 200, height: 287, taken: [], gap: GAP, random }).best(100_000)
    expect(pattern.whole).toBe(true)
    expect(pattern.share).toBeCloseTo(1, 6)
  })

  it('take as little of a sheet as they can once all is laid', () => {
    // 24 of 40 × 30: five rows of five are 150 mm high, three columns of nine 120 mm wide.
    const blocks = blocksOf(0, 24, 40, 30)
    const task = { blocks, counts: [24], width: 200, height: 287, taken: [], gap: GAP }
    const upwards = new Patterns({ ...task, random: new Random(3) }).best(50_000, false)
    expect(upwards).toMatchObject({ whole: true, sideways: false })
    expect(upwards.share * 287).toBeLessThanOrEqual(5 * 30 + GAP + 1e-6)
    const sideways = new Patterns({ ...task, random: new Random(3) }).best(50_000, true)
    expect(sideways).toMatchObject({ whole: true, sideways: true })
    expect(sideways.share * 200).toBeLessThanOrEqual(3 * 40 + GAP + 1e-6)
  })

  it('end where nothing fits', () => {
    const pattern = new Patterns({ blocks: blocksOf(0, 3, 90, 90), counts: [3], width: 80, height: 80, taken: [], gap: GAP, random: new Random(1) }).best(10_000)
    expect(pattern).toMatchObject({ laid: [], whole: false, area: 0 })
  })
})

describe('plates', () => {
  const request = (pieces: readonly NestPiece[], more: Partial<NestRequest> = {}): NestRequest => ({
    pieces, sheet: A4, gap: GAP, sharedCuts: true, ...more,
  })
  const mirrored = (loop: Loop): Loop => loop.toReversed().map(([x, y]) => [-x, y])

  it('for port and starboard go in one block, though their origins differ', () => {
    // 5 × 5 of 40 × 57 fill the area of 200 × 287 edge to edge.
    const pieces = Array.from({ length: 25 }, (_, i) => piece(`W${i}`, i % 2 > 0 ? mirrored(box(40, 57)) : box(40, 57)))
    const laid = nest(request(pieces))
    expect(laid.sheets).toBe(1)
    expect(verifyLayout(request(pieces), laid)).toEqual([])
    // A gap apart there is room for four columns of four.
    expect(nest(request(pieces, { sharedCuts: false })).sheets).toBe(2)
  })

  it('of two kinds fill a sheet that neither order of size does', () => {
    const wide = Array.from({ length: 12 }, (_, i) => piece(`A${i}`, box(40, 53)))
    const slim = Array.from({ length: 10 }, (_, i) => piece(`B${i}`, box(38.9, 42.3)))
    const across = piece('C', box(200, 72.9))
    const pieces = [...wide, ...slim, across]
    const laid = nest(request(pieces))
    expect(verifyLayout(request(pieces), laid)).toEqual([])
    expect(laid.sheets).toBe(1)
  })

  it('are laid soundly around used parts and kept pieces, with labels in openings and beside', () => {
    const opening = (width: number, height: number): Loop => [[3, 3], [3, height - 3], [width - 3, height - 3], [width - 3, 3]]
    const kind = fc.record({
      width: fc.integer({ min: 8, max: 70 }),
      height: fc.integer({ min: 8, max: 70 }),
      count: fc.integer({ min: 1, max: 14 }),
      turns: fc.constantFrom([0], [0, 180], [90, 270], [0, 90, 180, 270], [0, 15]),
      way: fc.constantFrom('plain', 'open', 'beside', 'mirrored'),
    })
    fc.assert(
      fc.property(fc.array(kind, { minLength: 1, maxLength: 6 }), fc.constantFrom(0, 1.5, 2), fc.boolean(), fc.boolean(), fc.nat(999), (kinds, gap, used, shared, seed) => {
        const pieces = kinds.flatMap(({ width, height, count, turns, way }, k) => {
          const outline = box(width, height)
          const inside: Loop = [[3.5, 3.5], [Math.min(width, 12) - 3.5, 3.5], [Math.min(width, 12) - 3.5, 5], [3.5, 5]]
          const beside: Loop = [[-9, 0], [-1, 0], [-1, 2], [-9, 2]]
          const more: Partial<NestPiece> =
            way === 'open' ? { openings: [opening(width, height)], labels: [inside] } : way === 'beside' ? { labels: [beside] } : {}
          return Array.from({ length: count }, (_, i) => piece(`K${k}-${i}`, way === 'mirrored' && i % 2 > 0 ? mirrored(outline) : outline, { turns, ...more }))
        })
        const sheet = used ? { ...A4, used: [[[5, 5], [70, 5], [70, 90], [5, 60]] as Loop] } : A4
        const asked = request(pieces, { gap, sheet, sharedCuts: shared, seed })
        const laid = nest(asked)
        expect(verifyLayout(asked, laid)).toEqual([])
        const kept = { ...asked, keep: laid.placements.filter((_, i) => i % 3 > 0) }
        expect(verifyLayout(kept, nest(kept))).toEqual([])
      }),
      { numRuns: 12 },
    )
  })
})
