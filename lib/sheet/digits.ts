import type { Polyline } from '../shape/point'

/**
 * Path data of a line in absolute coordinates, y turned over: `M1.5 20L3 20Z`. Written digit by digit into one buffer
 * that is kept: joining hundreds of small strings a piece is what half the time of a sheet would go to.
 */
export function pathData(points: Polyline, closed: boolean, height: number): string {
  if (bytes.length < points.length * POINT + 1) bytes = Buffer.alloc(2 * points.length * POINT)
  let end = 0
  for (let i = 0; i < points.length; i++) {
    const point = points[i]!
    bytes[end++] = i === 0 ? MOVE : i === 1 ? LINE : SPACE
    end = write(microns(point[0]), end)
    bytes[end++] = SPACE
    end = write(microns(height - point[1]), end)
  }
  if (closed) bytes[end++] = CLOSE
  return bytes.toString('latin1', 0, end)
}

/** A length to 0.001 mm. */
export function mm(value: number): string {
  return decimal(microns(value))
}

export function microns(value: number): number {
  return Math.round(value * 1000)
}

/** A thousandth of a whole number, in decimals: far quicker than through the general printing of doubles. */
export function decimal(thousandths: number): string {
  if (thousandths < 0) return `-${decimal(-thousandths)}`
  const whole = Math.trunc(thousandths / 1000)
  return whole + THOUSANDTHS[thousandths - whole * 1000]!
}

/** `.001` to `.999`, and nothing for a whole number. */
const THOUSANDTHS = Array.from({ length: 1000 }, (_, i) => (i === 0 ? '' : String(i / 1000).slice(1)))

const [SPACE, MOVE, LINE, CLOSE, MINUS, DOT, NOUGHT] = [...' MLZ-.0'].map((c) => c.charCodeAt(0)) as [
  number,
  number,
  number,
  number,
  number,
  number,
  number,
]

/** Bytes a point takes at most: two numbers of a sign, six digits before and three after the point, and two marks. */
const POINT = 32

/** A kilometre; a longer number would not keep to its bytes. */
const LONGEST = 1e9

let bytes = Buffer.alloc(1 << 14)

/** The number as {@link decimal} has it; gives the place behind its last byte. */
function write(thousandths: number, at: number): number {
  let end = at
  if (Math.abs(thousandths) >= LONGEST) throw new Error(`a coordinate of ${thousandths / 1000} mm on a sheet`)
  let rest = thousandths
  if (rest < 0) {
    bytes[end++] = MINUS
    rest = -rest
  }
  const whole = Math.trunc(rest / 1000)
  end = whole < 1000 ? writeDigits(whole, leadingNoughts(whole), 3, end) : writeLong(whole, end)
  const part = rest - whole * 1000
  if (part === 0) return end
  bytes[end++] = DOT
  return writeDigits(part, 0, part % 100 === 0 ? 1 : part % 10 === 0 ? 2 : 3, end)
}

/** Some of the three digits of a number below 1000. */
function writeDigits(number: number, from: number, to: number, at: number): number {
  let end = at
  for (let i = from; i < to; i++) bytes[end++] = DIGITS[3 * number + i]!
  return end
}

function leadingNoughts(number: number): number {
  return number < 10 ? 2 : number < 100 ? 1 : 0
}

function writeLong(whole: number, at: number): number {
  let end = at
  for (const digit of String(whole)) bytes[end++] = NOUGHT + Number(digit)
  return end
}

/** The numbers below 1000, three digits each. */
const DIGITS = Uint8Array.from({ length: 3000 }, (_, i) => NOUGHT + (Math.trunc(Math.trunc(i / 3) / [100, 10, 1][i % 3]!) % 10))
