import type { Cells, Mask } from './mask'

/** Which cells of a sheet are taken: 32 cells a word, with room around for masks that stand over the border. */
export class Raster {
  readonly columns: number
  readonly rows: number
  /** Positions of masks that were looked at. */
  asked = 0
  private readonly words: Int32Array
  /** The same cells column by column. */
  private readonly upright: Int32Array
  private readonly stride: number
  private readonly upStride: number
  private readonly height: number
  private readonly pad: number
  /** By line and by column: the longest run of free cells. A mask that needs a longer one there need not be tried. */
  private readonly freeAcross: Int32Array
  private readonly freeUp: Int32Array
  /** Where that run begins: what is drawn elsewhere leaves it as it is. */
  private readonly acrossFrom: Int32Array
  private readonly upFrom: Int32Array
  /** Room to note columns in. */
  private readonly next: Int32Array

  /** @param pad cells around the sheet that masks may stand over its border by */
  constructor(columns: number, rows: number, pad: number) {
    this.columns = columns
    this.rows = rows
    this.pad = pad
    this.height = rows + 2 * pad
    this.stride = ((columns + 2 * pad) >> 5) + 1
    this.words = new Int32Array(this.stride * this.height)
    this.upStride = (this.height >> 5) + 1
    this.upright = new Int32Array(this.upStride * this.stride * 32)
    // What is beyond the top of a column is not free.
    for (let x = 0; x < this.stride * 32; x++) {
      for (let line = this.height; line < this.upStride * 32; line++) this.upright[x * this.upStride + (line >> 5)]! |= 1 << (line & 31)
    }
    this.freeAcross = new Int32Array(this.height).fill(this.stride * 32)
    this.freeUp = new Int32Array(this.stride * 32).fill(this.height)
    this.acrossFrom = new Int32Array(this.height)
    this.upFrom = new Int32Array(this.stride * 32)
    this.next = new Int32Array(this.stride * 32 + 1)
  }

  /** Another with the same cells taken. */
  copy(): Raster {
    const { columns, rows, pad } = this
    const made = new Raster(columns, rows, pad)
    made.words.set(this.words)
    made.upright.set(this.upright)
    made.freeAcross.set(this.freeAcross)
    made.freeUp.set(this.freeUp)
    made.acrossFrom.set(this.acrossFrom)
    made.upFrom.set(this.upFrom)
    return made
  }

  /** Takes the cells of a mask laid down at a column and row; what lies beyond the sheet's surroundings is cut off. */
  draw(mask: Cells, column: number, row: number): void {
    const { words, stride, upright, upStride, pad, height, freeAcross, acrossFrom, freeUp, upFrom } = this
    let [first, last] = [Infinity, -Infinity]
    for (let r = 0; r < mask.rows; r++) {
      const line = row + pad + mask.firstRow + r
      if (line < 0 || line >= height) continue
      let touched = false
      for (let i = mask.starts[r]!; i < mask.starts[r + 1]!; i += 2) {
        const from = Math.max(0, column + pad + mask.spans[i]!)
        const to = Math.min(stride * 32 - 1, column + pad + mask.spans[i + 1]!)
        if (to < from) continue
        const at = line * stride
        const [firstWord, lastWord] = [from >> 5, to >> 5]
        for (let word = firstWord; word <= lastWord; word++) {
          let bits = -1
          if (word === lastWord) bits = -1 >>> (31 - (to & 31))
          if (word === firstWord) bits &= -1 << (from & 31)
          words[at + word]! |= bits
        }
        const mark = 1 << (line & 31)
        for (let x = from, up = from * upStride + (line >> 5); x <= to; x++, up += upStride) upright[up]! |= mark
        first = Math.min(first, from)
        last = Math.max(last, to)
        if (from < acrossFrom[line]! + freeAcross[line]! && to >= acrossFrom[line]!) touched = true
      }
      if (touched) measure(words, line * stride, stride, freeAcross, acrossFrom, line)
    }
    // A run that is told too long costs a few looks more, and small things shorten few: those are measured with the next large one.
    if (mask.rows < WORTH_MEASURING) return
    const low = row + pad + mask.firstRow
    const high = low + mask.rows - 1
    for (let x = first; x <= last; x++) {
      if (low < upFrom[x]! + freeUp[x]! && high >= upFrom[x]!) measure(upright, x * upStride, upStride, freeUp, upFrom, x)
    }
  }

