import type { NestPiece, NestSheet } from '../nest'
import { Filler, type Joining } from './fill'
import type { Kinds } from './kinds'
import type { Item, Plan, Waiting } from './plan'
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
  /** Whether pieces may lie edge to edge. */
  readonly shared: boolean
  /** Sheets before this one are offcuts, which cost nothing. */
  readonly firstWhole: number
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
 * first, for they are hardest to place, then the order that has done best so far, blurred a little or a lot.
 */
export function arrange(task: ArrangeTask): Arrangement {
  const cell = cellOf(task.begun[0]?.sheet ?? task.addSheet(0).sheet, task.gap)
  const filler = new Filler(task.kinds, task.gap, cell, task.shared, task.begun.length)
  let best: Arrangement | undefined
  let least = Infinity
  let followed: Manner | undefined
  for (let attempt = 0; isWanted(task, attempt, filler.asked); attempt++) {
    const manner = mannerOf(task, attempt, followed)
    const found = fillAll(task, filler, manner)
    const cost = costOf(task.kinds, found, task.firstWhole)
    if (cost < least) {
      least = cost
      best = found
      followed = manner
    }
    task.onProgress(Math.min(1, Math.max((attempt + 1) / firstOf(task).length, filler.asked / task.steps)))
    if (attempt >= MOST_ATTEMPTS) break
  }
  return best!
}

function isWanted(task: ArrangeTask, attempt: number, asked: number): boolean {
  if (attempt < LEAST_ATTEMPTS || asked < task.steps) return true
  return attempt < firstOf(task).length && asked < FIRST_STEPS * task.steps
}

/** Whole sheets needed, of the last only the part that cannot be cut off straight; a piece left over outweighs all. */
export function costOf(kinds: Kinds, { plans, left }: Arrangement, firstWhole: number): number {
  const filled = plans.filter(({ index, items }) => index >= firstWhole && items.some(({ piece }) => piece))
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

/** What an attempt hangs on. */
interface Manner {
  /** By shape: what stands for its size, mm. */
  readonly sizes: readonly number[]
  /** By sheet, over and over: whether it is filled sideways. */
  readonly sideways: readonly boolean[]
  /** How pieces are laid edge to edge; undefined where none are. */
  readonly joining: Joining | undefined
}

/** @param followed the manner of the best attempt so far */
function mannerOf(task: ArrangeTask, attempt: number, followed: Manner | undefined): Manner {
  const { kinds, random } = task
  const first = firstOf(task)[attempt]
  if (first || !followed) {
    const { size, sideways } = first ?? FIRST[0]!
    return { sizes: kinds.shapes.map(size), sideways: WAYS.map(() => sideways), joining: JOININGS[0] }
  }
  const blur = BLURS[attempt % BLURS.length]!
  // Pieces of one outline stay together whatever their labels, so that they can lie edge to edge.
  const factors = new Map<string, number>()
  const factorOf = (shape: Shape) => {
    const form = `${longestSide(shape)} ${shape.area}`
    let factor = factors.get(form)
    if (factor === undefined) factors.set(form, (factor = Math.exp(blur * (random.unit() + random.unit() - 1))))
    return factor
  }
  return {
    // Shapes that came in with a label since then are not offered, so their size does not matter.
    sizes: kinds.shapes.slice(0, kinds.count).map((shape, i) => followed.sizes[i]! * factorOf(shape)),
    sideways: followed.sideways.map((way) => (random.unit() < TURN_ABOUT ? !way : way)),
    joining: JOININGS[attempt % JOININGS.length],
  }
}

function fillAll(task: ArrangeTask, filler: Filler, { sizes, sideways, joining }: Manner): Arrangement {
  const { kinds, begun } = task
  const classes = sizeClasses(task, sizes)
  const isSideways = (index: number) => sideways[index % sideways.length]!
  const patience = Math.max(LEAST_PATIENCE, Math.floor(MOST_REFUSALS / kinds.count))
  const plans = begun.map((plan): Plan => ({ ...plan, items: [...plan.items] }))
  // Offcuts and begun sheets get every piece offered: it may be that one goes nowhere else.
  for (const plan of plans) filler.lay(plan, isSideways(plan.index), classes, Infinity, joining)
  const left: NestPiece[] = []
  while (classes.some((list) => list.length > 0)) {
    const plan: Plan = { index: plans.length, ...task.addSheet(plans.length) }
    plans.push(plan)
    filler.lay(plan, isSideways(plan.index), classes, patience, joining)
    if (plan.items.some(({ piece }) => piece !== undefined)) continue
    // Nothing went on a whole sheet: the largest piece never will, unless it goes without a label.
    const largest = classes.find((list) => list.length > 0)!.shift()!
    if (plans.some((one) => filler.force(one, largest))) continue
    plans.pop()
    left.push(largest.piece)
  }
  return { plans, left }
}

/** Largest first; in a class by group, so that what is glued together is printed together. */
function sizeClasses({ kinds, pieces }: ArrangeTask, sizes: readonly number[]): Waiting[][] {
  const groups = new Map<string, number>()
  for (const { group } of pieces) if (!groups.has(group)) groups.set(group, groups.size)
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

/** Cells fine enough for the gap, and not so fine that a large sheet has millions of them. */
function cellOf({ area }: NestSheet, gap: number): number {
  const long = Math.max(area.maxX - area.minX, area.maxY - area.minY)
  return Math.max(long / 1000, Math.min(0.5, Math.max(gap / 8, 0.25)))
}

interface First {
  readonly size: (shape: Shape) => number
  readonly sideways: boolean
}

/**
 * What stands for the size of a piece in the first attempts: no measure is best for all models, and they differ more from
 * each other than blurred ones do.
 */
const FIRST: readonly First[] = [
  { size: longestSide, sideways: false },
  { size: stoutness, sideways: false },
  { size: areaSize, sideways: true },
  { size: boxSize, sideways: false },
  { size: longestSide, sideways: true },
]

/** Many pieces even out by themselves. */
const FIRST_OF_MANY: readonly First[] = [
  { size: longestSide, sideways: false },
  { size: longestSide, sideways: true },
]
const MANY = 600

function firstOf({ pieces }: ArrangeTask): readonly First[] {
  return pieces.length > MANY ? FIRST_OF_MANY : FIRST
}

/** Attempts that are made at any effort, and by how much all of the first may go beyond the steps. */
const LEAST_ATTEMPTS = 2
const FIRST_STEPS = 2.5
const MOST_ATTEMPTS = 400

const LEFT_OVER = 1000

/** What it costs to have a group on one sheet more, in sheets. */
const SPREAD = 0.001

/** Most that the logarithms of the sizes are blurred by, attempt by attempt. */
const BLURS = [0.6, 0.15, 0.3, 0.08]

/** How often a sheet is filled the other way than in the attempt that is followed. */
const TURN_ABOUT = 0.25

/** Of the attempts one after the other. */
const JOININGS: (Joining | undefined)[] = [
  { cling: 4, block: 60 },
  { cling: 4, block: 30 },
  { cling: 15, block: 100 },
  undefined,
]

const WAYS = [0, 1, 2, 3]

/** How many shapes of one size a sheet may refuse before smaller ones have their turn; of few shapes any number. */
const LEAST_PATIENCE = 8
const MOST_REFUSALS = 40_000

/** Sizes of one class differ by no more than this factor. */
const SIZE_CLASS = 1.2
