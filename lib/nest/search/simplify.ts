import type { Loop, Point } from '../../shape/point'

/**
 * A loop with fewer points whose inside covers the given one: dents are bridged, and short edges on bulges are replaced
 * by the corner that their neighbours meet in. What the search then keeps apart is apart in truth.
 * @param loop simple, with the card on its left: an outline counter-clockwise, an opening clockwise
 * @param reach how far the result may stand off the given outline in one place
 * @param growth how much area may be added in all
 */
export function simplifyOutward(loop: Loop, reach: number, growth: number): Loop {
  const points = withoutRepeats(loop, reach * 1e-6)
  const steps = points.map((_, i) => stepAt(points, i, reach))
  let budget = growth
  while (points.length > 3) {
    const at = cheapest(steps)
    const step = steps[at]
    if (!step || step.added > budget) break
    if (!isClear(points, at, step)) {
      steps[at] = undefined
      continue
    }
    budget -= step.added
    points.splice(at, 1)
    steps.splice(at, 1)
    const n = points.length
    if (step.corner) points[at % n] = step.corner
    // A step depends on the point before and the two after it.
    for (let near = at - 3; near <= at + 1; near++) steps[(near + n) % n] = stepAt(points, (near + n) % n, reach)
  }
  return points
}

interface Step {
  readonly added: number
  /** Stands in place of the point after the one taken away. */
  readonly corner?: Point
}

function stepAt(points: readonly Point[], i: number, reach: number): Step | undefined {
  return bridgeDent(points, i, reach) ?? extendNeighbours(points, i, reach)
}

function cheapest(steps: readonly (Step | undefined)[]): number {
  let best = -1
  let least = Infinity
  for (let i = 0; i < steps.length; i++) {
    const step = steps[i]
    if (step && step.added < least) {
      least = step.added
      best = i
    }
  }
  return best
}

/** Takes a reflex point away: the chord lies outside the outline. */
function bridgeDent(points: readonly Point[], i: number, reach: number): Step | undefined {
  const [before, at, after] = around(points, i)
  const turn = cross(before, at, after)
  if (turn > 0) return undefined
  const chord = Math.hypot(after[0] - before[0], after[1] - before[1])
  if (chord === 0 || -turn / chord > reach) return undefined
  return { added: -turn / 2 }
}

/** Takes the edge from point i to the next away where both are bulges, and lets the edges beside it meet. */
function extendNeighbours(points: readonly Point[], i: number, reach: number): Step | undefined {
  const n = points.length
  const [before, at, after] = around(points, i)
  const last = points[(i + 2) % n]!
  if (n < 4 || cross(before, at, after) <= 0 || cross(at, after, last) <= 0) return undefined
  const corner = meet(before, at, last, after)
  if (!corner) return undefined
  const added = cross(at, corner, after) / 2
  const edge = Math.hypot(after[0] - at[0], after[1] - at[1])
  if (added < 0 || (2 * added) / edge > reach) return undefined
  return { added, corner }
}

function around(points: readonly Point[], i: number): [Point, Point, Point] {
  const n = points.length
  return [points[(i + n - 1) % n]!, points[i]!, points[(i + 1) % n]!]
}

function cross(a: Point, b: Point, c: Point): number {
  return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
}

/** Where the line from a through b meets the line from d through c, beyond b and beyond c. */
function meet(a: Point, b: Point, d: Point, c: Point): Point | undefined {
  const ux = b[0] - a[0]
  const uy = b[1] - a[1]
  const vx = c[0] - d[0]
  const vy = c[1] - d[1]
  const det = vx * uy - ux * vy
  if (Math.abs(det) < 1e-12 * Math.hypot(ux, uy) * Math.hypot(vx, vy)) return undefined
  const s = (vx * (d[1] - b[1]) - vy * (d[0] - b[0])) / det
  const t = (ux * (d[1] - b[1]) - uy * (d[0] - b[0])) / det
  return s >= 0 && t >= 1 ? [b[0] + s * ux, b[1] + s * uy] : undefined
}

/** A new edge or corner must not run across another part of the outline: no point may lie in the added triangle. */
function isClear(points: readonly Point[], i: number, step: Step): boolean {
  const [before, at, after] = around(points, i)
  const [a, b, c] = step.corner ? [at, after, step.corner] : [before, at, after]
  const turned = cross(a, b, c) < 0
  for (const p of points) {
    if (p === before || p === at || p === after || p === a || p === b || p === c) continue
    const u = cross(a, b, p)
    const v = cross(b, c, p)
    const w = cross(c, a, p)
    if (turned ? u <= 0 && v <= 0 && w <= 0 : u >= 0 && v >= 0 && w >= 0) return false
  }
  return true
}

function withoutRepeats(loop: Loop, least: number): Point[] {
  return loop.filter((p, i) => {
    const q = loop[(i + 1) % loop.length]!
    return Math.hypot(p[0] - q[0], p[1] - q[1]) > least
  })
}
