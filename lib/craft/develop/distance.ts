import type { Vector } from '../../shape/pose'
import type { Ruled } from './unroll'

/**
 * Distance of each point from a ruled surface. The triangles lie one behind the other, so each search begins with the
 * triangle that was nearest to the point before and gives up on triangles whose bounding ball is too far away.
 */
export function distancesTo(surface: Ruled, points: readonly Vector[]): number[] {
  const triangles = trianglesOf(surface)
  const count = triangles.length / STRIDE
  let nearest = 0
  return points.map(([x, y, z]) => {
    let best = squaredDistance(triangles, nearest, x, y, z)
    for (let t = 0; t < count; t++) {
      const at = t * STRIDE
      const dx = triangles[at + 9]! - x
      const dy = triangles[at + 10]! - y
      const dz = triangles[at + 11]! - z
      const reach = triangles[at + 12]! + Math.sqrt(best)
      if (dx * dx + dy * dy + dz * dz > reach * reach) continue
      const squared = squaredDistance(triangles, t, x, y, z)
      if (squared < best) {
        best = squared
        nearest = t
      }
    }
    return Math.sqrt(best)
  })
}

/** A triangle in the array: first corner, two sides from it, centre and radius of a ball round it. */
const STRIDE = 13

function trianglesOf({ a, b, rulings }: Ruled): Float64Array {
  const corners: (readonly [Vector, Vector, Vector])[] = []
  for (let k = 1; k < rulings.length; k++) {
    const [i, j] = rulings[k - 1]!
    const [nextI, nextJ] = rulings[k]!
    if (nextI !== i) corners.push([a[i]!, a[nextI]!, b[j]!])
    if (nextJ !== j) corners.push([a[nextI]!, b[nextJ]!, b[j]!])
  }
  const all = new Float64Array(corners.length * STRIDE)
  for (const [t, [p, q, r]] of corners.entries()) {
    const centre = [0, 1, 2].map((n) => (p[n]! + q[n]! + r[n]!) / 3)
    const far = (from: Vector): number => Math.hypot(from[0] - centre[0]!, from[1] - centre[1]!, from[2] - centre[2]!)
    all.set(
      [p[0], p[1], p[2], q[0] - p[0], q[1] - p[1], q[2] - p[2], r[0] - p[0], r[1] - p[1], r[2] - p[2]],
      t * STRIDE,
    )
    all.set([centre[0]!, centre[1]!, centre[2]!, Math.max(far(p), far(q), far(r))], t * STRIDE + 9)
  }
  return all
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
