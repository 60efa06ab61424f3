import { createHash } from 'node:crypto'
import type { Piece } from '../model/piece'
import type { Polyline } from '../shape/point'

/**
 * What a piece cut from card is: outline, openings, folds, stock, layers and grain, each rounded to 0.001 mm, as 16
 * hexadecimal digits of a SHA-256. The same for pieces that would come off the bench alike: it does not hang on mark,
 * text, drawn lines, pose or place on the sheet, on where in the piece's axes it stands, nor on the point a loop
 * starts from or the order in which openings and folds are listed.
 */
export function fingerprint(piece: Piece): string {
  return digest(piece, new Writer())
}

/** The fingerprints of many pieces, by mark. */
export function fingerprints(pieces: readonly Piece[]): Map<string, string> {
  const writer = new Writer()
  return new Map(pieces.map((piece) => [piece.mark, digest(piece, writer)]))
}

/** Changed with the form of what is hashed, so that fingerprints of two forms never seem comparable. */
const FORM = 1

const DIGITS = 16

function digest(piece: Piece, writer: Writer): string {
  const [left, low] = cornerOf(piece.outline)
  const rounded = (line: Polyline) => toMicrons(line, left, low)
  writer.start()
  writer.numbers([FORM, piece.plies, piece.grain === undefined ? -1 : millis(modulo(piece.grain, 180))])
  writer.text(piece.stock)
  writer.lists([loopForm(rounded(piece.outline), 1)])
  writer.lists(piece.openings.map(({ loop }) => loopForm(rounded(loop), -1)).toSorted(compareNumbers))
  writer.lists(
    piece.scores
      .map(({ fold, line, angle }) => [fold === 'valley' ? 1 : 2, millis(angle), ...lineForm(rounded(line))])
      .toSorted(compareNumbers),
  )
  return createHash('sha256').update(writer.bytes()).digest('hex').slice(0, DIGITS)
}

function cornerOf(outline: Polyline): [number, number] {
  let [left, low] = [Infinity, Infinity]
  for (const [x, y] of outline) {
    if (x < left) left = x
    if (y < low) low = y
  }
  return [millis(left), millis(low)]
}

/**
 * Whole microns from the corner of the piece's box, x and y in turn, a point that repeats the one before left out.
 * Rounded before it is moved, so that the geometry a manifest holds has the fingerprint that stands beside it.
 */
function toMicrons(line: Polyline, left: number, low: number): number[] {
  const numbers: number[] = []
  for (const [px, py] of line) {
    const [x, y] = [millis(px) - left, millis(py) - low]
    const last = numbers.length
    if (last > 0 && numbers[last - 2] === x && numbers[last - 1] === y) continue
    numbers.push(x, y)
  }
  return numbers
}

/** A loop from its leftmost, then lowest point, counter-clockwise for way 1 and clockwise for way -1. */
function loopForm(given: number[], way: 1 | -1): number[] {
  const numbers = given.slice()
  const size = numbers.length
  if (size > 2 && numbers[0] === numbers[size - 2] && numbers[1] === numbers[size - 1]) numbers.length = size - 2
  const ordered = Math.sign(twiceArea(numbers)) === -way ? backwards(numbers) : numbers
  let first = 0
  for (let i = 2; i < ordered.length; i += 2) if (isBefore(ordered, i, first)) first = i
  return first === 0 ? ordered : [...ordered.slice(first), ...ordered.slice(0, first)]
}

/** Whether a loop read from point i comes before the same loop read from point j. */
function isBefore(numbers: readonly number[], i: number, j: number): boolean {
  const size = numbers.length
  for (let k = 0; k < size; k++) {
    const difference = numbers[(i + k) % size]! - numbers[(j + k) % size]!
    if (difference !== 0) return difference < 0
  }
  return false
}

/** A fold is the same from either end. */
function lineForm(numbers: number[]): number[] {
  const other = backwards(numbers)
  return compareNumbers(numbers, other) <= 0 ? numbers : other
}

function backwards(numbers: readonly number[]): number[] {
  const turned: number[] = []
  for (let i = numbers.length - 2; i >= 0; i -= 2) turned.push(numbers[i]!, numbers[i + 1]!)
  return turned
}

function twiceArea(numbers: readonly number[]): number {
  let sum = 0
  for (let i = 0, j = numbers.length - 2; i < numbers.length; j = i, i += 2) {
    sum += numbers[j]! * numbers[i + 1]! - numbers[i]! * numbers[j + 1]!
  }
  return sum
}

function compareNumbers(a: readonly number[], b: readonly number[]): number {
  for (let i = 0; i < a.length && i < b.length; i++) if (a[i] !== b[i]) return a[i]! - b[i]!
  return a.length - b.length
}

function millis(value: number): number {
  return Math.round(value * 1000) + 0
}

function modulo(value: number, by: number): number {
  return ((value % by) + by) % by
}

/** Numbers and texts as bytes, each list after its length, so that no two contents give the same bytes. */
class Writer {
  #buffer = Buffer.alloc(1 << 14)
  #at = 0

  start(): void {
    this.#at = 0
  }

  lists(lists: readonly (readonly number[])[]): void {
    this.numbers([lists.length])
    for (const list of lists) {
      this.numbers([list.length])
      this.numbers(list)
    }
  }

  /** As doubles: a coordinate in microns may be past what 32 bits hold. */
  numbers(list: readonly number[]): void {
    this.#reserve(8 * list.length)
    for (const value of list) this.#at = this.#buffer.writeDoubleLE(value, this.#at)
  }

  text(text: string): void {
    const bytes = Buffer.from(text, 'utf8')
    this.numbers([bytes.length])
    this.#reserve(bytes.length)
    this.#at += bytes.copy(this.#buffer, this.#at)
  }

  bytes(): Buffer {
    return this.#buffer.subarray(0, this.#at)
  }

  #reserve(more: number): void {
    if (this.#at + more <= this.#buffer.length) return
    const larger = Buffer.alloc(2 * (this.#at + more))
    this.#buffer.copy(larger, 0, 0, this.#at)
    this.#buffer = larger
  }
}
