import { Layout, type Member, type Snapshot } from './layout'
import { Pairs } from './pairs'
import { Random } from './random'
import { Relocator } from './relocate'
import { Separator, type Patience } from './separate'
import type { Shape } from './shape'

export interface StripTask {
  readonly shapes: readonly Shape[]
  /** The shape of every piece. */
  readonly members: readonly number[]
  readonly width: number
  readonly seed: number
  /** Share of the effort that is used up, given the questions asked so far; the search ends at 1. */
  readonly spent: (asked: number) => number
  /** Told whenever a shorter layout is found. */
  readonly onBetter?: (layout: Snapshot) => void
}

/**
 * Packs pieces on a strip of given width as short as it can: from a layout that overlaps, pulled apart, the strip is
 * shortened again and again (exploration), in the end by very little at a time (compression).
 * @returns the shortest layout without overlap, and the layout it belongs to for reading poses
 */
export function packStrip(task: StripTask): { layout: Layout; best: Snapshot } {
  const search = new StripSearch(task)
  search.begin()
  search.explore(EXPLORE_UNTIL)
  search.compress()
  return { layout: search.layout, best: search.best }
}

class StripSearch {
  readonly layout: Layout
  best: Snapshot
  private readonly task: StripTask
  private readonly random: Random
  private readonly separator: Separator
  private readonly areas: Float64Array
  private readonly least: number

  constructor(task: StripTask) {
    this.task = task
    const members = task.members.map((shape): Member => ({ shape, fixed: false }))
    const area = task.members.reduce((sum, shape) => sum + task.shapes[shape]!.area, 0)
    this.least = Math.max(area / task.width, ...task.members.map((shape) => leastLength(task, shape)))
    const length = Math.max(area / task.width / FIRST_DENSITY, this.least)
    this.layout = new Layout(task.shapes, members, new Pairs(task.shapes, RESOLUTION), length, task.width)
    this.areas = Float64Array.from(task.members, (shape) => task.shapes[shape]!.area)
    this.random = new Random(task.seed)
    this.separator = new Separator(this.layout, this.random)
    this.best = this.layout.take()
  }

  /** A first layout without overlap: the largest pieces laid first, each where it overlaps least. */
  begin(): void {
    const { layout } = this
    const relocator = new Relocator(layout, this.random, { wide: 200, near: 0, refined: 4 })
    for (let member = 0; member < layout.count; member++) layout.lift(member)
    const order = [...this.areas.keys()].toSorted((a, b) => this.areas[b]! - this.areas[a]! || a - b)
    for (const member of order) relocator.relocate(member, false)
    layout.measureAll()
    while (this.separator.separate(FIRST_PATIENCE, () => false) > 0) {
      layout.restore(layout.take(), layout.length * 1.05)
    }
    this.keep()
  }

  explore(until: number): void {
    const over = () => this.spent() >= until
    let step = FIRST_STEP
    while (!over() && !this.isShortest()) {
      const length = this.shorter(step)
      this.shrink(this.best, length)
      let left = this.separator.separate(EXPLORE_PATIENCE, over)
      if (left > 0 && step <= LAST_STEP) left = this.persist(left, over)
      if (left === 0) this.keep()
      else step = Math.max(LAST_STEP, step / 2)
    }
  }

  /** Tries again at the same length from what has failed so far, each time with two large pieces exchanged. */
  private persist(first: number, over: () => boolean): number {
    const { layout } = this
    const pool: { snapshot: Snapshot; left: number }[] = []
    let left = first
    while (left > 0 && !over()) {
      pool.push({ snapshot: layout.take(), left })
      pool.sort((a, b) => a.left - b.left)
      if (pool.length > MOST_IN_POOL) pool.pop()
      // Nearer to the front is likelier: the square leans to the small end.
      const pick = pool[Math.floor(pool.length * this.random.unit() ** 2)]!
      layout.restore(pick.snapshot)
      this.disrupt()
      left = this.separator.separate(EXPLORE_PATIENCE, over)
    }
    return left
  }

  /** Shortens the best layout by less and less, each time at another place. */
  compress(): void {
    const from = this.spent()
    const over = () => this.spent() >= 1
    while (!over() && !this.isShortest()) {
      const share = Math.min(1, (this.spent() - from) / (1 - from))
      const step = COMPRESS_FROM * (COMPRESS_TO / COMPRESS_FROM) ** share
      this.shrink(this.best, this.shorter(step))
      if (this.separator.separate(COMPRESS_PATIENCE, over) === 0) this.keep()
    }
  }

  /** No strip can be shorter than its longest piece, or than it is when there is no waste at all. */
  private isShortest(): boolean {
    return this.best.length <= this.least
  }

  private keep(): void {
    this.best = this.layout.take()
    this.task.onBetter?.(this.best)
  }

  private spent(): number {
    return this.task.spent(this.layout.asked)
  }

  private shorter(step: number): number {
    return Math.max(this.least, this.best.length * (1 - step))
  }

  /** Takes a length out of the strip at a random place: what lies beyond moves back by it. */
  private shrink(snapshot: Snapshot, length: number): void {
    const cut = this.random.unit() * snapshot.length
    const by = snapshot.length - length
    this.layout.restore({ ...snapshot, x: snapshot.x.map((x) => (x > cut ? x - by : x)) }, length)
  }

  /** Lets two large pieces of different shape change places. */
  private disrupt(): void {
    const { layout, random, areas } = this
    const order = [...areas.keys()].toSorted((a, b) => areas[b]! - areas[a]! || a - b)
    const large = order.slice(0, Math.max(2, Math.ceil(layout.count * LARGE_SHARE)))
    const a = large[random.index(large.length)]!
    const others = large.filter((b) => layout.shapeOf[b] !== layout.shapeOf[a])
    if (others.length === 0) return
    const b = others[random.index(others.length)]!
    const ax = layout.x[a]!
    const ay = layout.y[a]!
    layout.put(a, layout.pose[a]!, layout.x[b]!, layout.y[b]!)
    layout.put(b, layout.pose[b]!, ax, ay)
    layout.moveIn()
    layout.measureAll()
  }
}

function leastLength({ shapes, width }: StripTask, shape: number): number {
  const spans = shapes[shape]!.turned
    .filter(({ box }) => box.maxY - box.minY <= width * (1 + 1e-9))
    .map(({ box }) => box.maxX - box.minX)
  return Math.min(...spans)
}

/** Steps of a pair's table. */
const RESOLUTION = 64

/** Density that the first layout is tried at. */
const FIRST_DENSITY = 0.75

/** Share of the effort that exploration may use; the rest is for compression. */
const EXPLORE_UNTIL = 0.8

/** Share of its length by which the strip is shortened at first and at last. */
const FIRST_STEP = 0.04
const LAST_STEP = 0.0025
const COMPRESS_FROM = 0.0005
const COMPRESS_TO = 0.00001

/** Failed layouts that are remembered to start again from. */
const MOST_IN_POOL = 20

/** Share of the pieces, largest first, that may be swapped. */
const LARGE_SHARE = 0.5

const FIRST_PATIENCE: Patience = { rounds: 50, strikes: 2 }
const EXPLORE_PATIENCE: Patience = { rounds: 100, strikes: 3 }
const COMPRESS_PATIENCE: Patience = { rounds: 60, strikes: 3 }
