import { resolveSite } from '../finding/site'
import { DEFAULT_SPACING } from '../model/spacing'
import { inMm, type Rule } from './rule'

/** With a gap wider than the printable area in both directions every piece would need a sheet of its own, or more. */
export const wideGap: Rule = {
  id: 'gap',
  title: 'a gap between pieces that no sheet has room for',
  check({ pieces, stocks, spacing = DEFAULT_SPACING }, { area }) {
    const { gap } = spacing
    for (const id of [...new Set(pieces.map(({ stock }) => stock))].toSorted()) {
      const stock = stocks.get(id)!
      const { minX, minY, maxX, maxY } = area(stock)
      const [width, height] = [maxX - minX, maxY - minY]
      if (gap <= Math.max(width, height)) continue
      const site = resolveSite(spacing.site)
      return [
        {
          id: 'gap',
          severity: 'error',
          text:
            `the gap between pieces is ${inMm(gap)}, the printable area of ${id} (${stock.sheet.name}) only ` +
            `${width.toFixed(1)} × ${height.toFixed(1)} mm`,
          remedy: `give the model a smaller gap, or leave it out: it is ${DEFAULT_SPACING.gap} mm then`,
          found: gap,
          wanted: Math.max(width, height),
          ...(site && { site }),
        },
      ]
    }
    return []
  },
}
