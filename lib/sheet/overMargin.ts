import type { Finding } from '../finding/finding'
import type { Margin } from '../stock/card'
import type { Affine, Drawing } from './drawing'

/**
 * Pieces that a printer's correction moves into the margin, where the printer leaves the paper blank: the worst for each
 * edge of the sheet. The frame may touch its edge; a hair of it is missed by nobody.
 */
export function overMargin(drawing: Drawing, margin: Margin, sheet: string, printer: string): Finding[] {
  const { correction, width, height } = drawing
  if (!correction) return []
  const worst = new Map<keyof Margin, { mark: string; over: number }>()
  for (const { mark, marks } of drawing.pieces) {
    for (const stroke of marks) {
      if (stroke.kind !== 'stroke' || stroke.role !== 'cut') continue
      for (const { points } of stroke.lines) {
        for (const [x, y] of points) {
          const [px, py] = moved(correction, x, y)
          const over = { left: margin.left - px, right: px - width + margin.right, top: py - height + margin.top, bottom: margin.bottom - py }
          for (const edge of EDGES) if (over[edge] > Math.max(LEAST, worst.get(edge)?.over ?? 0)) worst.set(edge, { mark, over: over[edge] })
        }
      }
    }
  }
  return EDGES.flatMap((edge) => {
    const found = worst.get(edge)
    if (!found) return []
    const needed = Math.ceil((margin[edge] + found.over) * 10) / 10
    return [
      {
        id: 'printer-margin',
        severity: 'warning',
        mark: found.mark,
        text: `${sheet}: corrected for printer ${printer}, the piece comes ${found.over.toFixed(2)} mm over the ${edge} margin of ${margin[edge].toFixed(1)} mm`,
        remedy: `see whether its edge is printed, or give the stock a ${edge} margin of ${needed.toFixed(1)} mm`,
        found: found.over,
        wanted: 0,
      },
    ]
  })
}

const EDGES = ['left', 'right', 'top', 'bottom'] as const

/** Half a dot of a 600 dpi printer, mm. */
const LEAST = 0.02

function moved([a, b, c, d, e, f]: Affine, x: number, y: number): readonly [number, number] {
  return [a * x + c * y + e, b * x + d * y + f]
}
