import { describe, expect, test } from 'vitest'
import { boundsOf } from '../../lib/nest/turn'
import type { Point } from '../../lib/shape/point'
import type { Mark } from '../../lib/sheet/drawing'
import { barLength, drawFurniture, type Furniture, printableArea } from '../../lib/sheet/furniture'
import type { Stock } from '../../lib/stock/card'
import { BUILT_IN_STOCKS } from '../../lib/stock/catalogue'
import { SHEET_SIZES } from '../../lib/stock/sheetSize'
import { stock } from './sheet'

function pointsOf(mark: Mark): readonly Point[] {
  return mark.kind === 'stroke' ? mark.lines.flatMap(({ points }) => points) : mark.loops.flat()
}

function content(its: Stock, rest: Partial<Furniture> = {}): Furniture {
  return { title: 'Sandpiper', scale: '1:60', revision: '3f2a91c', stock: its, sheet: 2, sheets: 5, ...rest }
}

const sizes = SHEET_SIZES.filter(({ width }) => width >= 90 && width < 500)
const stocks = [
  ...BUILT_IN_STOCKS,
  ...sizes.map((sheet) => ({ ...stock, sheet })),
  ...sizes.map((sheet): Stock => ({ ...stock, sheet, grain: 'short' })),
]

describe('furniture', () => {
  test.each(stocks.map((its) => [`${its.id} ${its.sheet.name} grain ${its.grain}`, its] as const))(
    '%s: inside the margin and off the area left for pieces',
    (_, its) => {
      const area = printableArea(its)
      const { sheet, margin } = its
      const marks = drawFurniture(content(its, { title: 'A very long name of a model '.repeat(20) }))
      for (const mark of marks) {
        const box = boundsOf(pointsOf(mark))
        expect(box.minX).toBeGreaterThanOrEqual(margin.left - 1e-9)
        expect(box.minY).toBeGreaterThanOrEqual(margin.bottom - 1e-9)
        expect(box.maxX).toBeLessThanOrEqual(sheet.width - margin.right + 1e-9)
        expect(box.maxY).toBeLessThanOrEqual(sheet.height - margin.top + 1e-9)
        expect(box.maxX < area.minX || box.maxY < area.minY).toBe(true)
      }
    },
  )

  test('nothing in it touches anything else', () => {
    for (const its of stocks) {
      const marks = drawFurniture(content(its, { notes: ['WR-P01 at 20, 40'] }))
      const boxes = marks.map((mark) => boundsOf(pointsOf(mark)))
      boxes.forEach((a, i) =>
        boxes.slice(i + 1).forEach((b) => {
          const apart = a.maxX < b.minX || b.maxX < a.minX || a.maxY < b.minY || b.maxY < a.minY
          expect(apart, `${its.id} ${its.sheet.name} ${JSON.stringify([a, b])}`).toBe(true)
        }),
      )
    }
  })

  test('bars are exactly 100 mm across and up on every stock of the catalogue', () => {
    for (const its of BUILT_IN_STOCKS) {
      const bars = drawFurniture(content(its)).filter((mark) => mark.kind === 'stroke' && mark.role === 'bar')
      const boxes = bars.map((mark) => boundsOf(pointsOf(mark)))
      expect(boxes.map(({ minX, maxX }) => maxX - minX)[0]).toBeCloseTo(100, 9)
      expect(boxes.map(({ minY, maxY }) => maxY - minY)[1]).toBeCloseTo(100, 9)
    }
  })

  test('a sheet too small for 100 mm gets the longest bar that fits, and says how long it is', () => {
    const small: Stock = { ...stock, sheet: { name: 'offcut', width: 90, height: 120 } }
    expect(barLength(small)).toBe(50)
    const texts = drawFurniture(content(small)).flatMap((mark) => (mark.kind === 'lettering' ? [mark.text] : []))
    expect(texts.some((text) => text.includes('50 mm'))).toBe(true)
    expect(texts.some((text) => text.includes('100 mm'))).toBe(false)
  })

  test('says model, scale, stock, sheet and revision, the key, the grain and the caution', () => {
    const texts = drawFurniture(content(stock)).flatMap((mark) => (mark.kind === 'lettering' ? [mark.text] : []))
    const all = texts.join(' | ')
    const words = ['Sandpiper 1:60', 'sheet 2 of 5', stock.title, '3f2a91c', '0.28 mm', 'grain', 'sharp knife', 'Glue']
    for (const word of words) expect(all).toContain(word)
    for (const word of ['cut', 'valley fold', 'mountain fold', 'glue area']) expect(texts).toContain(word)
  })

  test('the grain arrow runs along the long side for a long grain, along the short side for a short one', () => {
    const along = (grain: Stock['grain']) => {
      const marks = drawFurniture(content({ ...stock, grain }))
      const arrows = marks.filter((mark) => mark.kind === 'stroke' && mark.role === 'arrow')
      const { minX, minY, maxX, maxY } = boundsOf(arrows.flatMap(pointsOf))
      return maxX - minX > maxY - minY ? 'x' : 'y'
    }
    expect(stock.sheet.height).toBeGreaterThan(stock.sheet.width)
    expect(along('long')).toBe('y')
    expect(along('short')).toBe('x')
  })
})