  /**
   * The lowest, then leftmost free position of a mask that is accepted.
   * @param accept 0 for yes, else by how many columns the mask has to move before it may be asked again
   * @param start position to begin at, as row * 65536 + column
   * @returns the position, or -1
   */
  find(
    mask: Mask, lastColumn: number, lastRow: number, start: number,
    accept?: (column: number, row: number) => number,
  ): number {
    const { freeAcross, pad } = this
    const { order, longest } = mask
    const first = pad + mask.firstRow
    const looked = Math.min(ROWS_LOOKED_AT, order.length)
    const next = this.columnsTallEnough(mask, lastColumn)
    if (next[0]! > lastColumn) return -1
    let row = start >> 16
    let column = start & 0xffff
    seeking: for (; row <= lastRow; row++, column = 0) {
      for (let k = 0; k < looked; k++) if (freeAcross[row + first + order[k]!]! < longest[k]!) continue seeking
      for (column = next[column]!; column <= lastColumn; column = next[column]!) {
        const jump = this.blocked(mask, column, row)
        const way = jump || (accept ? accept(column, row) : 0)
        if (way === 0) return (row << 16) | column
        column = Math.min(column + way, lastColumn + 1)
      }
    }
    return -1
  }

  /** By column, the first one from there on where the mask's tallest run of cells may be free; one past the last for none. */
  private columnsTallEnough({ tallColumn, tallest }: Mask, lastColumn: number): Int32Array {
    const { freeUp, next } = this
    const from = this.pad + tallColumn
    next[lastColumn + 1] = lastColumn + 1
    for (let column = lastColumn; column >= 0; column--) {
      next[column] = freeUp[column + from]! >= tallest ? column : next[column + 1]!
    }
    return next
  }

  /** 0 where the mask is free, else by how many columns it has to move before what blocks it is passed. */
  blocked(mask: Mask, column: number, row: number): number {
    const { words, stride, pad } = this
    const { starts, spans, order } = mask
    this.asked++
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

/** Rows of a mask that are asked whether there is room in their line at all. */
const ROWS_LOOKED_AT = 8

/** Rows of a mask from which on the columns that it is drawn in are measured again. */
const WORTH_MEASURING = 40

/** Notes the longest run of free cells in some words of 32, and where it begins. */
function measure(words: Int32Array, at: number, count: number, free: Int32Array, from: Int32Array, index: number): void {
  let [run, most, end] = [0, 0, 0]
  for (let word = 0; word < count; word++) {
    const bits = words[at + word]!
    if (bits === 0) run += 32
    else if (bits === -1) {
      if (run > most) [most, end] = [run, word << 5]
      run = 0
    } else {
      for (let rest = bits, bit = 0; bit < 32; ) {
        if (rest === 0) {
          run += 32 - bit
          break
        }
        const zeros = trailingZeros(rest)
        run += zeros
        bit += zeros
        if (run > most) [most, end] = [run, (word << 5) + bit]
        run = 0
        const ones = trailingZeros(~(rest >>> zeros))
        bit += ones
        rest = bit < 32 ? bits >>> bit : 0
      }
    }
  }
  if (run > most) [most, end] = [run, count << 5]
  free[index] = most
  from[index] = end - most
}

/** Of a number that is not 0. */
function trailingZeros(bits: number): number {
  return 31 - Math.clz32(bits & -bits)
}
