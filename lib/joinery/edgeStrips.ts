import { callSite } from '../finding/site'
import { scoredBend } from '../craft/fold'
import { mix } from '../craft/space'
import { edgeStrip } from '../craft/strip'
import { recording } from '../length/bench'
import { PieceSet } from '../model/assembly'
import type { Curved, Ruling } from '../model/form'
import type { Loop } from '../shape/point'
import { stockOf } from './craftDraft'
import { flatPiece, readsOf } from './flatPiece'
import { join } from './relate'
import { thinned } from './rulings'
import { longestAcross } from './sheetRoom'
import { type Pieces, allPieces, platesOf } from './standing'

export interface EdgeStripsOptions {
  readonly stock: string
}

/**
 * Strips that hide the cut edges of laminations: for each piece one that runs once round it, as wide as it is thick,
 * `ST-S01-E1`, in several lengths where the sheet is too short. The grain runs across, so that it curls round corners.
 */
export function edgeStrips(given: Pieces, { stock }: EdgeStripsOptions): PieceSet {
  const site = callSite()
  const plates = platesOf(allPieces(given, 'edgeStrips', site))
  return new PieceSet(
    plates.flatMap(({ name, thickness, outline, pieces, pose, also }) => {
      const [piece] = pieces
      const { result, read } = recording(() => {
        const card = stockOf(stock)
        const made = edgeStrip(outline, { width: thickness, bend: scoredBend(card), longest: longestAcross(card) })
        return { ...made, round: roundEdge(outline, made.corners, thickness, card.measured) }
      })
      const each = result.length / result.strips.length
      const strips = result.strips.map((strip, i) => {
        const made = flatPiece({ ...strip, grain: 90 }, {
          mark: `${name}-E${i + 1}`,
          family: piece.family,
          side: piece.side,
          station: piece.station,
          stock,
          copies: piece.copies,
          notes: [`Round the edge of ${name}, printed side out, ${result.length.toFixed(1)} mm in all.`],
          reads: readsOf(pieces, read),
          site,
          form: stretchOf(result.round, i * each, (i + 1) * each),
          ...(pose && { pose }),
          ...(also && { also }),
        })
        join('glue', [made], pieces)
        return made
      })
      for (const [i, next] of strips.slice(1).entries()) join('glue', [strips[i]!], [next])
      return strips
    }),
  )
}

/** The strip's lines round the edge, the middle of its card half its thickness outside; in the axes of the plate. */
function roundEdge(loop: Loop, corners: readonly number[], width: number, thickness: number): Ruling[] {
  const count = loop.length
  return corners.map((x, i): Ruling => {
    const [before, at, after] = [-1, 0, 1].map((k) => loop[(i + k + count) % count]!) as [Loop[0], Loop[0], Loop[0]]
    const [n, m] = [outOf(before!, at!), outOf(at!, after!)]
    // Both edges are as far inside the corner of the strip.
    const reach = thickness / 2 / Math.max(0.25, 1 + n[0] * m[0] + n[1] * m[1])
    const [px, py] = [at![0] + (n[0] + m[0]) * reach, at![1] + (n[1] + m[1]) * reach]
    return { flat: [[x, 0], [x, width]], model: [[px, py, -width / 2], [px, py, width / 2]] }
  })
}

function outOf([px, py]: Loop[0], [qx, qy]: Loop[0]): readonly [number, number] {
  const length = Math.hypot(qx - px, qy - py)
  return [(qy - py) / length, (px - qx) / length]
}

/** What one of several strips takes of the round, from its own start. */
function stretchOf(round: readonly Ruling[], from: number, to: number): Curved {
  const at = (x: number): Ruling => {
    const i = Math.max(1, round.findIndex(({ flat }) => flat[0][0] >= x - 1e-9))
    const [p, q] = [round[i - 1]!, round[i] ?? round[i - 1]!]
    const span = q.flat[0][0] - p.flat[0][0]
    const share = span === 0 ? 0 : (x - p.flat[0][0]) / span
    const model = [mix(p.model[0], q.model[0], share), mix(p.model[1], q.model[1], share)] as const
    return { flat: [[x, p.flat[0][1]], [x, p.flat[1][1]]], model }
  }
  const between = round.filter(({ flat }) => flat[0][0] > from + 1e-6 && flat[0][0] < to - 1e-6)
  const lines = [at(from), ...between, at(to)]
  return thinned(
    lines.map(({ flat: [a, b], model }): Ruling => ({ flat: [[a[0] - from, a[1]], [b[0] - from, b[1]]], model })),
  )
}
