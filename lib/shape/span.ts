import { figure, place, shapeError } from './fault'
import type { Point, Region } from './point'

/** A stretch of a line that runs through card; distances in mm from the line's first point. */
export interface Stretch {
  readonly enter: number
  readonly leave: number
}

/**
 * Where a line through two points runs through the region: stretches in order along the line, which is taken to go on
 * beyond both points. A stretch along an edge counts where the card lies to the left of it.
 *
 * @throws FindingError for two points that are one
 */
export function crossingsOf(region: Region, from: Point, to: Point): Stretch[] {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  if (!(length > 0)) {
    throw shapeError(
      'bad-line',
      `a line across a shape runs from ${place(from)} to ${place(to)} mm, a length of ${figure(length)} mm`,
      'give two different points',
      { found: length, wanted: 0, at: from },
    )
  }
  const [ux, uy] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
  const cuts: number[] = []
  for (const loop of region) {
    // Each point in the line's own axes: distance along it and to its left.
    const last = loop[loop.length - 1]!
    let ax = (last[0] - from[0]) * ux + (last[1] - from[1]) * uy
    let ay = (last[1] - from[1]) * ux - (last[0] - from[0]) * uy
    for (let i = 0; i < loop.length; i++) {
      const dx = loop[i]![0] - from[0]
      const dy = loop[i]![1] - from[1]
      const bx = dx * ux + dy * uy
      const by = dy * ux - dx * uy
      // Half-open: a corner standing on the line counts as above it, so that every line is crossed evenly.
      if (ay < 0 !== by < 0) cuts.push(ax + ((bx - ax) * ay) / (ay - by))
      ax = bx
      ay = by
    }
  }
  cuts.sort((a, b) => a - b)
  const stretches: Stretch[] = []
  for (let i = 0; i + 1 < cuts.length; i += 2) {
    if (cuts[i + 1]! > cuts[i]!) stretches.push({ enter: cuts[i]!, leave: cuts[i + 1]! })
  }
  return stretches
}

/**
 * Lowest and highest card at x (axis `x`), or leftmost and rightmost at y (axis `y`), mm. Unlike the stretches it
 * takes edges that lie along the line in full. Undefined where the line misses.
 */
export function spanAt(region: Region, axis: 'x' | 'y', at: number): { from: number; to: number } | undefined {
  const along = axis === 'x' ? 0 : 1
  const across = 1 - along
  let from = Infinity
  let to = -Infinity
  for (const loop of region) {
    let a = loop[loop.length - 1]!
    for (let i = 0; i < loop.length; i++) {
      const b = loop[i]!
      const before = a[along]! - at
      const after = b[along]! - at
      if (after === 0) {
        from = Math.min(from, b[across]!)
        to = Math.max(to, b[across]!)
      } else if (before < 0 !== after < 0 && before !== 0) {
        const cut = a[across]! + ((b[across]! - a[across]!) * before) / (before - after)
        from = Math.min(from, cut)
        to = Math.max(to, cut)
      }
      a = b
    }
  }
  return from <= to ? { from, to } : undefined
}
