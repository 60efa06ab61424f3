import { seenEdges, viewAlong } from '../fit/seen'
import type { Solid } from '../fit/solid'
import { boundsOf } from '../shape/bounds'
import type { Point } from '../shape/point'
import type { Drawing } from './drawing'
import { fittedDrawing } from './fitted'
import { extremes, groupOf } from './threeView'

export interface PictorialInput {
  /** `Sandpiper 1:60` */
  readonly title: string
  readonly what: string
  readonly solids: readonly Solid[]
  /** The drawing is scaled to be no wider and no higher than this, mm. */
  readonly breadth: number
}

/**
 * Solids as they stand, seen from the port bow and above, isometric (ISO 5456-3), hidden lines left out.
 *
 * @throws Error where there is nothing to draw
 */
export function drawPictorial({ title, what, solids, breadth }: PictorialInput): Drawing {
  if (solids.length === 0) throw new Error(`nothing of ${what} has a place in the model`)
  const view = viewAlong([1, 1, -1])
  const corners = solids.flatMap(({ vertices }) => extremes(vertices, view))
  const { minX, minY, maxX, maxY } = boundsOf([corners])
  const scale = breadth / Math.max(maxX - minX, maxY - minY, 1)
  // Bits of lines shorter than a fifth of a millimetre on the page are finer than the pen.
  const seen = seenEdges(solids, view, 0.2 / scale)
  return fittedDrawing({
    title: `${title}, ${what}`,
    captions: [],
    pieces: seen.filter(({ lines }) => lines.length > 0).map((one) => groupOf(one, 'pictorial', scale)),
    marks: [],
    bounds: boundsOf([corners.map(([x, y]): Point => [x * scale, y * scale])]),
  })
}
