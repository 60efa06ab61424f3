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
  let unit = 1
  while (unit * 10 <= whole) unit *= 10
  for (; unit >= 1; unit /= 10) bytes[end++] = NOUGHT + (Math.trunc(whole / unit) % 10)
  rest -= whole * 1000
  if (rest === 0) return end
  bytes[end++] = DOT
  for (unit = 100; rest > 0; unit /= 10) {
    const digit = Math.trunc(rest / unit)
    bytes[end++] = NOUGHT + digit
    rest -= digit * unit
  }
  return end
}
