import type { NestPiece, NestSheet } from '../nest'
import { Filler } from './fill'
import type { Kinds } from './kinds'
import { longestSide, mannerOf, sizeClasses } from './manner'
import type { Item, Plan, Waiting } from './plan'
import { Plates } from './plates'
import type { Random } from './random'

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
  /** Manners that each sheet is filled in, and positions that may be looked at; once all sheets are filled at any rate. */
  readonly tries: number
  readonly steps: number
  readonly onProgress: (share: number) => void
}

export interface Arrangement {
  readonly plans: Plan[]
  /** What goes on no sheet, not even without its label. */
  readonly left: readonly NestPiece[]
}

/**
 * Fills one sheet after the other, each in several manners, and goes on from the one that takes in most: by orders of
 * several measures of size, upwards and sideways, or with plates first, in patterns. When all is laid it starts again,
 * mostly with the first sheets as they were in the best round, with the orders blurred and with what came to lie on the
 * last sheet worth more, for it is hard to place. The round that needs least card counts.
 */
export function arrange(task: ArrangeTask): Arrangement {
  const { kinds, pieces } = task
  const cell = cellOf(task.begun[0]?.sheet ?? task.addSheet(0).sheet, task.gap)
  const filler = new Filler(kinds, task.gap, cell, task.shared, task.begun.length)
  const plates = new Plates(kinds, filler.edges, task.gap, task.shared)
  const asked = () => filler.asked + plates.asked
  const waiting = pieces.map((piece, i): Waiting => ({ piece, shape: kinds.shapeOf[i]! }))
  const share = pieces.length < LEAST_FOR_PATTERNS ? 0 : plates.shareOf(task.addSheet(task.begun.length).sheet, waiting)
  const worth = worthsOf(kinds)
  let best: Arrangement | undefined
  let least = Infinity
  let isPatterned = share >= MANY_PLATES
  for (let round = 0; round < MOST_ROUNDS; round++) {
    // Both ways are tried once where it is not plain which does better, then the one that has done.
    const byPattern: boolean = round === 1 && share >= FEW_PLATES && share < MOST_PLATES ? !isPatterned : isPatterned
    // Patterns hang more on chance, so two are made from the first sheet on.
    const kept = best && byPattern === isPatterned && round > (byPattern ? 1 : 0) ? keptOf(task, best, round) : []
    const found = new Round({ task, filler, plates, worth: byPattern ? worth.byPattern : worth.byOrder, round, byPattern }).run(kept)
    const cost = costOf(kinds, found, task.firstWhole)
    if (cost < least) {
      least = cost
      best = found
      isPatterned = byPattern
    }
    const last = new Set(found.plans.findLast(({ items }) => items.some(({ piece }) => piece))?.items.map(({ piece }) => piece))
    for (const shape of new Set(kinds.shapeOf.filter((_, i) => last.has(pieces[i])))) {
      worth.byOrder[shape]! *= WORTH_MORE
      worth.byPattern[shape]! *= WORTH_MORE
    }
    task.onProgress(Math.min(1, asked() / Math.max(1, task.steps)))
    if (asked() >= task.steps) break
  }
  return best!
}

/** By shape: what it is worth to have it on a sheet before the last. */
function worthsOf({ shapes, count }: Kinds): { readonly byOrder: number[]; readonly byPattern: number[] } {
  const pieces = shapes.slice(0, count)
  return {
    // What is large, and all the more what is long, is hard to place later.
    byOrder: pieces.map((shape) => shape.area ** 1.1 * longestSide(shape) ** 0.5),
    byPattern: pieces.map(({ area }) => area),
  }
}

/** The first sheets of an arrangement: all but two, all but three and so on, in turn. */
function keptOf({ begun }: ArrangeTask, { plans }: Arrangement, round: number): readonly Plan[] {
  const fresh = plans.slice(begun.length).filter(({ items }) => items.some(({ piece }) => piece)).length
  if (fresh < 3) return []
  return plans.slice(0, begun.length + fresh - 2 - ((round - 1) % (fresh - 1)))
}

interface RoundTask {
  readonly task: ArrangeTask
  readonly filler: Filler
  readonly plates: Plates
  /** By shape: what it is worth to have it on a sheet before the last. */
  readonly worth: readonly number[]
  readonly round: number
  /** Whether plates are laid first. */
  readonly byPattern: boolean
}

/** All sheets filled once. */
class Round {
  private readonly it: RoundTask
  /** Numbers of the pieces that have no place so far. */
  private left: number[] = []

  constructor(it: RoundTask) {
    this.it = it
  }

  /** @param kept sheets that stay as they are; with none, those that are begun are filled as well */
  run(kept: readonly Plan[]): Arrangement {
    const { task, filler } = this.it
    const there = new Set(kept.flatMap(({ items }) => items.map(({ piece }) => piece)))
    this.left = [...task.pieces.keys()].filter((i) => !there.has(task.pieces[i]))
    const patience = Math.max(LEAST_PATIENCE, Math.floor(MOST_REFUSALS / task.kinds.count))
    const copy = (plan: Plan): Plan => ({ ...plan, items: [...plan.items] })
    // Offcuts and begun sheets get every piece offered: it may be that one goes nowhere else.
    const plans = kept.length > 0 ? kept.map(copy) : task.begun.map((plan) => this.fill(() => copy(plan), Infinity))
    const refused: NestPiece[] = []
    while (this.left.length > 0) {
      const plan = this.fill(() => ({ index: plans.length, ...task.addSheet(plans.length) }), patience)
      plans.push(plan)
      if (plan.items.some(({ piece }) => piece !== undefined)) continue
      // Nothing went on a whole sheet: the largest piece never will, unless it goes without a label.
      const [largest] = this.left.toSorted((a, b) => this.area(b) - this.area(a) || a - b)
      const waiting = this.waiting(largest!)
      this.left = this.left.filter((i) => i !== largest)
      if (plans.some((one) => filler.force(one, waiting))) continue
      plans.pop()
      refused.push(waiting.piece)
    }
    return { plans, left: refused }
  }

