import type { Score } from '../model/piece'
import { contains } from '../shape/measure'
import type { Loop, Point } from '../shape/point'
import { type Rule, eachPiece, inMm, pieceFinding } from './rule'

/** A score must lie on the card, and not so near a cut beside it that the strip tears when it is folded. */
export const scorePlace: Rule = {
  id: 'score-place',
  title: 'a score that leaves the outline, or runs too near a cut',
  check: (model) =>
    eachPiece(model, (piece, stock) => {
      const region = [piece.outline, ...piece.openings.map(({ loop }) => loop)]
      const limit = stock.knife.scoreToCut.value
      return piece.scores.flatMap((score) => {
        const outside = leaves(region, score)
        if (outside) {
          return [
            pieceFinding(piece, {
              id: 'score-place',
              severity: 'error',
              text: `a ${score.fold} fold leaves the card at (${inMm(outside[0])}, ${inMm(outside[1])})`,
              remedy: 'end the score at the edge of the card',
              at: outside,
            }),
          ]
        }
        const near = nearestCutBeside(region, score, limit)
        if (!near) return []
        return [
          pieceFinding(piece, {
            id: 'score-place',
            severity: 'warning',
            text: `a ${score.fold} fold runs ${inMm(near.distance)} from a cut, the card needs ${inMm(limit)}`,
            remedy: 'move the score or the cut',
            at: near.at,
            found: near.distance,
            wanted: limit,
          }),
        ]
      })
    }),
}

/** Ends may stand on the edge, so the score is looked at just inside them, and at places between. */
function leaves(region: readonly Loop[], score: Score): Point | undefined {
  for (let i = 1; i < score.line.length; i++) {
    const [a, b] = [score.line[i - 1]!, score.line[i]!]
    const length = Math.hypot(b[0] - a[0], b[1] - a[1])
    if (length === 0) continue
    const inset = Math.min(END_ALLOWANCE / length, 0.25)
    const places = Math.max(4, Math.min(64, Math.ceil(length / 2)))
    for (let k = 0; k <= places; k++) {
      const t = inset + ((1 - 2 * inset) * k) / places
      const at: Point = [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t]
      if (!contains(region, at)) return at
    }
  }
  return undefined
}

/** A score may stand out over the edge by a hair, where a curved edge was flattened, mm. */
const END_ALLOWANCE = 0.05

/** Cuts that meet the score at an angle do no harm; one that runs along it, within the limit, does. */
function nearestCutBeside(
  region: readonly Loop[],
  score: Score,
  limit: number,
): { distance: number; at: Point } | undefined {
  let nearest: { distance: number; at: Point } | undefined
  for (let s = 1; s < score.line.length; s++) {
    const [a, b] = [score.line[s - 1]!, score.line[s]!]
    const length = Math.hypot(b[0] - a[0], b[1] - a[1])
    if (length < 2 * limit) continue
    const [ux, uy] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length]
    for (const loop of region) {
      for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
        const along = beside(loop[j]!, loop[i]!, a, ux, uy, length, limit)
        if (along && (!nearest || along.distance < nearest.distance)) nearest = along
      }
    }
  }
  return nearest
}

/** Distance of a cut that runs within 30° of the score and beside its middle part; undefined for any other. */
function beside(
  p: Point,
  q: Point,
  a: Point,
  ux: number,
  uy: number,
  length: number,
  limit: number,
): { distance: number; at: Point } | undefined {
  const cutLength = Math.hypot(q[0] - p[0], q[1] - p[1])
  if (cutLength === 0 || Math.abs((q[0] - p[0]) * ux + (q[1] - p[1]) * uy) < cutLength * COS_30) return undefined
  const t = [p, q].map(([x, y]) => (x - a[0]) * ux + (y - a[1]) * uy)
  const from = Math.max(Math.min(t[0]!, t[1]!), limit)
  const to = Math.min(Math.max(t[0]!, t[1]!), length - limit)
  if (to - from < Math.min(limit, length / 4)) return undefined
  const distances = [p, q].map(([x, y]) => Math.abs((y - a[1]) * ux - (x - a[0]) * uy))
  const distance = Math.min(distances[0]!, distances[1]!)
  if (distance >= limit || distance < ON_THE_EDGE) return undefined
  const middle = (from + to) / 2
  return { distance, at: [a[0] + ux * middle, a[1] + uy * middle] }
}

const COS_30 = Math.cos(Math.PI / 6)

/** A score along the cut itself is a score on the edge, which `leaves` speaks of, mm. */
const ON_THE_EDGE = 1e-6
