import type { Loop } from './point'

/**
 * The boundary of a region as flat arrays, edge i running from (ax, ay) to (bx, by) with the region on its left. Runs
 * of neighbouring edges share a box. A boundary winds on smoothly, so its own order is a spatial index for nothing:
 * most pairs of runs lie apart and are passed over by one comparison, and nothing need be sorted or built into a tree.
 */
export interface Edges {
  readonly count: number
  readonly ax: Float64Array
  readonly ay: Float64Array
  readonly bx: Float64Array
  readonly by: Float64Array
  /** The edge that begins where edge i ends. */
  readonly next: Int32Array
  /** The edge that ends where edge i begins. */
  readonly previous: Int32Array
  /** First edge of each run, and after the last run the count of edges. */
  readonly runs: readonly number[]
  /** minX, minY, maxX, maxY of each run. */
  readonly boxes: Float64Array
}

/** Edges in one run: with 16 a piece of 150 points has ten boxes, a pair of which stands for 256 pairs of edges. */
const RUN = 16

export function edgesOf(loops: readonly Loop[]): Edges {
  let count = 0
  for (const loop of loops) count += loop.length
  const ax = new Float64Array(count)
  const ay = new Float64Array(count)
  const bx = new Float64Array(count)
  const by = new Float64Array(count)
  const next = new Int32Array(count)
  const previous = new Int32Array(count)
  const runs: number[] = []
  let first = 0
  for (const loop of loops) {
    const last = first + loop.length - 1
    for (let i = 0; i < loop.length; i++) {
      const at = first + i
      const from = loop[i]!
      const to = loop[i + 1 < loop.length ? i + 1 : 0]!
      ax[at] = from[0]
      ay[at] = from[1]
      bx[at] = to[0]
      by[at] = to[1]
      next[at] = at === last ? first : at + 1
      previous[at] = at === first ? last : at - 1
      if (i % RUN === 0) runs.push(at)
    }
    first += loop.length
  }
  runs.push(count)
  return { count, ax, ay, bx, by, next, previous, runs, boxes: boxesOf(runs, ax, ay, bx, by) }
}

/**
 * Calls `visit` for every pair of different edges whose boxes come within `reach()` of each other, until it answers
 * true. The reach is read anew for each edge, so that a search narrows as it finds; runs whose boxes touch come first,
 * since that is where the nearest things are.
 */
export function eachNearPair(edges: Edges, reach: () => number, visit: (i: number, j: number) => boolean): void {
  const count = edges.runs.length - 1
  const apart: number[] = []
  for (let a = 0; a < count; a++) {
    for (let b = a; b < count; b++) {
      const gap = boxGap(edges.boxes, 4 * a, 4 * b)
      if (gap > reach()) continue
      if (gap > 0) apart.push(gap, a, b)
      else if (nearPairs(edges, a, b, reach, visit)) return
    }
  }
  for (let k = 0; k < apart.length; k += 3) {
    if (apart[k]! <= reach() && nearPairs(edges, apart[k + 1]!, apart[k + 2]!, reach, visit)) return
  }
}

/** The pairs of one edge from run a and one from run b; true once `visit` has answered true. */
function nearPairs(
  { ax, ay, bx, by, runs }: Edges,
  a: number,
  b: number,
  reach: () => number,
  visit: (i: number, j: number) => boolean,
): boolean {
  for (let i = runs[a]!; i < runs[a + 1]!; i++) {
    const r = reach()
    const minX = Math.min(ax[i]!, bx[i]!) - r
    const maxX = Math.max(ax[i]!, bx[i]!) + r
    const minY = Math.min(ay[i]!, by[i]!) - r
    const maxY = Math.max(ay[i]!, by[i]!) + r
    for (let j = a === b ? i + 1 : runs[b]!; j < runs[b + 1]!; j++) {
      if ((ax[j]! < minX && bx[j]! < minX) || (ax[j]! > maxX && bx[j]! > maxX)) continue
      if ((ay[j]! < minY && by[j]! < minY) || (ay[j]! > maxY && by[j]! > maxY)) continue
      if (visit(i, j)) return true
    }
  }
  return false
}

/** How far two boxes stand apart in x or in y, the greater; 0 or less where they meet. */
function boxGap(boxes: Float64Array, a: number, b: number): number {
  return Math.max(
    boxes[a]! - boxes[b + 2]!,
    boxes[b]! - boxes[a + 2]!,
    boxes[a + 1]! - boxes[b + 3]!,
    boxes[b + 1]! - boxes[a + 3]!,
  )
}

function boxesOf(
  runs: readonly number[],
  ax: Float64Array,
  ay: Float64Array,
  bx: Float64Array,
  by: Float64Array,
): Float64Array {
  const boxes = new Float64Array(4 * (runs.length - 1))
  for (let r = 0; r + 1 < runs.length; r++) {
    let minX = Infinity
    let minY = Infinity
    let maxX = -Infinity
    let maxY = -Infinity
    for (let i = runs[r]!; i < runs[r + 1]!; i++) {
      minX = Math.min(minX, ax[i]!, bx[i]!)
      minY = Math.min(minY, ay[i]!, by[i]!)
      maxX = Math.max(maxX, ax[i]!, bx[i]!)
      maxY = Math.max(maxY, ay[i]!, by[i]!)
    }
    boxes[4 * r] = minX
    boxes[4 * r + 1] = minY
    boxes[4 * r + 2] = maxX
    boxes[4 * r + 3] = maxY
  }
  return boxes
}
