import type { Vector } from '../../shape/pose'
import type { Ruled } from './unroll'

/**
 * Distance of each point from a ruled surface. The triangles lie one behind the other, so each search begins with the
 * triangle that was nearest to the point before and gives up on triangles, and on runs of them, whose bounding ball is
 * too far away.
 */
export function distancesTo(surface: Ruled, points: readonly Vector[]): number[] {
  const triangles = trianglesOf(surface)
  const count = triangles.length / STRIDE
  const runs = runsOf(triangles, count)
  const runCount = runs.length / BALL
  let nearest = 0
  return points.map((point) => {
    const x = point[0]
    const y = point[1]
    const z = point[2]
    let best = squaredDistance(triangles, nearest, x, y, z)
    let far = Math.sqrt(best)
    for (let r = 0; r < runCount; r++) {
      if (isBeyond(runs, r * BALL, x, y, z, far)) continue
      const end = Math.min(count, (r + 1) * RUN)
      for (let t = r * RUN; t < end; t++) {
        if (isBeyond(triangles, t * STRIDE + 9, x, y, z, far)) continue
        const squared = squaredDistance(triangles, t, x, y, z)
        if (squared >= best) continue
        best = squared
        far = Math.sqrt(best)
        nearest = t
      }
    }
    return far
  })
}

/** A triangle in the array: first corner, two sides from it, centre and radius of a ball round it. */
const STRIDE = 13

/** A ball in an array: centre and radius. */
const BALL = 4

/** So many triangles share a ball of their own. */
const RUN = 12

/** Whether all of a ball is farther from a point than a distance. */
function isBeyond(all: Float64Array, at: number, x: number, y: number, z: number, distance: number): boolean {
  const dx = all[at]! - x
  const dy = all[at + 1]! - y
  const dz = all[at + 2]! - z
  const reach = all[at + 3]! + distance
  return dx * dx + dy * dy + dz * dz > reach * reach
}

function trianglesOf({ a, b, rulings }: Ruled): Float64Array {
  const all = new Float64Array(2 * rulings.length * STRIDE)
  let at = 0
  const add = (p: Vector, q: Vector, r: Vector): void => {
    const x = (p[0] + q[0] + r[0]) / 3
    const y = (p[1] + q[1] + r[1]) / 3
    const z = (p[2] + q[2] + r[2]) / 3
    all[at] = p[0]
    all[at + 1] = p[1]
    all[at + 2] = p[2]
    all[at + 3] = q[0] - p[0]
    all[at + 4] = q[1] - p[1]
    all[at + 5] = q[2] - p[2]
    all[at + 6] = r[0] - p[0]
    all[at + 7] = r[1] - p[1]
    all[at + 8] = r[2] - p[2]
    all[at + 9] = x
    all[at + 10] = y
    all[at + 11] = z
    all[at + 12] = Math.max(apart(p, x, y, z), apart(q, x, y, z), apart(r, x, y, z))
    at += STRIDE
  }
  for (let k = 1; k < rulings.length; k++) {
    const [i, j] = rulings[k - 1]!
    const [nextI, nextJ] = rulings[k]!
    if (nextI !== i) add(a[i]!, a[nextI]!, b[j]!)
    if (nextJ !== j) add(a[nextI]!, b[nextJ]!, b[j]!)
  }
  return all.subarray(0, at)
}

/** A ball round the balls of each run of triangles. */
function runsOf(triangles: Float64Array, count: number): Float64Array {
  const runs = new Float64Array(Math.ceil(count / RUN) * BALL)
  for (let first = 0; first < count; first += RUN) {
    const end = Math.min(count, first + RUN)
    const middle = (first + ((end - first) >> 1)) * STRIDE + 9
    const x = triangles[middle]!
    const y = triangles[middle + 1]!
    const z = triangles[middle + 2]!
    let radius = 0
    for (let t = first; t < end; t++) {
      const at = t * STRIDE + 9
      const dx = triangles[at]! - x
      const dy = triangles[at + 1]! - y
      const dz = triangles[at + 2]! - z
      radius = Math.max(radius, Math.sqrt(dx * dx + dy * dy + dz * dz) + triangles[at + 3]!)
    }
    runs.set([x, y, z, radius], (first / RUN) * BALL)
  }
  return runs
}

function apart(from: Vector, x: number, y: number, z: number): number {
  return Math.hypot(from[0] - x, from[1] - y, from[2] - z)
}

/** The same search by regions as `nearestInTriangle`, without making anything. */
function squaredDistance(all: Float64Array, t: number, x: number, y: number, z: number): number {
  const at = t * STRIDE
  const ux = all[at + 3]!
  const uy = all[at + 4]!
  const uz = all[at + 5]!
  const vx = all[at + 6]!
  const vy = all[at + 7]!
  const vz = all[at + 8]!
  const px = x - all[at]!
  const py = y - all[at + 1]!
  const pz = z - all[at + 2]!
  const uu = ux * ux + uy * uy + uz * uz
  const uv = ux * vx + uy * vy + uz * vz
  const vv = vx * vx + vy * vy + vz * vz
  const up = ux * px + uy * py + uz * pz
  const vp = vx * px + vy * py + vz * pz
  const area = uu * vv - uv * uv
  let s = area > 0 ? (vv * up - uv * vp) / area : -1
  let r = area > 0 ? (uu * vp - uv * up) / area : -1
  if (s < 0 || r < 0 || s + r > 1) {
    // Outside: the nearest point is on a side.
    const alongU = clamp(up / uu)
    const alongV = clamp(vp / vv)
    const alongW = clamp((uu - uv - up + vp) / (uu - 2 * uv + vv))
    const onU = uu * alongU * alongU - 2 * up * alongU
    const onV = vv * alongV * alongV - 2 * vp * alongV
    const [w1, w2] = [1 - alongW, alongW]
    const onW = uu * w1 * w1 + 2 * uv * w1 * w2 + vv * w2 * w2 - 2 * (up * w1 + vp * w2)
    if (onU <= onV && onU <= onW) [s, r] = [alongU, 0]
    else if (onV <= onW) [s, r] = [0, alongV]
    else [s, r] = [w1, w2]
  }
  const dx = px - s * ux - r * vx
  const dy = py - s * uy - r * vy
  const dz = pz - s * uz - r * vz
  return dx * dx + dy * dy + dz * dz
}

function clamp(t: number): number {
  return t > 0 ? Math.min(1, t) : 0
}
