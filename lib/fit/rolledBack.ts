import type { Curved, Ruling } from '../model/form'
import { type Body, thickened } from './body'
import { type Cut, divide, triangulate } from './flatMesh'
import type { SolidPiece } from './solid'
import { stripMesh } from './stripMesh'
import { carriedBy, nearestStrip, stripsOf } from './strips'

/** How far beyond its lines a curled piece may reach, as tabs do, mm. */
const BEYOND = 1

/** Curled card: every flat point goes between the two lines it lies between, as it lay there in the flat. */
export function rolledBack({ outline, openings }: SolidPiece, { rulings }: Curved, thickness: number): Body {
  const cuts = rulings.slice(1, -1).map(({ flat }) => lengthened(flat))
  const strips = stripsOf(rulings, thickness)
  const holes = openings.map(({ loop }) => loop)
  const mesh =
    stripMesh([outline, ...holes], cuts, (point) => nearestStrip(point, strips).strip) ??
    divide(triangulate(outline, holes), evenly(cuts, FEW))
  return thickened(mesh, (point) => carriedBy(strips, point))
}

/** Lines kept where they cross each other: every one of them would cut up what the others made. */
const FEW = 12

function evenly<T>(list: readonly T[], most: number): T[] {
  const step = Math.max(1, list.length / most)
  return list.filter((_, i) => Math.floor(i / step) !== Math.floor((i - 1) / step))
}

function lengthened([from, to]: Ruling['flat']): Cut {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  if (length === 0) return { from, to }
  const [x, y] = [((to[0] - from[0]) * BEYOND) / length, ((to[1] - from[1]) * BEYOND) / length]
  return { from: [from[0] - x, from[1] - y], to: [to[0] + x, to[1] + y] }
}
