import { addTo } from '../../shape/lists'
import type { NestPiece } from '../nest'
import type { Joining } from './fill'
import type { Kinds } from './kinds'
import type { Waiting } from './plan'
import type { Random } from './random'
import type { Shape } from './shape'

/** What it hangs on how a sheet comes to be filled. */
export interface Manner {
  /** By shape: what stands for its size, mm. */
  readonly sizes: readonly number[]
  readonly sideways: boolean
  readonly joining: Joining
}

/** @param isLast whether it is the last sheet, for which what is long comes first: what is laid first lies across */
export function mannerOf({ kinds, random }: { readonly kinds: Kinds; readonly random: Random }, round: number, attempt: number, isLast: boolean): Manner {
  const measure = isLast ? longestSide : MEASURES[(attempt + round) % MEASURES.length]!
  const blur = round === 0 && attempt < MEASURES.length ? 0 : BLURS[(attempt + round) % BLURS.length]!
  // Pieces of one outline stay together whatever their labels, so that they can lie edge to edge.
  const factors = new Map<string, number>()
  const factorOf = (shape: Shape) => {
    const form = `${longestSide(shape)} ${shape.area}`
    let factor = factors.get(form)
    if (factor === undefined) factors.set(form, (factor = Math.exp(blur * (random.unit() + random.unit() - 1))))
    return factor
  }
  // Shapes that came in with a label since then are not offered, so their size does not matter.
  const sizes = kinds.shapes.slice(0, kinds.count).map((shape) => measure(shape) * factorOf(shape))
  // Every measure once upwards and once sideways.
  const sideways = (attempt + Math.floor(attempt / MEASURES.length) + round) % 2 > 0
  return { sizes, sideways, joining: JOININGS[(attempt + round) % JOININGS.length]! }
}

/**
 * Largest first; in a class by group, so that what is glued together is printed together.
 * @param left numbers of the pieces wanted
 * @param sizes by shape, mm
 */
export function sizeClasses(kinds: Kinds, pieces: readonly NestPiece[], left: readonly number[], sizes: readonly number[]): Waiting[][] {
  const groups = new Map<string, number>()
  for (const { group } of pieces) if (!groups.has(group)) groups.set(group, groups.size)
  const size = (at: number) => sizes[kinds.shapeOf[at]!]!
  const level = new Map(left.map((at) => [at, Math.round(Math.log(size(at)) / Math.log(SIZE_CLASS))]))
  const group = (at: number) => groups.get(pieces[at]!.group)!
  const order = left.toSorted((a, b) => level.get(b)! - level.get(a)! || group(a) - group(b) || size(b) - size(a) || a - b)
  const classes = new Map<number, Waiting[]>()
  for (const at of order) {
    addTo(classes, level.get(at)!, { piece: pieces[at]!, shape: kinds.shapeOf[at]! })
  }
  return [...classes.values()]
}

export function longestSide({ turned }: Shape): number {
  return turned.reduce((most, { box }) => Math.max(most, box.maxX - box.minX, box.maxY - box.minY), 0)
}

/** Sides of the box at the first turn, the longer one first. */
function sidesOf({ turned }: Shape): [long: number, short: number] {
  const { minX, minY, maxX, maxY } = turned[0]!.box
  const [width, height] = [maxX - minX, maxY - minY]
  return [Math.max(width, height), Math.min(width, height)]
}

function stoutness(shape: Shape): number {
  const [long, short] = sidesOf(shape)
  return long + 3 * short
}

function boxSize(shape: Shape): number {
  const [long, short] = sidesOf(shape)
  return Math.sqrt(long * short)
}

function areaSize({ area }: Shape): number {
  return Math.sqrt(area)
}

/** What stands for the size of a piece: no measure is best for all sheets, and they differ more than blurred ones do. */
const MEASURES: readonly ((shape: Shape) => number)[] = [longestSide, stoutness, areaSize, boxSize]

/** Most that the logarithms of the sizes are blurred by, in turn. */
const BLURS = [0.6, 0.15, 0.3, 0.08]

/** How pieces are laid edge to edge, in turn. */
const JOININGS: readonly Joining[] = [
  { cling: 4, block: 60 },
  { cling: 4, block: 30 },
  { cling: 15, block: 100 },
]

/** Sizes of one class differ by no more than this factor. */
const SIZE_CLASS = 1.2
