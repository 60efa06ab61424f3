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
  const [ax, ay, bx, by] = [0, 1, 2, 3].map(() => new Float64Array(count)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ]
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
 * Calls `visit` for every pair of different edges whose boxes come within `reach` of each other, until it answers
 * true. `reach` may be a function, read anew for each run, so that a search narrows as it finds.
 */
export function eachNearPair(
  edges: Edges,
  reach: number | (() => number),
  visit: (i: number, j: number) => boolean,
): void {
  const { ax, ay, bx, by, runs, boxes } = edges
  const reachNow = typeof reach === 'number' ? () => reach : reach
  for (let a = 0; a + 1 < runs.length; a++) {
    for (let b = a; b + 1 < runs.length; b++) {
      const r = reachNow()
      if (boxes[4 * a]! - r > boxes[4 * b + 2]! || boxes[4 * b]! - r > boxes[4 * a + 2]!) continue
      if (boxes[4 * a + 1]! - r > boxes[4 * b + 3]! || boxes[4 * b + 1]! - r > boxes[4 * a + 3]!) continue
      for (let i = runs[a]!; i < runs[a + 1]!; i++) {
        const minX = Math.min(ax[i]!, bx[i]!) - r
        const maxX = Math.max(ax[i]!, bx[i]!) + r
        const minY = Math.min(ay[i]!, by[i]!) - r
        const maxY = Math.max(ay[i]!, by[i]!) + r
        for (let j = a === b ? i + 1 : runs[b]!; j < runs[b + 1]!; j++) {
          if ((ax[j]! < minX && bx[j]! < minX) || (ax[j]! > maxX && bx[j]! > maxX)) continue
          if ((ay[j]! < minY && by[j]! < minY) || (ay[j]! > maxY && by[j]! > maxY)) continue
          if (visit(i, j)) return
        }
      }
    }
  }
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
    let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity]
    for (let i = runs[r]!; i < runs[r + 1]!; i++) {
      minX = Math.min(minX, ax[i]!, bx[i]!)
      minY = Math.min(minY, ay[i]!, by[i]!)
      maxX = Math.max(maxX, ax[i]!, bx[i]!)
      maxY = Math.max(maxY, ay[i]!, by[i]!)
    }
    boxes.set([minX, minY, maxX, maxY], 4 * r)
  }
  return boxes
}
