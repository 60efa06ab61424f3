import type { NestPiece, NestSheet } from '../nest'
import { Filler, type Waiting } from './fill'
import type { Kinds } from './kinds'
import type { Item, Plan } from './plan'
import type { Random } from './random'
import type { Shape } from './shape'

export interface ArrangeTask {
  readonly kinds: Kinds
  /** To be placed, with their shapes in `kinds.shapeOf` at the same index. */
  readonly pieces: readonly NestPiece[]
  /** Sheets begun or cut into, with what lies on them; copied for every attempt. */
  readonly begun: readonly Plan[]
  /** A further sheet with its used parts. */
  readonly addSheet: (index: number) => { readonly sheet: NestSheet; readonly items: Item[] }
  readonly gap: number
  readonly random: Random
  /** Positions that may be looked at; the first attempts are made all the same. */
  readonly steps: number
  readonly onProgress: (share: number) => void
}

export interface Arrangement {
  readonly plans: Plan[]
  /** What goes on no sheet, not even without its label. */
  readonly left: readonly NestPiece[]
}

/**
 * Fills the sheets in several orders, upwards and sideways, and takes the attempt that needs least card: longest pieces
 * first, for they are hardest to place, then the same with the sizes blurred more and more.
 */
export function arrange(task: ArrangeTask): Arrangement {
  const filler = new Filler(task.kinds, task.gap, cellOf(task.begun[0]?.sheet ?? task.addSheet(0).sheet, task.gap))
  let best: Arrangement | undefined
  let least = Infinity
  for (let attempt = 0; attempt < FIRST_ATTEMPTS || filler.asked < task.steps; attempt++) {
    const found = fillAll(task, filler, attempt)
    const cost = costOf(task.kinds, found)
    if (cost < least) {
      least = cost
      best = found
    }
    task.onProgress(Math.min(1, Math.max((attempt + 1) / FIRST_ATTEMPTS, filler.asked / task.steps)))
    if (attempt >= MOST_ATTEMPTS) break
  }
  return best!
}

/** Sheets needed, of the last only the part that cannot be cut off straight; a piece left over outweighs them all. */
export function costOf(kinds: Kinds, { plans, left }: Arrangement): number {
  const filled = plans.filter(({ items }) => items.some(({ piece }) => piece))
  const last = filled.at(-1)
  if (!last) return left.length * LEFT_OVER
  return left.length * LEFT_OVER + filled.length - 1 + usedShare(kinds, last) + SPREAD * spreadOf(filled)
}

/** Share of a sheet below or left of a straight cut that leaves the rest free, whichever is less. */
export function usedShare({ shapes }: Kinds, { sheet: { area }, items }: Plan): number {
  let [right, top] = [0, 0]
  for (const { shape, turn, x, y } of items) {
    const { box } = shapes[shape]!.turned[turn]!
    right = Math.max(right, x + box.maxX)
    top = Math.max(top, y + box.maxY)
  }
  return Math.min(right / (area.maxX - area.minX), top / (area.maxY - area.minY))
}

/** On how many sheets the groups lie, all added up. */
export function spreadOf(plans: readonly Plan[]): number {
  return plans.reduce((sum, { items }) => sum + new Set(items.map(({ piece }) => piece?.group)).size, 0)
}

function fillAll(task: ArrangeTask, filler: Filler, attempt: number): Arrangement {
  const { kinds, begun } = task
  const classes = sizeClasses(task, attempt)
  const patience = Math.max(LEAST_PATIENCE, Math.floor(MOST_REFUSALS / kinds.shapes.length))
  const plans = begun.map((plan): Plan => ({ ...plan, items: [...plan.items] }))
  // Offcuts and begun sheets get every piece offered: it may be that one goes nowhere else.
  for (const plan of plans) filler.lay(plan, isSideways(attempt, plan.index), classes, Infinity)
  const left: NestPiece[] = []
  while (classes.some((list) => list.length > 0)) {
    const plan: Plan = { index: plans.length, ...task.addSheet(plans.length) }
    plans.push(plan)
    filler.lay(plan, isSideways(attempt, plan.index), classes, patience)
    if (plan.items.some(({ piece }) => piece !== undefined)) continue
    // Nothing went on a whole sheet: the largest piece never will, unless it goes without a label.
    const largest = classes.find((list) => list.length > 0)!.shift()!
    if (plans.some((one) => filler.force(one, largest))) continue
    plans.pop()
    left.push(largest.piece)
  }
  return { plans, left }
}

/** The first attempts go all one way, the later ones this way or that on each sheet. */
function isSideways(attempt: number, sheet: number): boolean {
  return ((attempt >> (attempt < FIRST_ATTEMPTS ? 0 : sheet % 4)) & 1) === 1
}

/** Largest first; in a class by group, so that what is glued together is printed together. */
function sizeClasses({ kinds, pieces, random }: ArrangeTask, attempt: number): Waiting[][] {
  const groups = new Map<string, number>()
  for (const { group } of pieces) if (!groups.has(group)) groups.set(group, groups.size)
  const blur = attempt < FIRST_ATTEMPTS ? 0 : BLUR * ((attempt % 3) + 1)
  const sizes = kinds.shapes.map((shape) => longestSide(shape) * Math.exp(blur * (random.unit() + random.unit() - 1)))
  const size = (at: number) => sizes[kinds.shapeOf[at]!]!
  const level = pieces.map((_, at) => Math.round(Math.log(size(at)) / Math.log(SIZE_CLASS)))
  const group = pieces.map((piece) => groups.get(piece.group)!)
  const order = [...pieces.keys()].toSorted(
    (a, b) => level[b]! - level[a]! || group[a]! - group[b]! || size(b) - size(a) || a - b,
  )
  const classes = new Map<number, Waiting[]>()
  for (const at of order) {
    const waiting = { piece: pieces[at]!, shape: kinds.shapeOf[at]! }
    const list = classes.get(level[at]!)
    if (list) list.push(waiting)
    else classes.set(level[at]!, [waiting])
  }
  return [...classes.values()]
}

function longestSide({ turned }: Shape): number {
  return turned.reduce((most, { box }) => Math.max(most, box.maxX - box.minX, box.maxY - box.minY), 0)
}

/** Cells fine enough for the gap, and not so fine that a large sheet has millions of them. */
function cellOf({ area }: NestSheet, gap: number): number {
  const long = Math.max(area.maxX - area.minX, area.maxY - area.minY)
  return Math.max(long / 1000, Math.min(0.5, Math.max(gap / 4, 0.25)))
}

const FIRST_ATTEMPTS = 2
const MOST_ATTEMPTS = 400

const LEFT_OVER = 1000

/** What it costs to have a group on one sheet more, in sheets. */
const SPREAD = 0.001

/** Standard width that the logarithm of the sizes is blurred by. */
const BLUR = 0.25

/** How many shapes of one size a sheet may refuse before smaller ones have their turn; of few shapes any number. */
const LEAST_PATIENCE = 8
const MOST_REFUSALS = 40_000

/** Sizes of one class differ by no more than this factor. */
const SIZE_CLASS = 1.2
