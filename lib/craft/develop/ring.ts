import { FindingError } from '../../finding/finding'
import type { Vector } from '../../shape/pose'
import { cross, dot, mix, norm, scale, subtract, unit } from '../space'

/**
 * A closed section opened at its seam, ready to be skinned: it begins and ends where the half-line from its middle in
 * the given direction meets it (the outermost meeting, where there are several). All sections of a skin cut in one
 * direction have their seams in line, whatever point each of them was drawn from.
 *
 * @throws FindingError for fewer than three points, or a direction square to the section's plane
 */
export function cutRing(ring: readonly Vector[], direction: Vector): Vector[] {
  if (ring.length < 3) throw noSeam(ring.length)
  const points = norm(subtract(ring[0]!, ring.at(-1)!)) < 1e-9 ? ring.slice(0, -1) : ring
  const middle = scale(points.reduce(sumOf, [0, 0, 0]), 1 / points.length)
  const normal = unit(
    points.map((point, i) => areaVector(middle, point, points[(i + 1) % points.length]!)).reduce(sumOf),
  )
  const out = subtract(direction, scale(normal, dot(direction, normal)))
  if (!(norm(out) > 1e-6 * norm(direction))) throw noSeam(points.length)
  const aside = cross(normal, unit(out))
  let best = { segment: -1, reach: -Infinity, t: 0 }
  for (const [i, from] of points.entries()) {
    const to = points[(i + 1) % points.length]!
    const [before, after] = [dot(subtract(from, middle), aside), dot(subtract(to, middle), aside)]
    if (before < 0 === after < 0) continue
    const t = before / (before - after)
    const reach = dot(subtract(mix(from, to, t), middle), out)
    if (reach > best.reach) best = { segment: i, reach, t }
  }
  const { segment, t } = best
  const seam = mix(points[segment]!, points[(segment + 1) % points.length]!, t)
  const rest = [...points.slice(segment + 1), ...points.slice(0, segment + 1)]
  return [seam, ...rest.filter((point) => norm(subtract(point, seam)) > 1e-6), seam]
}

function sumOf(a: Vector, b: Vector): Vector {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]]
}

function areaVector(middle: Vector, from: Vector, to: Vector): Vector {
  return cross(subtract(from, middle), subtract(to, middle))
}

function noSeam(count: number): FindingError {
  return new FindingError({
    id: 'skin-topology',
    severity: 'error',
    text: `no seam can be cut in a section of ${count} points: it takes 3, and a direction that lies along the section`,
    remedy: 'give the closed outline of the frame, and a direction across the subject such as straight down',
    found: count,
    wanted: 3,
  })
}
