import type { Loop } from '../../shape/point'
import { placeLoop } from '../turn'

/**
 * How deep two shapes go into each other, for any offset of the second from the first: the depth of the offset inside
 * their no-fit polygon, which is the union of the Minkowski sums of the convex parts of the first with those of the
 * second turned inside out.
 *
 * A table over the no-fit polygon's box answers most questions at once. Between its nodes near the border, where the
 * table cannot tell, the convex sums are asked: so zero is told exactly where the shapes do not overlap.
 */
export class Pair {
  private readonly minX: number
  private readonly minY: number
  private readonly maxX: number
  private readonly maxY: number
  /** Of every edge of every sum: outward normal, and distance from the origin. */
  private readonly edges: Float64Array
  private readonly starts: Int32Array
  private readonly boxes: Float64Array
  private readonly parts: number
  private readonly table: Float32Array
  /** By cell near the border: the sums that reach into it, from `cellStarts` on in `cellParts`. */
  private readonly cellStarts: Int32Array
  private readonly cellParts: Uint16Array
  private readonly columns: number
  private readonly rows: number
  private readonly step: number
  private readonly perStep: number

  /** @param resolution steps of the table along the longer side of its box */
  constructor(first: readonly Loop[], second: readonly Loop[], turn: number, resolution: number) {
    const turned = second.map((loop) => placeLoop(loop, turn))
    const sums = first.flatMap((a) => turned.map((b) => sumOf(a, b)))
    this.parts = sums.length
    this.starts = Int32Array.from([0, ...sums.map(({ edges }) => edges.length)])
    for (let i = 1; i < this.starts.length; i++) this.starts[i]! += this.starts[i - 1]!
    this.edges = Float64Array.from(sums.flatMap(({ edges }) => edges))
    this.boxes = Float64Array.from(sums.flatMap(({ box }) => box))
    this.minX = Math.min(...sums.map(({ box }) => box[0]))
    this.minY = Math.min(...sums.map(({ box }) => box[1]))
    this.maxX = Math.max(...sums.map(({ box }) => box[2]))
    this.maxY = Math.max(...sums.map(({ box }) => box[3]))
    this.step = Math.max(this.maxX - this.minX, this.maxY - this.minY) / resolution
    this.perStep = 1 / this.step
    this.columns = Math.floor((this.maxX - this.minX) * this.perStep) + 2
    this.rows = Math.floor((this.maxY - this.minY) * this.perStep) + 2
    const simple = this.parts === 1
    this.table = simple ? new Float32Array(0) : this.tabulate()
    const lists = simple ? [] : this.listByCell()
    this.cellStarts = new Int32Array(lists.length + 1)
    lists.forEach((list, cell) => (this.cellStarts[cell + 1] = this.cellStarts[cell]! + (list?.length ?? 0)))
    this.cellParts = Uint16Array.from(lists.flatMap((list) => list ?? []))
  }

  /** 0 where the shapes do not overlap, else about the least distance that parts them. */
  depth(dx: number, dy: number): number {
    if (dx <= this.minX || dx >= this.maxX || dy <= this.minY || dy >= this.maxY) return 0
    if (this.parts === 1) {
      const depth = this.sumDepth(0, dx, dy, 0)
      return depth > 0 ? depth : 0
    }
    const u = (dx - this.minX) * this.perStep
    const v = (dy - this.minY) * this.perStep
    const column = u | 0
    const row = v | 0
    const s = u - column
    const t = v - row
    const { table, columns } = this
    const at = row * columns + column
    const low = table[at]! + s * (table[at + 1]! - table[at]!)
    const high = table[at + columns]! + s * (table[at + columns + 1]! - table[at + columns]!)
    const depth = low + t * (high - low)
    if (depth >= SURE_INSIDE * this.step) return depth
    if (depth <= -SURE_OUTSIDE * this.step) return 0
    const exact = this.deepestSum(at, dx, dy)
    return exact > 0 ? (exact > depth ? exact : depth) : 0
  }

  /** Depth in the sum that holds the offset deepest; 0 outside all. */
  private deepestSum(cell: number, dx: number, dy: number): number {
    const { cellParts } = this
    const end = this.cellStarts[cell + 1]!
    let deepest = 0
    for (let i = this.cellStarts[cell]!; i < end; i++) {
      const depth = this.sumDepth(cellParts[i]!, dx, dy, deepest)
      if (depth > deepest) deepest = depth
    }
    return deepest
  }

  /** Least distance inward from an edge; given up once it is no more than `enough`. */
  private sumDepth(part: number, dx: number, dy: number, enough: number): number {
    const { edges } = this
    const end = this.starts[part + 1]!
    let depth = Infinity
    for (let i = this.starts[part]!; i < end; i += 3) {
      const inward = edges[i + 2]! - edges[i]! * dx - edges[i + 1]! * dy
      if (inward < depth) {
        if (inward <= enough) return inward
        depth = inward
      }
    }
    return depth
  }

  private tabulate(): Float32Array {
    const { columns, rows, step } = this
    const table = new Float32Array(columns * rows).fill(-Infinity)
    for (let part = 0; part < this.parts; part++) {
      // A little further than the sum itself: nodes just outside tell how far.
      this.eachNear(part, 2, (at, column, row) => {
        const depth = this.sumDepth(part, this.minX + column * step, this.minY + row * step, table[at]!)
        if (depth > table[at]!) table[at] = depth
      })
    }
    // No sum that was passed over for a node comes nearer to it than this.
    for (let i = 0; i < table.length; i++) if (table[i]! < -2 * step) table[i] = -2 * step
    deepen(table, columns, rows, step)
    return table
  }

