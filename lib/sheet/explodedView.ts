import { seenEdges, viewAlong } from '../fit/seen'
import type { Solid } from '../fit/solid'
import { boundsOf } from '../shape/bounds'
import type { Point } from '../shape/point'
import type { BuildStep } from './buildSteps'
import { type Callout, callouts } from './callout'
import type { Drawing, PieceGroup } from './drawing'
import { fittedDrawing } from './fitted'
import { extremes, groupOf } from './threeView'

export interface ExplodedInput {
  /** `Sandpiper 1:60` */
  readonly title: string
  readonly what: string
  /** In build order. */
  readonly steps: readonly BuildStep[]
  /** The parts are scaled to be no wider and no higher than this, mm. */
  readonly breadth: number
  /** Without title and scale under it, for a page that says so itself. */
  readonly bare?: boolean
}

/**
 * The parts of an assembly one above another in the order they are built, what comes first lowest, each numbered; seen
 * from the port bow and above, isometric (ISO 5456-3). Hidden lines are left out.
 *
 * @throws Error where there is nothing to draw
 */
export function drawExploded({ title, what, steps, breadth, bare = false }: ExplodedInput): Drawing {
  const shown = steps.filter(({ solids }) => solids.length > 0)
  if (shown.length === 0) throw new Error(`nothing of ${what} has a place in the model`)
  const lifted = lift(shown)
  const view = viewAlong([1, 1, -1])
  const corners = lifted.map(({ solids }) => solids.flatMap(({ vertices }) => extremes(vertices, view)))
  const raw = boundsOf(corners)
  const scale = breadth / Math.max(raw.maxX - raw.minX, raw.maxY - raw.minY, 1)
  const scaled = ([x, y]: Point): Point => [x * scale, y * scale]
  // All at once, so that a part that reaches in front of another hides it.
  const seen = seenEdges(lifted.flatMap(({ solids }) => solids), view, FINEST / scale)
  const pieces: PieceGroup[] = seen.filter(({ lines }) => lines.length > 0).map((one) => groupOf(one, 'exploded', scale))
  const words = shown.map(({ name, solids }, i): Callout => ({
    text: `${i + 1}  ${name}, ${solids.length} ${solids.length === 1 ? 'piece' : 'pieces'}`,
    at: seenPoints(seen, lifted[i]!.solids).map(scaled),
  }))
  const around = boundsOf([corners.flat().map(scaled)])
  const { marks, bounds } = callouts(words.filter(({ at }) => at.length > 0), around, TEXT)
  return fittedDrawing({
    title: `${title}, ${what}`,
    captions: bare ? [] : [`${title}, ${what}, taken apart`, 'built from the bottom up, in the order of the numbers; not to scale'],
    pieces,
    marks,
    bounds,
  })
}

const TEXT = 2

/** Bits of lines shorter than this on the page, mm, are finer than the pen. */
const FINEST = 0.2

/** Free height between two parts, as a share of the whole assembly's largest side. */
const GAP = 0.06

function lift(steps: readonly BuildStep[]): BuildStep[] {
  const all = steps.flatMap(({ solids }) => solids)
  const sides = [0, 1, 2].map((k) => span(all, k))
  const gap = GAP * Math.max(...sides.map(({ least, most }) => most - least))
  let top = -Infinity
  return steps.map(({ name, solids }) => {
    const { least, most } = span(solids, 2)
    const up = top === -Infinity ? 0 : Math.max(0, top + gap - least)
    top = Math.max(top, most + up)
    return { name, solids: solids.map((solid) => raised(solid, up)) }
  })
}

function span(solids: readonly Solid[], k: number): { least: number; most: number } {
  return solids.reduce(
    ({ least, most }, { bounds: { min, max } }) => ({ least: Math.min(least, min[k]!), most: Math.max(most, max[k]!) }),
    { least: Infinity, most: -Infinity },
  )
}

function raised(solid: Solid, up: number): Solid {
  const vertices = solid.vertices.map((value, i) => (i % 3 === 2 ? value + up : value))
  const { min, max } = solid.bounds
  return { ...solid, vertices, bounds: { min: [min[0], min[1], min[2] + up], max: [max[0], max[1], max[2] + up] } }
}

function seenPoints(seen: readonly { mark: string; copy: number; lines: readonly (readonly Point[])[] }[], solids: readonly Solid[]): Point[] {
  const own = new Set(solids.map(({ mark, copy }) => `${mark}#${copy}`))
  return seen.flatMap(({ mark, copy, lines }) => (own.has(`${mark}#${copy}`) ? lines.flat() : []))
}