  /** One sheet, filled in the manner that takes in most, or the last of all in the one that needs least of it. */
  private fill(open: () => Plan, patience: number): Plan {
    const { task, filler, plates, round, byPattern } = this.it
    const { left } = this
    const waiting = left.map((i) => this.waiting(i))
    const orders = Math.min(byPattern ? 1 : triesOf(task), Math.ceil(left.length / PIECES_A_TRY))
    const tries = orders + (byPattern ? PATTERNS : 0)
    let best: { readonly plan: Plan; readonly rest: number[] } | undefined
    let most = -Infinity
    for (let attempt = 0; ; attempt++) {
      // How little of the last sheet is needed hangs most on the manner, and it takes least time to fill.
      const isLast = best?.rest.length === 0
      if (attempt >= (isLast ? LAST_TRIES * tries : tries)) break
      if (round > 0 && attempt > 0 && filler.asked + plates.asked > MOST_STEPS * task.steps) break
      const plan = open()
      const { sizes, sideways, joining } = mannerOf(task, round, attempt, isLast)
      const byOrder = attempt % tries < (isLast && byPattern ? tries - 1 : orders)
      // Of the last sheet it has to be told which way card is to be saved.
      const setOut = byOrder ? undefined : plates.setOut(plan, waiting, task.random, isLast ? attempt % 2 > 0 : undefined)
      const classes = sizeClasses(task.kinds, task.pieces, left, sizes)
      filler.lay(plan, { sideways: setOut?.sideways ?? sideways, classes, patience, joining, first: setOut?.items ?? [] })
      const there = new Set(plan.items.map(({ piece }) => piece))
      const rest = left.filter((i) => !there.has(task.pieces[i]))
      const taken = rest.length === 0 ? ALL_TAKEN - usedShare(task.kinds, plan) : this.worthOf(left) - this.worthOf(rest)
      if (taken <= most) continue
      most = taken
      best = { plan, rest }
    }
    if (!best) return open()
    this.left = best.rest
    return best.plan
  }

  private waiting(piece: number): Waiting {
    const { pieces, kinds } = this.it.task
    return { piece: pieces[piece]!, shape: kinds.shapeOf[piece]! }
  }

  private worthOf(pieces: readonly number[]): number {
    return pieces.reduce((sum, i) => sum + this.it.worth[this.it.task.kinds.shapeOf[i]!]!, 0)
  }

  private area(piece: number): number {
    const { kinds } = this.it.task
    return kinds.shapes[kinds.shapeOf[piece]!]!.area
  }
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
    const { card } = shapes[shape]!.turned[turn]!
    right = Math.max(right, x + card.maxX)
    top = Math.max(top, y + card.maxY)
  }
  return Math.min(right / (area.maxX - area.minX), top / (area.maxY - area.minY))
}

/** On how many sheets the groups lie, all added up. */
export function spreadOf(plans: readonly Plan[]): number {
  return plans.reduce((sum, { items }) => sum + new Set(items.map(({ piece }) => piece?.group)).size, 0)
}

/** Cells fine enough for the gap, and not so fine that a large sheet has millions of them. */
function cellOf({ area }: NestSheet, gap: number): number {
  const long = Math.max(area.maxX - area.minX, area.maxY - area.minY)
  return Math.max(long / 1000, Math.min(0.5, Math.max(gap / 8, 0.25)))
}

/** Manners that a sheet is filled in. */
function triesOf({ pieces, tries }: ArrangeTask): number {
  return pieces.length > MANY ? LEAST_TRIES : tries
}

/** Many pieces even out by themselves, and of few the order matters little. */
const MANY = 600
const PIECES_A_TRY = 4

/** Manners for many pieces; and of the last sheet, times those of the others. */
const LEAST_TRIES = 2
const LAST_TRIES = 3

/** How far beyond the steps a further round may go. */
const MOST_STEPS = 1.5
const MOST_ROUNDS = 400

/** Where less than this share of the area is plates, patterns are not tried; where it is more than that, orders are not. */
const FEW_PLATES = 0.3
const MOST_PLATES = 0.8

/** Fewer pieces, as after a small change, are not worth a pattern. */
const LEAST_FOR_PATTERNS = 12

/** Share of plates from which on patterns come first. */
const MANY_PLATES = 0.5

/** Patterns that a sheet is filled by in a round that goes by patterns. */
const PATTERNS = 2

/** More than the worth of any pieces. */
const ALL_TAKEN = 1e12

/** By what factor a piece on the last sheet is worth more in the next round. */
const WORTH_MORE = 1.1

const LEFT_OVER = 1000

/** What it costs to have a group on one sheet more, in sheets. */
const SPREAD = 0.001

/** How many shapes of one size a sheet may refuse before smaller ones have their turn; of few shapes any number. */
const LEAST_PATIENCE = 8
const MOST_REFUSALS = 40_000