  /** The sums that reach into each cell where the table cannot tell. */
  private listByCell(): (number[] | undefined)[] {
    const { columns, rows, step, table } = this
    const lists: (number[] | undefined)[] = Array.from({ length: columns * rows })
    for (let part = 0; part < this.parts; part++) {
      this.eachNear(part, 1, (at, column, row) => {
        if (column === columns - 1 || row === rows - 1) return
        const high = Math.max(table[at]!, table[at + 1]!, table[at + columns]!, table[at + columns + 1]!)
        const low = Math.min(table[at]!, table[at + 1]!, table[at + columns]!, table[at + columns + 1]!)
        if (high <= -SURE_OUTSIDE * step || low >= SURE_INSIDE * step) return
        const x = this.minX + (column + 0.5) * step
        const y = this.minY + (row + 0.5) * step
        if (this.sumDepth(part, x, y, -Infinity) > -SURE_OUTSIDE * step) (lists[at] ??= []).push(part)
      })
    }
    return lists
  }

  /** Nodes within a part's box and some steps around. */
  private eachNear(part: number, around: number, visit: (at: number, column: number, row: number) => void): void {
    const { boxes, columns, rows, perStep } = this
    const minX = boxes[part * 4]!
    const minY = boxes[part * 4 + 1]!
    const maxX = boxes[part * 4 + 2]!
    const maxY = boxes[part * 4 + 3]!
    const toColumn = Math.min(columns - 1, Math.ceil((maxX - this.minX) * perStep) + around)
    const toRow = Math.min(rows - 1, Math.ceil((maxY - this.minY) * perStep) + around)
    for (let row = Math.max(0, Math.floor((minY - this.minY) * perStep) - around); row <= toRow; row++) {
      const fromColumn = Math.max(0, Math.floor((minX - this.minX) * perStep) - around)
      for (let column = fromColumn; column <= toColumn; column++) visit(row * columns + column, column, row)
    }
  }
}

type Box = [minX: number, minY: number, maxX: number, maxY: number]

/**
 * Sets inner nodes to their distance from the border of the whole union rather than of one sum, by fast sweeping
 * (Zhao, "A fast sweeping method for eikonal equations", Math. Comp. 74, 2005). Nodes beside the border stay.
 */
function deepen(table: Float32Array, columns: number, rows: number, step: number): void {
  const inner = new Uint8Array(table.length)
  for (let row = 1; row < rows - 1; row++) {
    for (let column = 1; column < columns - 1; column++) {
      const at = row * columns + column
      const least = Math.min(
        table[at]!, table[at - 1]!, table[at + 1]!, table[at - columns]!, table[at + columns]!,
        table[at - columns - 1]!, table[at - columns + 1]!, table[at + columns - 1]!, table[at + columns + 1]!,
      )
      if (least > 0) inner[at] = 1
    }
  }
  for (let i = 0; i < table.length; i++) if (inner[i]) table[i] = Infinity
  for (let sweep = 0; sweep < 4; sweep++) {
    const right = sweep % 2 === 0
    const up = sweep < 2
    for (let i = 1; i < rows - 1; i++) {
      const row = up ? i : rows - 1 - i
      for (let j = 1; j < columns - 1; j++) {
        const at = row * columns + (right ? j : columns - 1 - j)
        if (!inner[at]) continue
        const a = Math.min(Math.max(table[at - 1]!, 0), Math.max(table[at + 1]!, 0))
        const b = Math.min(Math.max(table[at - columns]!, 0), Math.max(table[at + columns]!, 0))
        if (a === Infinity && b === Infinity) continue
        const apart = Math.abs(a - b)
        const found = apart >= step ? Math.min(a, b) + step : (a + b + Math.sqrt(2 * step * step - apart * apart)) / 2
        if (found < table[at]!) table[at] = found
      }
    }
  }
}

/**
 * Minkowski sum of one convex loop with another turned inside out, as its edge lines: those of both, each as far out
 * as both loops together reach that way.
 */
function sumOf(a: Loop, b: Loop): { edges: number[]; box: Box } {
  const edges: number[] = []
  const add = (nx: number, ny: number) => {
    for (let i = 0; i < edges.length; i += 3) {
      if (Math.abs(edges[i]! - nx) < SAME_NORMAL && Math.abs(edges[i + 1]! - ny) < SAME_NORMAL) return
    }
    edges.push(nx, ny, support(a, nx, ny) + support(b, -nx, -ny))
  }
  for (const [nx, ny] of normals(a)) add(nx, ny)
  for (const [nx, ny] of normals(b)) add(-nx, -ny)
  const box: Box = [
    -support(a, -1, 0) - support(b, 1, 0),
    -support(a, 0, -1) - support(b, 0, 1),
    support(a, 1, 0) + support(b, -1, 0),
    support(a, 0, 1) + support(b, 0, -1),
  ]
  return { edges, box }
}

function normals(loop: Loop): [number, number][] {
  return loop.map((p, i) => {
    const q = loop[(i + 1) % loop.length]!
    const length = Math.hypot(q[0] - p[0], q[1] - p[1])
    return [(q[1] - p[1]) / length, (p[0] - q[0]) / length]
  })
}

function support(loop: Loop, nx: number, ny: number): number {
  let most = -Infinity
  for (const [x, y] of loop) {
    const along = nx * x + ny * y
    if (along > most) most = along
  }
  return most
}

/**
 * Depth changes by no more than the way gone, and no point of a cell is on average further than 0.708 of a step from
 * the nodes it is reckoned from: beyond that the table's sign is sure. Inside, sweeping may add a little.
 */
const SURE_OUTSIDE = 0.71
const SURE_INSIDE = 1.5

const SAME_NORMAL = 1e-12
