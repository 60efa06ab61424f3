import { expect, test } from 'vitest'
import { couponPieces } from '../../lib/joinery/coupons'
import { catalogue } from '../../lib/stock/catalogue'

const pieces = new Map(couponPieces(catalogue.divider, { along: 230, across: 190 }).map((piece) => [piece.mark, piece]))

test('the ladder’s slots are as wide as the figures beside them', () => {
  const { outline, texts } = pieces.get('CU-SLOTS')!
  const bottoms = outline.filter(([, y]) => Math.abs(y - 10) < 1e-9).map(([x]) => x).toSorted((a, b) => a - b)
  const widths = texts.map((_, i) => bottoms[2 * i + 1]! - bottoms[2 * i]!)
  expect(widths.map((width) => width.toFixed(3))).toEqual(texts.map(({ text }) => text))
  // 0.9 to 1.4 times 0.45 mm in steps of a twentieth.
  expect(texts).toHaveLength(11)
  expect([texts[0]!.text, texts[2]!.text, texts[10]!.text]).toEqual(['0.405', '0.450', '0.630'])
})

test('channels have their scores as far apart as they say', () => {
  for (const web of [10, 20, 30, 40]) {
    const [a, b] = pieces.get(`CU-WEB-${web}`)!.scores
    expect(b!.line[0]![0] - a!.line[0]![0]).toBe(web)
  }
})

test('strips tell the grain they want, and are as long as the sheet allows', () => {
  const long = (mark: string) => Math.max(...pieces.get(mark)!.outline.map(([x]) => x))
  expect([pieces.get('CU-DROOP-ALONG')!.grain, long('CU-DROOP-ALONG')]).toEqual([0, 220])
  expect([pieces.get('CU-DROOP-ACROSS')!.grain, long('CU-DROOP-ACROSS')]).toEqual([90, 180])
  expect(couponPieces(catalogue.divider, { along: 230, across: 90 }).map(({ mark }) => mark)).not.toContain('CU-DROOP-ACROSS')
})
