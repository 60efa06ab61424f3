import type { Region } from '../../shape/point'

/** The cells that a piece covers, row by row, as spans from one column to another, both counted in. */
export interface Mask {
  readonly firstRow: number
  readonly rows: number
  /** By row: where its spans begin in `spans`; one entry more than there are rows. */
  readonly starts: Int32Array
  /** First and last column of every span. */
  readonly spans: Int32Array
  /** Rows, the one with the longest span first, then far from each other: so something in the way is met soon. */
  readonly order: Int32Array
  /** Length of that span. */
  readonly widest: number
  /** The column with the longest unbroken run of cells, and its length. */
  readonly tallColumn: number
  readonly tallest: number
}

/**
 * Every cell that the region touches. Cells are squares of side 1 from whole numbers on.
 * @param region in cells
 */
export function rasterize(region: Region): Mask {
  const only = region.length === 1 ? region[0]! : []
  if (isUprightBox(only)) return boxMask(only)
  const { cells, edges, rows, columns, firstRow, firstColumn } = cellsOf(region)
  for (let i = 0; i < cells.length; i++) cells[i]! |= edges[i]!
  return toSpans(cells, rows, columns, firstRow, firstColumn)
}

/**
 * Every cell that the region covers wholly.
 * @param region in cells
 * @param anywhere leaves out those that it would not cover any more if it were moved up and to the right by part of a cell
 */
export function insideOf(region: Region, anywhere: boolean): Mask {
  const { cells, edges, rows, columns, firstRow, firstColumn } = cellsOf(region)
  for (let i = 0; i < cells.length; i++) if (edges[i]) cells[i] = 0
  if (anywhere) {
    for (let i = cells.length - 1; i >= 0; i--) {
      const whole = i % columns > 0 && i >= columns && cells[i - 1] && cells[i - columns] && cells[i - columns - 1]
      if (!whole) cells[i] = 0
    }
  }
  return toSpans(cells, rows, columns, firstRow, firstColumn)
}

/** Cells with their middle line in the region, and those that its border runs through. */
function cellsOf(region: Region) {
  const ys = region.flatMap((loop) => loop.map(([, y]) => y))
  const xs = region.flatMap((loop) => loop.map(([x]) => x))
  const firstRow = firstCell(Math.min(...ys))
  const firstColumn = firstCell(Math.min(...xs))
  const rows = lastCell(Math.max(...ys)) - firstRow + 1
  const columns = lastCell(Math.max(...xs)) - firstColumn + 1
  const cells = new Uint8Array(rows * columns)
  const edges = new Uint8Array(rows * columns)
  const crossings: number[][] = Array.from({ length: rows }, () => [])
  for (const loop of region) {
    for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
      const [ax, ay] = loop[j]!
      const [bx, by] = loop[i]!
      coverEdge(edges, columns, ax - firstColumn, ay - firstRow, bx - firstColumn, by - firstRow)
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
  return { cells, edges, rows, columns, firstRow, firstColumn }
}

/** Labels are boxes, and there are many places for each. */
function isUprightBox(loop: Region[number]): boolean {
  if (loop.length !== 4) return false
  return loop.every(([x, y], i) => {
    const [px, py] = loop[(i + 3) % 4]!
    return Math.abs(x - px) < SLIVER !== Math.abs(y - py) < SLIVER
  })
}

function boxMask([a, b, c, d]: Region[number]): Mask {
  const xs = [a![0], b![0], c![0], d![0]]
  const ys = [a![1], b![1], c![1], d![1]]
  const [firstColumn, lastColumn] = [firstCell(Math.min(...xs)), lastCell(Math.max(...xs))]
  const [firstRow, lastRow] = [firstCell(Math.min(...ys)), lastCell(Math.max(...ys))]
  const rows = lastRow - firstRow + 1
  const spans = new Int32Array(2 * rows)
  const starts = new Int32Array(rows + 1)
  const order = new Int32Array(rows)
  for (let row = 0; row < rows; row++) {
    spans[2 * row] = firstColumn
    spans[2 * row + 1] = lastColumn
    starts[row + 1] = 2 * row + 2
    order[row] = row
  }
  return { firstRow, rows, starts, spans, order, widest: lastColumn - firstColumn + 1, tallColumn: firstColumn, tallest: rows }
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
  const order = spreadOrder(longest)
  const widest = rows > 0 ? longest[order[0]!]! : 0
  const tall = tallestColumn(cells, rows, columns, firstColumn)
  return { firstRow, rows, starts, spans: Int32Array.from(spans), order, widest, ...tall }
}

/** The longest, then halves, quarters, eighths and so on of all rows. */
function spreadOrder(longest: Int32Array): Int32Array {
  const rows = longest.length
  const first = longest.reduce((best, length, row) => (length > longest[best]! ? row : best), 0)
  const order = new Int32Array(rows)
  const seen = new Uint8Array(rows)
  let count = 0
  const take = (row: number) => {
    if (seen[row]) return
    seen[row] = 1
    order[count++] = row
  }
  if (rows === 0) return order
  take(first)
  take(0)
  take(rows - 1)
  let step = 1
  while (step < rows) step *= 2
  for (; step >= 1; step /= 2) for (let row = step - 1; row < rows; row += step) take(row)
  return order
}

function tallestColumn(
  cells: Uint8Array, rows: number, columns: number, firstColumn: number,
): { tallColumn: number; tallest: number } {
  let [tallColumn, tallest] = [firstColumn, 0]
  for (let column = 0; column < columns; column++) {
    let run = 0
    for (let row = 0; row < rows; row++) {
      run = cells[row * columns + column] ? run + 1 : 0
      if (run <= tallest) continue
      tallest = run
      tallColumn = column + firstColumn
    }
  }
  return { tallColumn, tallest }
}

/** Share of a cell that is taken for a rounding error. */
const SLIVER = 1e-6

