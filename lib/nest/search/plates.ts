import { addTo } from '../../shape/lists'
import type { Bounds, Loop } from '../../shape/point'
import type { NestPiece, NestSheet } from '../nest'
import { boundsOf, signedArea } from '../turn'
import { Blocks, type PlateBlock, type SetOutItem } from './blocks'
import type { Edges } from './join'
import type { Kinds } from './kinds'
import { Patterns } from './pattern'
import type { Item, Plan, Waiting } from './plan'
import type { Random } from './random'

/** Pieces that are laid on a sheet before all others. */
export interface SetOut {
  /** Filled from the left instead of from the bottom. */
  readonly sideways: boolean
  readonly items: readonly SetOutItem[]
}

/**
 * Plates are pieces that nearly fill the box around them. They are set out in blocks of rows and columns, edge to edge
 * where they may be, and the blocks in a pattern of boxes: so a hundred patterns take no longer than filling one sheet.
 */
export class Plates {
  /** Steps taken, in positions looked at. */
  asked = 0
  private readonly kinds: Kinds
  private readonly blocks: Blocks
  private readonly outlines = new Map<NestPiece, string>()

  /** @param shared whether pieces may lie edge to edge */
  constructor(kinds: Kinds, edges: Edges, gap: number, shared: boolean) {
    this.kinds = kinds
    this.blocks = new Blocks(kinds, edges, gap, shared)
  }

  /** How much of some pieces are plates that fill their boxes well, by the area within their outlines. */
  shareOf(sheet: NestSheet, waiting: readonly Waiting[]): number {
    let [plates, all] = [0, 0]
    for (const [outline, list] of this.byOutline(waiting)) {
      const area = list.length * this.kinds.shapes[list[0]!.shape]!.area
      const isFilled = (block: PlateBlock) => block.area >= WELL_FILLED * block.width * block.height
      all += area
      if (this.blocks.of(outline, list, sheet).some(isFilled)) plates += area
    }
    return all > 0 ? plates / all : 0
  }

  /**
   * Sets plates out on a sheet and around what lies there; undefined where there are none.
   * @param sideways which way to fill it; either where that is not told
   */
  setOut(plan: Plan, waiting: readonly Waiting[], random: Random, sideways?: boolean): SetOut | undefined {
    const { sheet: { area }, items } = plan
    const plates: Waiting[][] = []
    const blocks: PlateBlock[] = []
    for (const [outline, list] of this.byOutline(waiting)) {
      const all = this.blocks.of(outline, list, plan.sheet)
      if (all.length === 0) continue
      for (const block of all) if (block.count <= list.length) blocks.push({ ...block, plate: plates.length })
      plates.push(list)
    }
    if (plates.length === 0) return undefined
    const patterns = new Patterns({
      blocks,
      counts: plates.map(({ length }) => length),
      width: area.maxX - area.minX,
      height: area.maxY - area.minY,
      taken: items.map((item) => this.boxOf(item)),
      gap: this.blocks.gap,
      random,
    })
    const pattern = patterns.best(MOST_WEIGHED, sideways)
    this.asked += patterns.asked
    const laid = pattern.laid.flatMap(({ block, x, y }) => this.blocks.itemsOf(block, plates[block.plate]!.splice(0, block.count), x, y, plan))
    return { sideways: pattern.sideways, items: laid }
  }

  /** Pieces that differ in name, label, and where their origin lies. */
  private byOutline(waiting: readonly Waiting[]): Map<string, Waiting[]> {
    const found = new Map<string, Waiting[]>()
    for (const one of waiting) {
      let outline = this.outlines.get(one.piece)
      if (outline === undefined) this.outlines.set(one.piece, (outline = outlineText(one.piece)))
      addTo(found, outline, one)
    }
    return found
  }

  private boxOf({ shape, turn, x, y }: Item): Bounds {
    const { box } = this.kinds.shapes[shape]!.turned[turn]!
    return { minX: x + box.minX, minY: y + box.minY, maxX: x + box.maxX, maxY: y + box.maxY }
  }
}

/** The same for pieces that look alike wherever their origin is, such as those for port and starboard. */
function outlineText({ outline, openings, turns }: NestPiece): string {
  const { minX, minY } = boundsOf(outline)
  const text = (loop: Loop): string => {
    const points = loop.map(([x, y]) => `${Math.round((x - minX) * 1e4)},${Math.round((y - minY) * 1e4)}`)
    if (signedArea(loop) < 0) points.reverse()
    const first = points.reduce((least, point, i) => (point < points[least]! ? i : least), 0)
    return [...points.slice(first), ...points.slice(0, first)].join(' ')
  }
  return [text(outline), ...openings.map(text).toSorted(), turns.join(' ')].join('|')
}

/** Share of its box that makes a plate worth a pattern. */
const WELL_FILLED = 0.9

/** Blocks that may be weighed for one sheet: takes about as long as laying fifty pieces by the raster. */
const MOST_WEIGHED = 300_000
