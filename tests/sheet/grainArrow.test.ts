import { expect, test } from 'vitest'
import { ZERO } from '../../lib/length/length'
import { bench } from '../../lib/length/unit'
import { piece } from '../../lib/model/draft'
import { single } from '../../lib/model/family'
import { boundsOf } from '../../lib/shape/measure'
import { rectangleFrom } from '../../lib/shape/primitive'
import { drawSheets } from '../../lib/sheet/index'
import { modelOf } from '../helpers/model'

test.each([
  [12.9, 40],
  [20, 60],
  [60, 20],
  [40, 40],
])('in a plain piece of %s × %s mm the grain arrow stands clear of the label', (width, height) => {
  const model = modelOf(() =>
    single('FE-01-SHEET', () =>
      piece({ stock: 'folder', grain: 'across' }).outline(rectangleFrom(ZERO, ZERO, bench.mm(width), bench.mm(height))),
    ),
  )
  const [sheet] = drawSheets({
    title: 'Test',
    scale: '1:60',
    stock: model.stocks.get('folder')!,
    pieces: model.pieces,
    placements: [{ id: 'FE-01-SHEET', sheet: 0, x: 50, y: 60, turn: 0 }],
    sheets: 1,
    fingerprints: new Map(),
  })
  const { marks } = sheet!.pieces[0]!
  const label = boundsOf(marks.flatMap((mark) => (mark.kind === 'lettering' ? mark.loops : [])))
  const arrow = boundsOf(
    marks.flatMap((mark) =>
      mark.kind === 'stroke' && mark.role === 'arrow' ? mark.lines.map(({ points }) => points) : [],
    ),
  )
  expect(label.minX).toBeLessThan(label.maxX)
  expect(arrow.minY).toBeLessThan(arrow.maxY)
  const apart =
    arrow.minX > label.maxX || arrow.maxX < label.minX || arrow.minY > label.maxY || arrow.maxY < label.minY
  expect(apart).toBe(true)
})
