import fc from 'fast-check'
import type { Loop, Point } from '../../lib/shape/point'
import type { NestPiece, NestRequest, NestSheet } from '../../lib/nest/nest'

/** ISO 216: A4 is 210 mm by 297 mm; the 5 mm margin is common practice for home printers. */
export const A4: NestSheet = { width: 210, height: 297, area: { minX: 5, minY: 5, maxX: 205, maxY: 292 } }

export function box(width: number, height: number): Loop {
  return [[0, 0], [width, 0], [width, height], [0, height]]
}

export function piece(id: string, outline: Loop, more: Partial<NestPiece> = {}): NestPiece {
  return { id, outline, openings: [], turns: [0], group: 'all', ...more }
}

/** A star-shaped outline: one radius for each of its equally spaced directions. */
export function star(radii: readonly number[], x = 0, y = 0): Loop {
  return radii.map((radius, i): Point => {
    const angle = (2 * Math.PI * i) / radii.length
    return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)]
  })
}

const radii = fc.array(fc.double({ min: 0.2, max: 1, noNaN: true }), { minLength: 3, maxLength: 12 })

const outline = fc
  .tuple(radii, fc.integer({ min: 2, max: 60 }))
  .map(([shares, size]) => star(shares.map((share) => share * size), 3, -2))

const turns = fc.constantFrom([0], [0, 180], [0, 90, 180, 270], [0, 10, 350], [0, 45, 90, 135, 180, 225, 270, 315])

/** Random pieces on a random sheet, some with an opening, some sheets with a used corner. */
export const requests: fc.Arbitrary<NestRequest> = fc
  .record({
    outlines: fc.array(fc.tuple(outline, turns, fc.boolean()), { minLength: 1, maxLength: 25 }),
    sheet: fc.constantFrom(A4, { ...A4, used: [[[5, 5], [90, 5], [40, 120]] as Loop] }),
    offcut: fc.boolean(),
    gap: fc.constantFrom(0, 1, 2.5),
    seed: fc.integer({ min: 0, max: 1000 }),
  })
  .map(({ outlines, sheet, offcut, gap, seed }) => ({
    pieces: outlines.map(([loop, offered, open], i) =>
      piece(`P${i}`, loop, { turns: offered, group: `G${i % 3}`, openings: open ? [shrunk(loop)] : [] }),
    ),
    sheet,
    offcuts: offcut ? [{ ...A4, width: 100, height: 80, area: { minX: 0, minY: 0, maxX: 100, maxY: 80 } }] : [],
    gap,
    seed,
  }))

/** The middle of a star-shaped outline about (3, -2), as a hole. */
function shrunk(loop: Loop): Loop {
  return loop.toReversed().map(([x, y]): Point => [3 + (x - 3) * 0.8, -2 + (y + 2) * 0.8])
}

/** A rectangle with quarter circles of 24 chords for corners. */
export function rounded(width: number, height: number, radius: number): Loop {
  const centres: readonly Point[] = [[width - radius, radius], [width - radius, height - radius], [radius, height - radius], [radius, radius]]
  return centres.flatMap(([x, y], corner) =>
    Array.from({ length: 25 }, (_, i): Point => {
      const at = ((corner - 1) * Math.PI) / 2 + (i * Math.PI) / 48
      return [x + radius * Math.cos(at), y + radius * Math.sin(at)]
    }),
  )
}
