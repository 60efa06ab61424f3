import type { Point } from '../shape/point'
import type { Curve } from './refine'
import { hermite, naturalSlopes, pieceAt } from './spline'

/** A curve through points, by distance along the chords between them. */
export interface Through {
  /** Distance of each point. */
  readonly knots: readonly number[]
  readonly at: Curve
}

export function straight(points: readonly Point[]): Through {
  const knots = chordLengths(points)
  return {
    knots,
    at: (s) => {
      const i = pieceAt(knots, s)
      const t = (s - knots[i]!) / (knots[i + 1]! - knots[i]!)
      const [[ax, ay], [bx, by]] = [points[i]!, points[i + 1]!]
      return [ax + (bx - ax) * t, ay + (by - ay) * t]
    },
  }
}

/** One natural cubic spline by chord length right round, so that the nose is as smooth as the rest. */
export function fair(points: readonly Point[]): Through {
  const knots = chordLengths(points)
  const xs = points.map(([x]) => x)
  const ys = points.map(([, y]) => y)
  const [dx, dy] = [naturalSlopes(knots, xs), naturalSlopes(knots, ys)]
  return {
    knots,
    at: (s) => {
      const i = pieceAt(knots, s)
      const h = knots[i + 1]! - knots[i]!
      const t = (s - knots[i]!) / h
      return [
        hermite(t, xs[i]!, xs[i + 1]!, dx[i]! * h, dx[i + 1]! * h),
        hermite(t, ys[i]!, ys[i + 1]!, dy[i]! * h, dy[i + 1]! * h),
      ]
    },
  }
}

function chordLengths(points: readonly Point[]): number[] {
  const knots = [0]
  for (let i = 1; i < points.length; i++) {
    knots.push(knots[i - 1]! + Math.hypot(points[i]![0] - points[i - 1]![0], points[i]![1] - points[i - 1]![1]))
  }
  return knots
}
