import { admit, firstWholeSheet, sheetAt, tooLarge, type Admitted } from '../admit'
import type { Effort, NestPiece, NestRequest, NestResult, NestSheet, NestStrategy, Placement, Unplaced } from '../nest'
import { arrange, costOf, usedShare } from '../search/arrange'
import { Kinds } from '../search/kinds'
import { Pairs } from '../search/pairs'
import { fixedItem, toPlacement, type Item, type Plan } from '../search/plan'
import { Random } from '../search/random'
import { reduceSheets } from '../search/reduce'
import { prepareShape, type Shape } from '../search/shape'
import { joinedAmong } from '../neighbours'
import { placedPart, TOLERANCE, verifyLayout } from '../verify'
import { packBoxes } from './box'

/**
 * Nests true outlines: sheets are filled from the bottom by size, then as many as possible are cleared by pressing
 * their pieces into the others. Effort is counted in questions about overlap, so it ends at the same step anywhere.
 */
export const nestShapes: NestStrategy = (request) => {
  const admitted = admit(request)
  const progress = progressOf(request, admitted.pieces.length)
  const task = new SheetTask(request, admitted)
  const unplaced = task.fill((share) => progress(share * FILL_SHARE))
  task.reduce((share) => progress(FILL_SHARE + share * (1 - FILL_SHARE)))
  progress(1)
  const result = task.result([...admitted.unplaced, ...unplaced])
  // A raster of cells cannot see that boxes just fit side by side.
  const { onProgress: _, ...quietly } = request
  const boxes = packBoxes(quietly)
  return isBetter(boxes, result) ? boxes : result
}

function isBetter(a: NestResult, b: NestResult): boolean {
  if (a.unplaced.length !== b.unplaced.length) return a.unplaced.length < b.unplaced.length
  return a.sheets < b.sheets
}

class SheetTask {
  private readonly request: NestRequest
  private readonly pieces: readonly NestPiece[]
  private readonly kinds: Kinds
  private readonly shapes: readonly Shape[]
  private readonly pairs: Pairs
  private readonly random: Random
  /** The shape of every used part, by its loop. */
  private readonly usedShapes = new Map<unknown, number>()
  private plans: Plan[] = []

  constructor(request: NestRequest, { pieces, kept }: Admitted) {
    this.request = request
    this.pieces = pieces
    const all = [...pieces, ...kept.map(({ piece }) => piece)]
    this.kinds = new Kinds(all, request.gap)
    this.shapes = this.kinds.shapes
    this.random = new Random(request.seed ?? 1)
    this.pairs = new Pairs(this.shapes, RESOLUTION)
    const begun = kept.reduce((most, { placement }) => Math.max(most, placement.sheet + 1), firstWholeSheet(request))
    for (let index = 0; index < begun; index++) this.plans.push({ index, ...this.freshSheet(index) })
    kept.forEach(({ piece, placement }, i) => {
      const plan = this.plans[placement.sheet]!
      const shape = this.kinds.shapeOf[pieces.length + i]!
      plan.items.push(fixedItem(piece, shape, this.shapes[shape]!, placement, plan.sheet))
    })
  }

  /** Fills sheets; tells of the pieces that do not even go on an empty one. */
  fill(onProgress: (share: number) => void): Unplaced[] {
    const { request, kinds, pieces } = this
    const { plans, left } = arrange({
      kinds,
      pieces,
      begun: this.plans,
      addSheet: (index) => this.freshSheet(index),
      gap: request.gap,
      shared: request.sharedCuts === true,
      firstWhole: firstWholeSheet(request),
      random: this.random,
      tries: STEPS[request.effort ?? 'normal'].tries,
      steps: STEPS[request.effort ?? 'normal'].filling * Math.min(pieces.length, MOST_FILLED_AGAIN),
      onProgress,
    })
    this.plans = plans
    return left.map((piece) => tooLarge(piece, request.sheet))
  }

  reduce(onProgress: (share: number) => void): void {
    const { request } = this
    const { perPiece, most } = STEPS[request.effort ?? 'normal']
    const last = this.plans.findLast(({ items }) => items.some(({ piece }) => piece))
    // Preparing the pairs of a sheet costs more than many fillings: it has to look as if a sheet could be saved.
    if (request.effort !== 'thorough' && last && usedShare(this.kinds, last) > CLEARABLE) return
    if (request.sharedCuts) for (const plan of this.plans) this.markJoined(plan)
    const before = this.plans.map((plan): Plan => ({ ...plan, items: [...plan.items] }))
    const after = reduceSheets(this.plans, {
      shapes: this.shapes,
      pairs: this.pairs,
      random: this.random,
      gap: request.gap,
      steps: Math.min(most, perPiece * this.pieces.length),
      firstWhole: firstWholeSheet(request),
      accept: (plan, items) => this.isSound(plan, items),
      onProgress,
    })
    const cost = (plans: Plan[]) => costOf(this.kinds, { plans, left: [] }, firstWholeSheet(request))
    // Of what lay edge to edge some may be gone, and the rest be too near each other without it.
    const isRight = after.every((plan) => this.isSound(plan, plan.items))
    this.plans = isRight && cost(after) < cost(before) ? after : before
  }

