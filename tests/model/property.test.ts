import fc from 'fast-check'
import { expect, test } from 'vitest'
import { bench, full } from '../../lib/length/unit'
import { piece } from '../../lib/model/draft'
import { family, mirrored } from '../../lib/model/family'
import { lightening } from '../../lib/model/lightening'
import { plane } from '../../lib/model/plane'
import { stations } from '../../lib/model/stations'
import { naca } from '../../lib/section/naca'
import { ellipse, superellipse } from '../../lib/section/oval'
import { roundedBox } from '../../lib/section/box'
import { area, contains } from '../../lib/shape/measure'
import { rectangle } from '../../lib/shape/primitive'
import { modelOf } from '../helpers/model'

const section = fc.oneof(
  fc
    .record({ camber: fc.integer({ min: 1, max: 6 }), at: fc.integer({ min: 2, max: 6 }), thick: fc.integer({ min: 6, max: 21 }) })
    .map(({ camber, at, thick }) => () => naca(`${camber}${at}${String(thick).padStart(2, '0')}`, full.m(3))),
  fc.double({ min: 2, max: 6, noNaN: true }).map((n) => () => superellipse(full.m(3), full.m(1.4), n)),
  fc.double({ min: 0.5, max: 3, noNaN: true }).map((h) => () => ellipse(full.m(3), full.m(h))),
  fc.double({ min: 0.05, max: 0.6, noNaN: true }).map((r) => () => roundedBox(full.m(3), full.m(1.5), full.m(r))),
)

test('no valid parameters crash a family, and what it makes is sound', () => {
  fc.assert(
    fc.property(
      section,
      fc.integer({ min: 1, max: 5 }),
      fc.double({ min: 20, max: 150, noNaN: true }),
      fc.integer({ min: 1, max: 5 }),
      fc.double({ min: 0.6, max: 3, noNaN: true }),
      fc.constantFrom('round' as const, 'slotted' as const),
      (shape, count, ratio, holes, web, form) => {
        const ribs = family('WR', stations.even(count, full.m(0.5), full.m(9)), (y) => {
          const outline = shape()
          const { minX, maxX } = outline.bounds
          const x = bench.mm(minX + (maxX - minX) * 0.3)
          return piece({ stock: 'divider', grain: 'along' })
            .outline(outline)
            .slots(rectangle(bench.plies('divider'), bench.mm(1)).moved(x, outline.spanAt(x).from))
            .openings(lightening({ count: holes, web: bench.mm(web), form }))
            .place(plane.spanwise(y))
        })
        const found = modelOf(() => mirrored(ribs), { at: `1:${ratio.toFixed(3)}` })
        expect(found.pieces).toHaveLength(2 * count)
        for (const { outline, openings } of found.pieces) {
          expect(area([outline])).toBeGreaterThan(0)
          for (const { loop } of openings) {
            expect(area([loop])).toBeLessThan(0)
            for (const point of loop) expect(contains([outline], point)).toBe(true)
          }
        }
      },
    ),
    { numRuns: 60, seed: 11 },
  )
})
