import type { Region } from '../../shape/point'

/** The cells that a piece covers, row by row, as spans from one column to another, both counted in. */
export interface Mask {
  readonly firstRow: number
  readonly rows: number
  /** By row: where its spans begin in `spans`; one entry more than there are rows. */
  readonly starts: Int32Array
  /** First and last column of every span. */
  readonly spans: Int32Array
  /** Rows, the one with the longest span first: it meets something soonest. */
  readonly order: Int32Array
}

/**
 * Every cell that the region touches. Cells are squares of side 1 from whole numbers on.
 * @param region in cells
 */
export function rasterize(region: Region): Mask {
  const ys = region.flatMap((loop) => loop.map(([, y]) => y))
  const xs = region.flatMap((loop) => loop.map(([x]) => x))
  const firstRow = firstCell(Math.min(...ys))
  const firstColumn = firstCell(Math.min(...xs))
  const rows = lastCell(Math.max(...ys)) - firstRow + 1
  const columns = lastCell(Math.max(...xs)) - firstColumn + 1
  const cells = new Uint8Array(rows * columns)
  const crossings: number[][] = Array.from({ length: rows }, () => [])
  for (const loop of region) {
    for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
      const [ax, ay] = loop[j]!
      const [bx, by] = loop[i]!
      coverEdge(cells, columns, ax - firstColumn, ay - firstRow, bx - firstColumn, by - firstRow)
      crossRows(crossings, ax - firstColumn, ay - firstRow, bx - firstColumn, by - firstRow)
    }
  }
  crossings.forEach((list, row) => {
    list.sort((a, b) => a - b)
    for (let i = 0; i + 1 < list.length; i += 2) {
      const to = Math.min(columns - 1, lastCell(list[i + 1]!))
      for (let column = Math.max(0, firstCell(list[i]!)); column <= to; column++) cells[row * columns + column] = 1
    }
  })
  return toSpans(cells, rows, columns, firstRow, firstColumn)
}

/** A border that lies on a cell's edge does not reach into the next cell. */
function firstCell(at: number): number {
  return Math.floor(at + SLIVER)
}

function lastCell(at: number): number {
  return Math.ceil(at - SLIVER) - 1
}

/** Cells that an edge runs through. */
function coverEdge(cells: Uint8Array, columns: number, ax: number, ay: number, bx: number, by: number): void {
  const rows = cells.length / columns
  if (ay > by) return coverEdge(cells, columns, bx, by, ax, ay)
  const slope = by > ay ? (bx - ax) / (by - ay) : 0
  const last = Math.min(rows - 1, lastCell(by))
  for (let row = firstCell(ay); row <= last; row++) {
    const x0 = by > ay ? ax + slope * (Math.max(ay, row) - ay) : ax
    const x1 = by > ay ? ax + slope * (Math.min(by, row + 1) - ay) : bx
    const from = Math.max(0, firstCell(Math.min(x0, x1)))
    const to = Math.min(columns - 1, lastCell(Math.max(x0, x1)))
    for (let column = from; column <= to; column++) cells[row * columns + column] = 1
  }
}

/** Where an edge crosses the middles of the rows. */
function crossRows(crossings: number[][], ax: number, ay: number, bx: number, by: number): void {
  const low = Math.min(ay, by)
  const high = Math.max(ay, by)
  for (let row = Math.max(0, Math.ceil(low - 0.5)); row + 0.5 < high && row < crossings.length; row++) {
    crossings[row]!.push(ax + ((row + 0.5 - ay) / (by - ay)) * (bx - ax))
  }
}

function toSpans(cells: Uint8Array, rows: number, columns: number, firstRow: number, firstColumn: number): Mask {
  const spans: number[] = []
  const starts = new Int32Array(rows + 1)
  const longest = new Int32Array(rows)
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      if (!cells[row * columns + column]) continue
      const from = column
      while (column + 1 < columns && cells[row * columns + column + 1]) column++
      spans.push(from + firstColumn, column + firstColumn)
      longest[row] = Math.max(longest[row]!, column - from + 1)
    }
    starts[row + 1] = spans.length
  }
  const order = Int32Array.from([...longest.keys()].toSorted((a, b) => longest[b]! - longest[a]! || a - b))
  return { firstRow, rows, starts, spans: Int32Array.from(spans), order }
}

/** Share of a cell that is taken for a rounding error. */
const SLIVER = 1e-6

/** Which cells of a sheet are taken: 32 cells a word, with room around for masks that stand over the border. */
export class Raster {
  private readonly words: Int32Array
  private readonly stride: number
  private readonly height: number
  private readonly pad: number

  /** @param pad cells around the sheet that masks may stand over its border by */
  constructor(columns: number, rows: number, pad: number) {
    this.pad = pad
    this.height = rows + 2 * pad
    this.stride = ((columns + 2 * pad) >> 5) + 1
    this.words = new Int32Array(this.stride * this.height)
  }

  /** Takes the cells of a mask laid down at a column and row; what lies beyond the sheet's surroundings is cut off. */
  draw(mask: Mask, column: number, row: number): void {
    const { words, stride, pad, height } = this
    for (let r = 0; r < mask.rows; r++) {
      const line = row + pad + mask.firstRow + r
      if (line < 0 || line >= height) continue
      for (let i = mask.starts[r]!; i < mask.starts[r + 1]!; i += 2) {
        const from = Math.max(0, column + pad + mask.spans[i]!)
        const to = Math.min(stride * 32 - 1, column + pad + mask.spans[i + 1]!)
        for (let x = from; x <= to; x++) words[line * stride + (x >> 5)]! |= 1 << (x & 31)
      }
    }
  }

  /**
   * The lowest, then leftmost free position of a mask.
   * @param start position to begin at, as row * 65536 + column
   * @returns the position, or -1
   */
  find(mask: Mask, lastColumn: number, lastRow: number, start: number): number {
    let row = start >> 16
    let column = start & 0xffff
    for (; row <= lastRow; row++, column = 0) {
      while (column <= lastColumn) {
        const jump = this.blocked(mask, column, row)
        if (jump === 0) return (row << 16) | column
        column += jump
      }
    }
    return -1
  }

  /** 0 where the mask is free, else by how many columns it has to move before what blocks it is passed. */
  private blocked(mask: Mask, column: number, row: number): number {
    const { words, stride, pad } = this
    const { starts, spans, order } = mask
    const baseColumn = column + pad
    const baseRow = row + pad + mask.firstRow
    for (let k = 0; k < order.length; k++) {
      const r = order[k]!
      const line = (baseRow + r) * stride
      for (let i = starts[r]!, end = starts[r + 1]!; i < end; i += 2) {
        const from = baseColumn + spans[i]!
        const to = baseColumn + spans[i + 1]!
        const firstWord = from >> 5
        for (let word = to >> 5; word >= firstWord; word--) {
          let bits = words[line + word]!
          if (bits === 0) continue
          if (word === to >> 5) bits &= -1 >>> (31 - (to & 31))
          if (word === firstWord) bits &= -1 << (from & 31)
          if (bits !== 0) return (word << 5) + 31 - Math.clz32(bits) - from + 1
        }
      }
    }
    return 0
  }
}