  result(unplaced: readonly Unplaced[]): NestResult {
    const places = new Map<string, Placement>(this.request.keep?.map((placement) => [placement.id, placement]))
    const first = firstWholeSheet(this.request)
    let next = first
    for (const plan of this.plans) {
      // Cleared sheets leave no number behind; offcuts and sheets with kept pieces have theirs.
      const index = plan.index < first || plan.items.some(({ fixed, piece }) => fixed && piece) ? plan.index : next
      next = Math.max(next, index + 1)
      for (const item of plan.items) {
        if (!item.piece || item.fixed) continue
        places.set(item.piece.id, toPlacement(item.piece.id, item, this.shapes[item.shape]!, { ...plan, index }))
      }
    }
    const refused = new Map(unplaced.map((entry) => [entry.id, entry]))
    const { pieces } = this.request
    const placements = pieces.flatMap(({ id }) => (refused.has(id) ? [] : (places.get(id) ?? [])))
    return {
      placements,
      unplaced: pieces.flatMap(({ id }) => refused.get(id) ?? []),
      sheets: placements.reduce((most, { sheet }) => Math.max(most, sheet + 1), 0),
    }
  }

  private freshSheet(index: number): { sheet: NestSheet; items: Item[] } {
    const sheet = sheetAt(this.request, index)
    return { sheet, items: this.usedItems(sheet) }
  }

  /** Used parts lie on a sheet like pieces that cannot be moved. */
  private usedItems(sheet: NestSheet): Item[] {
    return (sheet.used ?? []).map((loop) => {
      let shape = this.usedShapes.get(loop)
      if (shape === undefined) {
        const options = { gap: this.request.gap, slack: 0, growth: 0, leastOpening: Infinity }
        shape = this.kinds.add(prepareShape(loop, [], [0], options))
        this.usedShapes.set(loop, shape)
      }
      return fixedItem(undefined, shape, this.shapes[shape]!, { x: 0, y: 0, turn: 0 }, sheet)
    })
  }

  private markJoined(plan: Plan): void {
    const parts = plan.items.map(({ piece, ...item }) =>
      piece ? placedPart(piece, toPlacement(piece.id, { piece, ...item }, this.shapes[item.shape]!, plan)) : undefined,
    )
    const rules = { gap: this.request.gap, tolerance: TOLERANCE, shared: true }
    const joined = new Set(joinedAmong(parts.filter((part) => part !== undefined), rules))
    plan.items = plan.items.map((item, i) => (parts[i] && joined.has(parts[i]) ? { ...item, joined: true } : item))
  }

  private isSound(plan: Plan, items: readonly Item[]): boolean {
    const placed = items.filter((item): item is Item & { piece: NestPiece } => item.piece !== undefined)
    const placements = placed.map((item) =>
      toPlacement(item.piece.id, item, this.shapes[item.shape]!, { ...plan, index: 0 }),
    )
    const request = { pieces: placed.map(({ piece }) => piece), sheet: plan.sheet, gap: this.request.gap, sharedCuts: this.request.sharedCuts === true }
    return verifyLayout(request, { placements, unplaced: [], sheets: 1 }).length === 0
  }
}

function progressOf({ onProgress }: NestRequest, total: number): (share: number) => void {
  let told = -1
  return (share) => {
    const done = Math.floor(share * total)
    if (done > told) onProgress?.(done, total)
    told = Math.max(told, done)
  }
}

/**
 * Manners that a sheet is filled in; for each piece: positions that filling may look at, questions about overlap that may
 * be asked; and those in all.
 */
const STEPS: Record<Effort, { readonly tries: number; readonly filling: number; readonly perPiece: number; readonly most: number }> = {
  quick: { tries: 2, filling: 0, perPiece: 0, most: 0 },
  normal: { tries: 3, filling: 125_000, perPiece: 8000, most: 2.4e7 },
  thorough: { tries: 12, filling: 4_000_000, perPiece: 120_000, most: 3.6e8 },
}

/** Share of the last sheet that may be in use for its clearing to be tried short of `thorough`. */
const CLEARABLE = 0.05

/** Of more pieces than this each gets less: they even out by themselves. */
const MOST_FILLED_AGAIN = 400

/** Steps of a pair's table: coarse, for most pairs of pieces meet but a few times. */
const RESOLUTION = 32

/** Share of the progress shown that filling takes. */
const FILL_SHARE = 0.3
