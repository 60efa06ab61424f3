import type { Region } from '../../shape/point'

/** Cells row by row, as spans from one column to another, both counted in. */
export interface Cells {
  readonly firstRow: number
  readonly rows: number
  /** By row: where its spans begin in `spans`; one entry more than there are rows. */
  readonly starts: Int32Array
  /** First and last column of every span. */
  readonly spans: Int32Array
}

/** The cells that a piece covers, and what helps to find room for it. */
export interface Mask extends Cells {
  /** Rows, the one with the longest span first, then far from each other: so something in the way is met soon. */
  readonly order: Int32Array
  /** In that order, the length of the longest span in each. */
  readonly longest: Int32Array
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
  return isUprightBox(only) ? boxMask(only) : maskOf(touched(region))
}

/** The same cells, where no room is looked for. */
export function touched(region: Region): Cells {
  const { firstRow, border, inside } = rowsOf(region)
  return toCells(firstRow, border.map((spans, row) => merged([...spans, ...inside[row]!])))
}

/**
 * Every cell that the region covers wholly.
 * @param region in cells
 */
export function covered(region: Region): Cells {
  const { firstRow, border, inside } = rowsOf(region)
  return toCells(firstRow, border.map((spans, row) => without(merged(inside[row]!), merged(spans))))
}

/** Of what {@link covered} gives, the cells that would be covered still if the region were moved up and right by part of a cell. */
export function coveredAnywhere(region: Region): Mask {
  const { firstRow, rows, starts, spans } = covered(region)
  const spansOf = (row: number) => (row < 0 ? [] : [...spans.subarray(starts[row], starts[row + 1])])
  const shrunk = (row: number) => spansOf(row).map((column, i) => (i % 2 === 0 ? column + 1 : column))
  return maskOf(toCells(firstRow, Array.from({ length: rows }, (_, row) => common(shrunk(row), shrunk(row - 1)))))
}

/** By row: spans of cells that the border runs through, and of those whose middle line is inside; in no order. */
function rowsOf(region: Region): { firstRow: number; border: number[][]; inside: number[][] } {
  let [low, high] = [Infinity, -Infinity]
  for (const loop of region) {
    for (const [, y] of loop) {
      if (y < low) low = y
      if (y > high) high = y
    }
  }
  const firstRow = firstCell(low)
  const rows = lastCell(high) - firstRow + 1
  const border: number[][] = Array.from({ length: rows }, () => [])
  const crossings: number[][] = Array.from({ length: rows }, () => [])
  for (const loop of region) {
    for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
      const [ax, ay] = loop[j]!
      const [bx, by] = loop[i]!
      coverEdge(border, ax, ay - firstRow, bx, by - firstRow)
      crossRows(crossings, ax, ay - firstRow, bx, by - firstRow)
    }
  }
  for (const list of crossings) {
    list.sort((a, b) => a - b)
    if (list.length % 2 > 0) list.pop()
    for (let i = 0; i < list.length; i += 2) {
      list[i] = firstCell(list[i]!)
      list[i + 1] = lastCell(list[i + 1]!)
    }
  }
  return { firstRow, border, inside: crossings }
}

/** Spans in order, those that touch joined. */
function merged(spans: readonly number[]): number[] {
  const order: (readonly [number, number])[] = []
  for (let i = 0; i < spans.length; i += 2) if (spans[i]! <= spans[i + 1]!) order.push([spans[i]!, spans[i + 1]!])
  order.sort((a, b) => a[0] - b[0])
  const found: number[] = []
  for (const [from, to] of order) {
    const last = found.length - 1
    if (last > 0 && from <= found[last]! + 1) found[last] = Math.max(found[last]!, to)
    else found.push(from, to)
  }
  return found
}

