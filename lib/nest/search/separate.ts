import type { Layout } from './layout'
import type { Random } from './random'
import { Relocator, type Sampling } from './relocate'

export interface Patience {
  /** Rounds without a lesser overlap before a strike. */
  readonly rounds: number
  readonly strikes: number
}

/** Tells when to stop: the layout's count of questions or a clock, whatever the caller goes by. */
export type ShouldStop = () => boolean

/**
 * Pulls overlapping pieces apart by guided local search (Voudouris and Tsang 1999): pairs that keep overlapping
 * weigh more and more, until the search finds it cheaper to move something else.
 * @returns the overlap left, 0 for a layout that can be cut; the layout is left in the best state that was met
 */
export class Separator {
  private readonly layout: Layout
  private readonly random: Random
  private readonly relocator: Relocator
  private readonly queue: Int32Array

  constructor(layout: Layout, random: Random, sampling: Sampling = SAMPLING) {
    this.layout = layout
    this.random = random
    this.relocator = new Relocator(layout, random, sampling)
    this.queue = new Int32Array(layout.count)
  }

  separate(patience: Patience, shouldStop: ShouldStop): number {
    const { layout } = this
    layout.weight.fill(1)
    let least = layout.total()
    if (least === 0) return 0
    let best = layout.take()
    for (let strike = 0; strike < patience.strikes; strike++) {
      const atStart = least
      for (let idle = 0; idle < patience.rounds; idle++) {
        this.moveColliding()
        const total = layout.total()
        if (total < least) {
          // A gain of less than two in a hundred is no reason to go on for long.
          if (total < 0.98 * least) idle = -1
          least = total
          if (total === 0) return 0
          best = layout.take()
        }
        this.reweigh()
        if (shouldStop()) {
          layout.restore(best)
          return least
        }
      }
      layout.restore(best)
      if (least > 0.98 * atStart && strike > 0) break
    }
    return least
  }

  /** One round: every piece that overlaps something, in random order, is moved to where it weighs least. */
  private moveColliding(): void {
    const { layout, queue } = this
    let waiting = 0
    for (let member = 0; member < layout.count; member++) {
      if (!layout.fixed[member] && layout.load(member) > 0) queue[waiting++] = member
    }
    this.random.shuffle(queue, waiting)
    for (let i = 0; i < waiting; i++) {
      if (layout.load(queue[i]!) > 0) this.relocator.relocate(queue[i]!, true)
    }
  }

  /** The worst overlaps gain most weight; pairs that are apart forget theirs. */
  private reweigh(): void {
    const { weight, overlap } = this.layout
    let most = 0
    for (let at = 0; at < overlap.length; at++) if (overlap[at]! > most) most = overlap[at]!
    if (most === 0) return
    for (let at = 0; at < overlap.length; at++) {
      const cost = overlap[at]!
      if (cost > 0) weight[at]! *= LEAST_GAIN + (MOST_GAIN - LEAST_GAIN) * (cost / most)
      else if (weight[at]! > 1) weight[at] = Math.max(1, weight[at]! * DECAY)
    }
  }
}

const SAMPLING: Sampling = { wide: 40, near: 24, refined: 3 }

const LEAST_GAIN = 1.2
const MOST_GAIN = 2
const DECAY = 0.95
