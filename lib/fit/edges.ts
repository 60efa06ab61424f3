import type { Finding } from '../finding/finding'
import { inMm } from '../craft/figure'
import { type Beside, lineLength, sideBySide } from '../craft/sideBySide'
import { along, mix, norm, scale, subtract } from '../craft/space'
import { type CardEdge, edgeLine, faceAtEdge } from '../model/form'
import type { Model } from '../model/model'
import type { Seam } from '../model/relation'
import type { Vector } from '../shape/pose'
import { FARTHEST, allowedBetween, farText } from './contact'
import { type Scene, type Standing, about, handsOf, once } from './scene'

type Found = Finding & { readonly key: string; readonly port: boolean }

/**
 * Edges of curled card that were to meet all along and gape somewhere. Edges meet where their outer faces do, their inner
 * ones or the middles of the card: where the card turns, not all can.
 */
export function edgeFindings({ relations, stocks }: Pick<Model, 'relations' | 'stocks'>, scene: Scene): Finding[] {
  const seams = relations.filter((relation): relation is Seam => relation.kind === 'seam')
  return once(
    seams.flatMap((seam) => {
      const theirs = scene.byMark.get(seam.b) ?? []
      return (scene.byMark.get(seam.a) ?? []).flatMap((a): Found[] => {
        const gapes = theirs.filter((b) => b !== a).flatMap((b) => gapeOf(a, b, seam) ?? [])
        // Copies that are not its neighbour may touch it at a corner.
        const longest = Math.max(...gapes.map(({ length }) => length))
        const beside = gapes.filter(({ length }) => length >= longest / 2)
        const least = beside.reduce<Gape | undefined>((best, one) => (!best || one.gap < best.gap ? one : best), undefined)
        if (!least) return []
        const allowed = allowedBetween(a, least.b, stocks)
        if (least.gap > allowed) return [gapeFinding(a, least, allowed)]
        scene.held.join(a, least.b)
        return []
      })
    }),
  )
}

/** Where two edges are farthest apart. */
interface Gape {
  readonly b: Standing
  readonly gap: number
  readonly at: Vector
  /** How much of the edges runs side by side, mm. */
  readonly length: number
}

/** Measured from either edge to the other; edges of which nothing lies beside the other are as far apart as can be told. */
function gapeOf(a: Standing, b: Standing, { edges }: Seam): Gape | undefined {
  const [p, q] = [edgeOn(a, edges[0]), edgeOn(b, edges[1])]
  if (!p || !q) return undefined
  const there = sideBySide(p.line, q.line)
  const back = sideBySide(q.line, p.line)
  const length = Math.max(...[there, back].map((run) => run.reduce((sum, one) => sum + one.length, 0)))
  const gaps = [
    ...there.map((one) => gapAt(one, p.outAt(one.place), q.outAt(one.otherPlace))),
    ...back.map((one) => gapAt(one, q.outAt(one.place), p.outAt(one.otherPlace))),
  ]
  if (gaps.length === 0) return { b, gap: FARTHEST, at: p.line[0]!, length: Math.min(lineLength(p.line), lineLength(q.line)) }
  return { b, length, ...gaps.reduce((worst, one) => (one.gap > worst.gap + SAME ? one : worst)) }
}

function gapAt({ at, other }: Beside, out: Vector, otherOut: Vector): Pick<Gape, 'gap' | 'at'> {
  const off = subtract(at, other)
  const faces = subtract(out, otherOut)
  return { gap: Math.min(...[-1, 0, 1].map((face) => norm(along(off, faces, face)))), at: mix(at, other, 0.5) }
}

/** Of gaps that differ by less the first one counts, mm. */
const SAME = 1e-6

interface Edge {
  readonly line: readonly Vector[]
  /** From the middle of the card to its printed face, at a place along the line. */
  readonly outAt: (place: number) => Vector
}

function edgeOn({ piece, pose, thickness }: Standing, edge: CardEdge): Edge | undefined {
  const { form } = piece
  if (form?.kind !== 'curved') return undefined
  const outAt = (place: number): Vector => scale(faceAtEdge(form, edge, place, pose), thickness / 2)
  return { line: edgeLine(form, edge, pose), outAt }
}

function gapeFinding(a: Standing, { b, gap, at, length }: Gape, allowed: number): Found {
  const place = at.map((value) => value.toFixed(1)).join(', ')
  const other = a.mark === b.mark ? `the next ${b.mark}` : b.mark
  return {
    id: 'seam',
    severity: 'warning',
    text:
      `the edges of ${a.mark} and ${other} that are to meet along ${inMm(length)} stand ${farText(gap)} apart at (${place}) in the model, ` +
      `${inMm(allowed)} is allowed`,
    remedy: 'let both end on the same line, or take back that they are glued',
    ...about(a),
    found: gap,
    wanted: allowed,
    ...handsOf(a, b),
  }
}
