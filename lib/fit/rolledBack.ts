import type { Curved, Ruling } from '../model/form'
import { type Body, thickened } from './body'
import { type Cut, divide, triangulate } from './flatMesh'
import type { SolidPiece } from './solid'
import { stripMesh } from './stripMesh'
import { carriedBy, nearestStrip, stripsOf, turnBetween } from './strips'

/** How far beyond its lines a curled piece may reach, as tabs do, mm. */
const BEYOND = 1

/** Curled card: every flat point goes between the two lines it lies between, as it lay there in the flat. */
export function rolledBack({ outline, openings }: SolidPiece, { rulings }: Curved, thickness: number): Body {
  const across = rulings.map(({ flat }, i) => (i > 0 && i < rulings.length - 1 ? { ends: flat, cut: lengthened(flat) } : { ends: flat }))
  const strips = stripsOf(rulings, thickness)
  const holes = openings.map(({ loop }) => loop)
  const mesh = stripMesh(
    [outline, ...holes],
    across,
    (point) => nearestStrip(point, strips).strip,
    (line, other) => turnBetween(strips, line, other) > TURN,
  )
  if (mesh) return thickened(mesh, (point, index) => carriedBy(strips, point, mesh.lineOf.get(index)))
  const cuts = evenly(across.flatMap(({ cut }) => cut ?? []), FEW)
  return thickened(divide(triangulate(outline, holes), cuts), (point) => carriedBy(strips, point))
}

/** A corner may look one way for lines between which the card turns by less than this, degrees: it is less than 1 % thinner there. */
const TURN = 8

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
