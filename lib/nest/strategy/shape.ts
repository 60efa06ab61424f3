import { admit, firstWholeSheet, sheetAt, tooLarge, type Admitted } from '../admit'
import type { Effort, NestPiece, NestRequest, NestResult, NestStrategy, Placement, Unplaced } from '../nest'
import { Filler, type Waiting } from '../search/fill'
import { kindsOf } from '../search/kinds'
import { Pairs } from '../search/pairs'
import { fixedItem, toPlacement, type Item, type Plan } from '../search/plan'
import { Random } from '../search/random'
import { reduceSheets } from '../search/reduce'
import { prepareShape, type Shape } from '../search/shape'
import { verifyLayout } from '../verify'
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
  private readonly shapes: Shape[]
  private readonly shapeOf: readonly number[]
  private readonly pairs: Pairs
  /** The shape of every used part, by its loop. */
  private readonly usedShapes = new Map<unknown, number>()
  private plans: Plan[] = []

  constructor(request: NestRequest, { pieces, kept }: Admitted) {
    this.request = request
    this.pieces = pieces
    const all = [...pieces, ...kept.map(({ piece }) => piece)]
    const { shapes, shapeOf } = kindsOf(all, request.gap)
    this.shapes = [...shapes]
    this.shapeOf = shapeOf
    this.pairs = new Pairs(this.shapes, RESOLUTION)
    const begun = kept.reduce((most, { placement }) => Math.max(most, placement.sheet + 1), firstWholeSheet(request))
    for (let index = 0; index < begun; index++) this.addPlan()
    kept.forEach(({ piece, placement }, i) => {
      const plan = this.plans[placement.sheet]!
      const shape = shapeOf[pieces.length + i]!
      plan.items.push(fixedItem(piece, shape, this.shapes[shape]!, placement, plan.sheet))
    })
  }

  /** Fills one sheet after the other; tells of the pieces that do not even go on an empty one. */
  fill(onProgress: (share: number) => void): Unplaced[] {
    const { request } = this
    const filler = new Filler(this.shapes, request.gap, cellOf(request))
    const unplaced: Unplaced[] = []
    const classes = this.sizeClasses()
    // Offcuts and begun sheets get every piece offered: it may be that one goes nowhere else.
    for (const plan of this.plans) filler.fill(plan, classes, Infinity)
    for (;;) {
      const waiting = classes.reduce((sum, list) => sum + list.length, 0)
      if (waiting === 0) return unplaced
      onProgress(1 - waiting / this.pieces.length)
      const plan = this.addPlan()
      filler.fill(plan, classes, PATIENCE)
      if (plan.items.some(({ piece }) => piece !== undefined)) continue
      // Nothing went on a whole sheet: the largest piece never will.
      this.plans.pop()
      const largest = classes.find((list) => list.length > 0)!.shift()!
      unplaced.push(tooLarge(largest.piece, request.sheet))
    }
  }

  reduce(onProgress: (share: number) => void): void {
    const { request } = this
    const { perPiece, most } = STEPS[request.effort ?? 'normal']
    this.plans = reduceSheets(this.plans, {
      shapes: this.shapes,
      pairs: this.pairs,
      random: new Random(request.seed ?? 1),
      gap: request.gap,
      steps: Math.min(most, perPiece * this.pieces.length),
      firstWhole: firstWholeSheet(request),
      accept: (plan, items) => this.isSound(plan, items),
      onProgress,
    })
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

  private addPlan(): Plan {
    const index = this.plans.length
    const sheet = sheetAt(this.request, index)
    const plan: Plan = { index, sheet, items: this.usedItems(sheet) }
    this.plans.push(plan)
    return plan
  }

  /** Used parts lie on a sheet like pieces that cannot be moved. */
  private usedItems(sheet: NestRequest['sheet']): Item[] {
    return (sheet.used ?? []).map((loop) => {
      let shape = this.usedShapes.get(loop)
      if (shape === undefined) {
        const options = { gap: this.request.gap, slack: 0, growth: 0, leastOpening: Infinity }
        shape = this.shapes.push(prepareShape(loop, [], [0], options)) - 1
        this.usedShapes.set(loop, shape)
      }
      return fixedItem(undefined, shape, this.shapes[shape]!, { x: 0, y: 0, turn: 0 }, sheet)
    })
  }

  /** Largest first; in a class by group, so that what is glued together is printed together. */
  private sizeClasses(): Waiting[][] {
    const groups = new Map<string, number>()
    for (const { group } of this.pieces) if (!groups.has(group)) groups.set(group, groups.size)
    const sizes = this.shapes.map(sizeOf)
    const size = (at: number) => sizes[this.shapeOf[at]!]!
    const level = this.pieces.map((_, at) => Math.round(Math.log(size(at)) / Math.log(SIZE_CLASS)))
    const group = this.pieces.map((piece) => groups.get(piece.group)!)
    const order = [...this.pieces.keys()].toSorted(
      (a, b) => level[b]! - level[a]! || group[a]! - group[b]! || size(b) - size(a) || a - b,
    )
    const classes = new Map<number, Waiting[]>()
    for (const at of order) {
      const waiting = { piece: this.pieces[at]!, shape: this.shapeOf[at]! }
      const list = classes.get(level[at]!)
      if (list) list.push(waiting)
      else classes.set(level[at]!, [waiting])
    }
    return [...classes.values()]
  }

  private isSound(plan: Plan, items: readonly Item[]): boolean {
    const placed = items.filter((item): item is Item & { piece: NestPiece } => item.piece !== undefined)
    const placements = placed.map((item) =>
      toPlacement(item.piece.id, item, this.shapes[item.shape]!, { ...plan, index: 0 }),
    )
    const request = { pieces: placed.map(({ piece }) => piece), sheet: plan.sheet, gap: this.request.gap }
    return verifyLayout(request, { placements, unplaced: [], sheets: 1 }).length === 0
  }
}

/** Between its area and that of the box it takes: a slender arch is as hard to place as its span. */
function sizeOf({ area, turned }: Shape): number {
  const boxes = turned.map(({ box }) => (box.maxX - box.minX) * (box.maxY - box.minY))
  return Math.sqrt(area * Math.min(...boxes))
}

function progressOf({ onProgress }: NestRequest, total: number): (share: number) => void {
  let told = -1
  return (share) => {
    const done = Math.floor(share * total)
    if (done > told) onProgress?.(done, total)
    told = Math.max(told, done)
  }
}

/** Cells fine enough for the gap, and not so fine that a large sheet has millions of them. */
function cellOf({ sheet: { area }, gap }: NestRequest): number {
  const long = Math.max(area.maxX - area.minX, area.maxY - area.minY)
  return Math.max(long / 1000, Math.min(0.5, Math.max(gap / 4, 0.25)))
}

/** Questions about overlap that may be asked, for each piece and in all. */
const STEPS: Record<Effort, { readonly perPiece: number; readonly most: number }> = {
  quick: { perPiece: 0, most: 0 },
  normal: { perPiece: 8000, most: 2.4e7 },
  thorough: { perPiece: 120_000, most: 3.6e8 },
}

/** Steps of a pair's table: coarse, for most pairs of pieces meet but a few times. */
const RESOLUTION = 32

/** Share of the progress shown that filling takes. */
const FILL_SHARE = 0.3

/** How many shapes of one size a sheet may refuse before smaller ones have their turn. */
const PATIENCE = 8

/** Sizes of one class differ by no more than this factor. */
const SIZE_CLASS = 1.4
