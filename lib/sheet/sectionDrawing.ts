import { compareText } from '../finding/finding'
import type { CutSolid } from '../fit/section'
import { boundsOf } from '../shape/bounds'
import type { Loop, Point } from '../shape/point'
import { type Callout, callouts } from './callout'
import type { Drawing, Mark, PieceGroup } from './drawing'
import { fittedDrawing } from './fitted'
import { hatch, type Hatching, hatchings } from './hatch'
import { letter } from './lettering'

export interface SectionInput {
  /** `Sandpiper 1:60` */
  readonly title: string
  /** What is cut: `section at HF-12`. */
  readonly where: string
  readonly cuts: readonly CutSolid[]
  /** Piece's card, by mark. */
  readonly stockOf: ReadonlyMap<string, { readonly id: string; readonly title: string; readonly plies: number }>
  /** Times model size; 1 unless said. */
  readonly enlarged?: number
}

/** What a cut through the built model shows: each piece of card outlined, hatched by its stock, and marked. */
export function drawSection({ title, where, cuts, stockOf, enlarged = 1 }: SectionInput): Drawing {
  const stocks = [...new Map(cuts.map(({ mark }) => [stockOf.get(mark)!.id, stockOf.get(mark)!])).values()]
  const sorted = stocks.toSorted((a, b) => compareText(a.id, b.id))
  const ways = new Map(hatchings(sorted.length).map((way, i) => [sorted[i]!.id, way]))
  const grown = cuts
    .map((cut) => ({ ...cut, loops: cut.loops.map((loop) => loop.map(([x, y]): Point => [x * enlarged, y * enlarged])) }))
    .toSorted((a, b) => compareText(a.mark, b.mark) || a.copy - b.copy)
  const pieces = grown.map(({ mark, copy, loops }): PieceGroup => {
    const { id, plies } = stockOf.get(mark)!
    const marks: Mark[] = [
      { kind: 'stroke', role: 'hatch', lines: hatch(loops, ways.get(id)!).map((points) => ({ points, closed: false })) },
      { kind: 'stroke', role: 'section', lines: loops.map((points) => ({ points, closed: true })) },
    ]
    return { id: copy === 1 ? mark : `${mark}#${copy}`, mark, assembly: '', stock: id, plies, fingerprint: '', marks }
  })
  const around = boundsOf(grown.flatMap(({ loops }) => loops))
  const { marks, bounds } = callouts(named(grown), around, TEXT)
  const key = keyOf(sorted, ways, bounds)
  return fittedDrawing({
    title: `${title}, ${where}`,
    captions: [`${title}, ${where}`, enlarged === 1 ? 'model size' : `${enlarged} times model size`],
    pieces,
    marks: [...marks, ...key.marks],
    bounds: { ...bounds, minY: bounds.minY - key.height, maxX: Math.max(bounds.maxX, bounds.minX + key.width) },
  })
}

const TEXT = 1.8

/** Copies of a mark that are cut alike each get their own leader; the words tell them apart by number. */
function named(cuts: readonly CutSolid[]): Callout[] {
  const copies = new Map<string, number>()
  for (const { mark } of cuts) copies.set(mark, (copies.get(mark) ?? 0) + 1)
  return cuts.map(({ mark, copy, loops }) => ({
    text: copies.get(mark)! > 1 || copy > 1 ? `${mark} #${copy}` : mark,
    at: loops.flat(),
  }))
}

/** A hatched field for each stock, under the drawing. */
function keyOf(
  stocks: readonly { readonly id: string; readonly title: string }[],
  ways: ReadonlyMap<string, Hatching>,
  { minX, minY }: { readonly minX: number; readonly minY: number },
): { marks: Mark[]; height: number; width: number } {
  let width = 0
  const marks = stocks.flatMap(({ id, title }, i): Mark[] => {
    const y = minY - FIELD * (1.5 * i + 2)
    const field: Loop = [[minX, y], [minX + 2 * FIELD, y], [minX + 2 * FIELD, y + FIELD], [minX, y + FIELD]]
    const words = letter(`${title} (${id})`, { at: [minX + 2 * FIELD + 2, y + FIELD / 2 - TEXT / 2], size: TEXT })
    width = Math.max(width, 2 * FIELD + 2 + TEXT * title.length)
    return [
      { kind: 'stroke', role: 'hatch', lines: hatch([field], ways.get(id)!).map((points) => ({ points, closed: false })) },
      { kind: 'stroke', role: 'section', lines: [{ points: field, closed: true }] },
      words,
    ]
  })
  return { marks, height: FIELD * (1.5 * stocks.length + 1.5), width }
}

const FIELD = 4