/** What is left of spans without others, both in order. */
function without(spans: readonly number[], others: readonly number[]): number[] {
  const left: number[] = []
  for (let i = 0; i < spans.length; i += 2) {
    let from = spans[i]!
    const to = spans[i + 1]!
    for (let k = 0; k < others.length && from <= to; k += 2) {
      if (others[k + 1]! < from || others[k]! > to) continue
      if (others[k]! > from) left.push(from, others[k]! - 1)
      from = others[k + 1]! + 1
    }
    if (from <= to) left.push(from, to)
  }
  return left
}

/** What two rows of spans have in common. */
function common(a: readonly number[], b: readonly number[]): number[] {
  const found: number[] = []
  for (let i = 0; i < a.length; i += 2) {
    for (let k = 0; k < b.length; k += 2) {
      const [from, to] = [Math.max(a[i]!, b[k]!), Math.min(a[i + 1]!, b[k + 1]!)]
      if (from <= to) found.push(from, to)
    }
  }
  return found
}

function toCells(firstRow: number, rows: readonly (readonly number[])[]): Cells {
  const starts = new Int32Array(rows.length + 1)
  for (const [row, spans] of rows.entries()) starts[row + 1] = starts[row]! + spans.length
  const spans = new Int32Array(starts[rows.length]!)
  for (const [row, list] of rows.entries()) spans.set(list, starts[row])
  return { firstRow, rows: rows.length, starts, spans }
}

function maskOf(cells: Cells): Mask {
  const { rows, starts, spans } = cells
  const longest = new Int32Array(rows)
  for (let row = 0; row < rows; row++) {
    for (let i = starts[row]!; i < starts[row + 1]!; i += 2) longest[row] = Math.max(longest[row]!, spans[i + 1]! - spans[i]! + 1)
  }
  const order = spreadOrder(longest)
  return { ...cells, order, longest: order.map((row) => longest[row]!), ...tallestColumn(cells) }
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
  const longest = new Int32Array(rows).fill(lastColumn - firstColumn + 1)
  return { firstRow, rows, starts, spans, order, longest, tallColumn: firstColumn, tallest: rows }
}

/** A border that lies on a cell's edge does not reach into the next cell. */
function firstCell(at: number): number {
  return Math.floor(at + SLIVER)
}

function lastCell(at: number): number {
  return Math.ceil(at - SLIVER) - 1
}

/** Spans of cells that an edge runs through. */
function coverEdge(rows: number[][], ax: number, ay: number, bx: number, by: number): void {
  if (ay > by) return coverEdge(rows, bx, by, ax, ay)
  const slope = by > ay ? (bx - ax) / (by - ay) : 0
  const last = Math.min(rows.length - 1, lastCell(by))
  for (let row = firstCell(ay); row <= last; row++) {
    const x0 = by > ay ? ax + slope * (Math.max(ay, row) - ay) : ax
    const x1 = by > ay ? ax + slope * (Math.min(by, row + 1) - ay) : bx
    rows[row]!.push(firstCell(Math.min(x0, x1)), lastCell(Math.max(x0, x1)))
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

function tallestColumn({ rows, starts, spans }: Cells): { tallColumn: number; tallest: number } {
  let [first, last] = [Infinity, -Infinity]
  for (let i = 0; i < spans.length; i += 2) {
    first = Math.min(first, spans[i]!)
    last = Math.max(last, spans[i + 1]!)
  }
  if (first > last) return { tallColumn: 0, tallest: 0 }
  const [run, reached] = [new Int32Array(last - first + 1), new Int32Array(last - first + 1).fill(-1)]
  let [tallColumn, tallest] = [first, 0]
  for (let row = 0; row < rows; row++) {
    for (let i = starts[row]!; i < starts[row + 1]!; i += 2) {
      for (let column = spans[i]! - first; column <= spans[i + 1]! - first; column++) {
        const length = (run[column] = reached[column] === row - 1 ? run[column]! + 1 : 1)
        reached[column] = row
        if (length < tallest || (length === tallest && column + first >= tallColumn)) continue
        tallest = length
        tallColumn = column + first
      }
    }
  }
  return { tallColumn, tallest }
}

/** Share of a cell that is taken for a rounding error. */
const SLIVER = 1e-6

