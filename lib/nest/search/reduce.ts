import { signedArea } from '../turn'
import { Layout } from './layout'
import type { Pairs } from './pairs'
import type { Item, Plan } from './plan'
import type { Random } from './random'
import { Relocator } from './relocate'
import { Separator } from './separate'
import type { Shape } from './shape'

export interface ReduceTask {
  readonly shapes: readonly Shape[]
  readonly pairs: Pairs
  readonly random: Random
  readonly gap: number
  /** Questions that may be asked in all. */
  readonly steps: number
  /** Sheets before this one are offcuts: nothing is won by clearing them. */
  readonly firstWhole: number
  /** The last word on a changed sheet; where it says no, the sheet stays as it was. */
  readonly accept: (plan: Plan, items: readonly Item[]) => boolean
  readonly onProgress: (share: number) => void
}

/**
 * Clears the emptiest sheet by pressing its pieces into others, where they and what lies there are pulled apart
 * again; then the next, while there are steps left. What cannot be cleared is left as empty as it got.
 * @returns the sheets that have something on them, in order
 */
export function reduceSheets(plans: readonly Plan[], task: ReduceTask): Plan[] {
  return new Reducer(plans, task).run()
}

class Reducer {
  private readonly task: ReduceTask
  private readonly plans: Plan[]
  private readonly areas: readonly number[]
  private readonly stuck = new Set<Plan>()
  private asked = 0

  constructor(plans: readonly Plan[], task: ReduceTask) {
    this.task = task
    this.plans = [...plans]
    this.areas = task.shapes.map(({ region }) => region.reduce((sum, loop) => sum + signedArea(loop), 0))
  }

  run(): Plan[] {
    for (let donor = this.nextDonor(); donor && !this.over(); donor = this.nextDonor()) {
      if (!this.clear(donor, MOST_LEFT)) this.stuck.add(donor)
      else this.plans.splice(this.plans.indexOf(donor), 1)
    }
    // No sheet can be saved any more: what steps are left go into emptying the last.
    this.stuck.clear()
    const last = this.nextDonor()
    if (last) this.clear(last, Infinity)
    return this.plans.filter((plan) => plan !== last || plan.items.some(({ piece }) => piece !== undefined))
  }

  /** The sheet with least on it that may be cleared. */
  private nextDonor(): Plan | undefined {
    let least: Plan | undefined
    for (const plan of this.plans) {
      if (plan.index < this.task.firstWhole || this.stuck.has(plan)) continue
      if (plan.items.some(({ piece, fixed }) => fixed && piece !== undefined)) continue
      if (!least || this.filled(plan) < this.filled(least)) least = plan
    }
    return least
  }

  /** Largest piece first, until too many found no room. @returns whether every piece found another sheet */
  private clear(donor: Plan, mostLeft: number): boolean {
    const pieces = donor.items.filter(({ piece }) => piece !== undefined)
    const order = pieces.toSorted((a, b) => this.areas[b.shape]! - this.areas[a.shape]!)
    let left = 0
    for (const item of order) {
      if (this.over() || !this.handOver(item, donor)) left++
      if (left > mostLeft) return false
    }
    return left === 0
  }

  /** Tries the sheets that would have most room left, those with pieces of the same group first. */
  private handOver(item: Item, donor: Plan): boolean {
    const takers = this.plans
      .filter((plan) => plan !== donor)
      .map((plan) => ({ plan, room: this.roomAfter(plan, item) / sheetArea(plan) }))
      .filter(({ room }) => room >= LEAST_ROOM)
      .map(({ plan, room }) => ({ plan, room: room + (hasGroup(plan, item) ? KINSHIP : 0) }))
      .toSorted((a, b) => b.room - a.room || a.plan.index - b.plan.index)
      .slice(0, MOST_TAKERS)
    for (const { plan } of takers) {
      if (this.over()) return false
      const items = this.press(plan, item)
      if (!items || !this.task.accept(plan, items)) continue
      plan.items = items
      donor.items = donor.items.filter((other) => other !== item)
      return true
    }
    return false
  }

  /** The items of a sheet with one more among them, or nothing where they cannot be pulled apart. */
  private press(plan: Plan, item: Item): Item[] | undefined {
    const { shapes, pairs, random } = this.task
    const { minX, minY, maxX, maxY } = plan.sheet.area
    const { joined: _, ...alone }: Item = item
    const items: Item[] = [...plan.items, alone]
    // What lies edge to edge would be pulled apart.
    const members = items.map(({ shape, fixed, joined }) => ({ shape, fixed: fixed || joined === true }))
    const layout = new Layout(shapes, members, pairs, maxX - minX, maxY - minY)
    items.forEach(({ shape, turn, x, y }, member) => layout.put(member, layout.firstPose[shape]! + turn, x, y))
    const added = items.length - 1
    layout.lift(added)
    layout.measureAll()
    new Relocator(layout, random, ENTRY).relocate(added, false)
    const separator = new Separator(layout, random)
    const left = separator.separate(PATIENCE, () => layout.asked > MOST_PER_PRESS)
    this.asked += layout.asked
    this.task.onProgress(Math.min(1, this.asked / this.task.steps))
    if (left > 0) return undefined
    return items.map((each, member) => {
      const turn = layout.pose[member]! - layout.firstPose[each.shape]!
      return { ...each, turn, x: layout.x[member]!, y: layout.y[member]! }
    })
  }

  private over(): boolean {
    return this.asked >= this.task.steps
  }

  private filled(plan: Plan): number {
    return plan.items.reduce((sum, { shape }) => sum + this.areas[shape]!, 0)
  }

  private roomAfter(plan: Plan, item: Item): number {
    const { gap } = this.task
    const { minX, minY, maxX, maxY } = plan.sheet.area
    return (maxX - minX + gap) * (maxY - minY + gap) - this.filled(plan) - this.areas[item.shape]!
  }
}

function sheetArea({ sheet: { area } }: Plan): number {
  return (area.maxX - area.minX) * (area.maxY - area.minY)
}

function hasGroup(plan: Plan, { piece }: Item): boolean {
  return plan.items.some((other) => other.piece?.group === piece?.group)
}

/** Share of a sheet that has to stay free, or pressing one more in is hopeless. */
const LEAST_ROOM = 0.08

/** A sheet with pieces of the same group is preferred as if it had this share more room. */
const KINSHIP = 0.02

/** Sheets that one piece is pressed into before it is given up. */
const MOST_TAKERS = 5

/** Where more than this many large ones find no room, their sheet cannot be saved. */
const MOST_LEFT = 2

/** Questions that pressing one piece in may cost. */
const MOST_PER_PRESS = 120_000

const ENTRY = { wide: 150, near: 0, refined: 4 }
const PATIENCE = { rounds: 30, strikes: 2 }
