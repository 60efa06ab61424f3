/**
 * Slopes at the knots of the natural cubic spline through values: continuous curvature, none at either end.
 * The tridiagonal system by elimination (De Boor, A Practical Guide to Splines, ch. IV).
 */
export function naturalSlopes(knots: readonly number[], values: readonly number[]): number[] {
  const last = knots.length - 1
  const h = (i: number) => knots[i + 1]! - knots[i]!
  const rise = (i: number) => (values[i + 1]! - values[i]!) / h(i)
  // Row i reads: below·m[i-1] + middle·m[i] + above·m[i+1] = right; elimination leaves middle, above and right.
  const above: number[] = [1]
  const middle: number[] = [2]
  const right: number[] = [3 * rise(0)]
  for (let i = 1; i <= last; i++) {
    const end = i === last
    const below = end ? 1 : h(i)
    const factor = below / middle[i - 1]!
    above.push(end ? 0 : h(i - 1))
    middle.push((end ? 2 : 2 * (h(i - 1) + h(i))) - factor * above[i - 1]!)
    right.push((end ? 3 * rise(last - 1) : 3 * (rise(i - 1) * h(i) + rise(i) * h(i - 1))) - factor * right[i - 1]!)
  }
  const slopes: number[] = []
  for (let i = last; i >= 0; i--) {
    slopes[i] = (right[i]! - (i === last ? 0 : above[i]! * slopes[i + 1]!)) / middle[i]!
  }
  return slopes
}

/** Number of the piece between two knots that s lies in, the first or last where it lies outside. */
export function pieceAt(knots: ArrayLike<number>, s: number): number {
  let [low, high] = [0, knots.length - 1]
  while (high - low > 1) {
    const middle = (low + high) >> 1
    if (knots[middle]! <= s) low = middle
    else high = middle
  }
  return low
}

/** Cubic from a to b with the slopes da and db, t from 0 to 1. */
export function hermite(t: number, a: number, b: number, da: number, db: number): number {
  const s = 1 - t
  return s * s * (1 + 2 * t) * a + t * t * (3 - 2 * t) * b + s * s * t * da - t * t * s * db
}
