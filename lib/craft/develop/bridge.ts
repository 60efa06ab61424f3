import type { Vector } from '../../shape/pose'
import type { Ruling } from './unroll'

export interface BridgeOptions {
  /** Pairs of points that must be joined by a ruling, in order: the knuckles of a hull. */
  readonly through?: readonly Ruling[]
  /** Both edges are rings whose last point repeats the first. */
  readonly closed?: boolean
}

export interface Bridge {
  readonly rulings: readonly Ruling[]
  /** Twist left at each step between rulings: sine of the angle by which the surface fails to touch the far edge. */
  readonly twist: readonly number[]
}

/**
 * The triangles between two edges that come nearest to a developable surface.
 *
 * A surface is developable where one plane touches it all along each ruling. So the triangle on a short piece of one
 * edge must touch the other edge at its far corner: the far edge's points before and after lie on one side of it. By
 * how much it fails is the twist. Among all runs of rulings that do not cross — each step moves one end on by a point —
 * dynamic programming finds the one with the least Σ twist² · (length of the step), as a shortest path over the grid
 * of point pairs (the boundary triangulation of C. C. L. Wang and K. Tang, "Optimal boundary triangulations of an
 * interpolating ruled surface", 2005; the touching criterion makes exact what is sampled finely enough). Where twist
 * does not decide, as on flat parts, shorter rulings win.
 */
export function bridge(a: readonly Vector[], b: readonly Vector[], options: BridgeOptions = {}): Bridge {
  const stops: Ruling[] = [...(options.through ?? []), [a.length - 1, b.length - 1]]
  const rulings: Ruling[] = [[0, 0]]
  const twist: number[] = []
  let [i, j] = [0, 0]
  for (const [endI, endJ] of stops) {
    if (endI === i && endJ === j) continue
    const wrap = options.closed === true && (options.through?.length ?? 0) === 0
    const part = shortest(edgeOf(a, i, endI, wrap), edgeOf(b, j, endJ, wrap))
    for (const [di, dj] of part.rulings.slice(1)) rulings.push([i + di, j + dj])
    twist.push(...part.twist)
    ;[i, j] = [endI, endJ]
  }
  return { rulings, twist }
}

/** Weight of a ruling's length against twist: enough to decide between equals, too little to bend a ruling. */
const SHORTNESS = 1e-6

/** A piece of edge as flat arrays: points, and at each point the direction in which the edge comes and goes. */
interface Edge {
  readonly count: number
  readonly points: Float64Array
  readonly coming: Float64Array
  readonly going: Float64Array
  /** Length of each step. */
  readonly steps: Float64Array
}

function edgeOf(all: readonly Vector[], from: number, to: number, closed: boolean): Edge {
  const count = to - from + 1
  const points = new Float64Array(3 * count)
  const coming = new Float64Array(3 * count)
  const going = new Float64Array(3 * count)
  const steps = new Float64Array(count)
  for (let k = 0; k < count; k++) points.set(all[from + k]!, 3 * k)
  for (let k = 0; k + 1 < count; k++) {
    const x = points[3 * k + 3]! - points[3 * k]!
    const y = points[3 * k + 4]! - points[3 * k + 1]!
    const z = points[3 * k + 5]! - points[3 * k + 2]!
    const length = Math.sqrt(x * x + y * y + z * z)
    const direction = length === 0 ? [0, 0, 0] : [x / length, y / length, z / length]
    steps[k] = length
    going.set(direction, 3 * k)
    coming.set(direction, 3 * k + 3)
  }
  if (count > 1) {
    const last = 3 * (count - 1)
    // An open edge goes straight on beyond its ends; a ring goes on round.
    coming.set(closed ? coming.subarray(last, last + 3) : going.subarray(0, 3), 0)
    going.set(closed ? going.subarray(0, 3) : coming.subarray(last, last + 3), last)
  }
  return { count, points, coming, going, steps }
}

const STEP_A = 1
const STEP_B = 2

function shortest(a: Edge, b: Edge): Bridge {
  const columns = b.count
  const cost = new Float64Array(a.count * columns).fill(Infinity)
  const move = new Uint8Array(a.count * columns)
  const span = Math.max(squared(a, 0, b, 0), squared(a, a.count - 1, b, b.count - 1), 1e-12)
  cost[0] = 0
  for (let i = 0; i < a.count; i++) {
    for (let j = 0; j < columns; j++) {
      const here = i * columns + j
      const reach = squared(a, i, b, j) / span
      if (i > 0) {
        const miss = missing(a, i - 1, b, j)
        const sum = cost[here - columns]! + (miss * miss + SHORTNESS) * reach * a.steps[i - 1]!
        if (sum < cost[here]!) {
          cost[here] = sum
          move[here] = STEP_A
        }
      }
      if (j > 0) {
        const miss = missing(b, j - 1, a, i)
        const sum = cost[here - 1]! + (miss * miss + SHORTNESS) * reach * b.steps[j - 1]!
        if (sum < cost[here]!) {
          cost[here] = sum
          move[here] = STEP_B
        }
      }
    }
  }
  return traceBack(a, b, move)
}

function traceBack(a: Edge, b: Edge, move: Uint8Array): Bridge {
  const rulings: Ruling[] = []
  const twist: number[] = []
  let i = a.count - 1
  let j = b.count - 1
  rulings.push([i, j])
  while (i > 0 || j > 0) {
    if (move[i * b.count + j] === STEP_A) twist.push(missing(a, --i, b, j))
    else twist.push(missing(b, --j, a, i))
    rulings.push([i, j])
  }
  return { rulings: rulings.toReversed(), twist: twist.toReversed() }
}

/**
 * By how much the triangle on step i of one edge fails to touch the other edge at its point j: 0 where the other
 * edge's neighbours lie on one side of the triangle's plane, else the smaller of the two sines.
 */
function missing(edge: Edge, i: number, far: Edge, j: number): number {
  const p = edge.points
  const q = far.points
  const x = q[3 * j]! - p[3 * i]!
  const y = q[3 * j + 1]! - p[3 * i + 1]!
  const z = q[3 * j + 2]! - p[3 * i + 2]!
  const dx = edge.going[3 * i]!
  const dy = edge.going[3 * i + 1]!
  const dz = edge.going[3 * i + 2]!
  const nx = dy * z - dz * y
  const ny = dz * x - dx * z
  const nz = dx * y - dy * x
  const length = Math.sqrt(nx * nx + ny * ny + nz * nz)
  // At a tip, where both edges begin, there is no triangle yet to be wrong.
  if (length === 0) return x === 0 && y === 0 && z === 0 ? 0 : 1
  const { coming, going } = far
  const before = (nx * coming[3 * j]! + ny * coming[3 * j + 1]! + nz * coming[3 * j + 2]!) / length
  const after = (nx * going[3 * j]! + ny * going[3 * j + 1]! + nz * going[3 * j + 2]!) / length
  return before * after <= 0 ? 0 : Math.min(Math.abs(before), Math.abs(after))
}

function squared(a: Edge, i: number, b: Edge, j: number): number {
  const x = a.points[3 * i]! - b.points[3 * j]!
  const y = a.points[3 * i + 1]! - b.points[3 * j + 1]!
  const z = a.points[3 * i + 2]! - b.points[3 * j + 2]!
  return x * x + y * y + z * z
}
