import type { Turned } from '../model/form'
import { loopArea } from '../shape/measure'
import type { Loop, Point } from '../shape/point'
import type { Body } from './body'

/** Farthest a flat of a round body may lie inside the circle, mm. */
const SAGITTA = 0.02
const FEWEST = 12
const MOST = 96

/** Nearer to the axis than this a point of the profile is on it, mm. */
const ON_AXIS = 1e-6

/** The profile that is turned about the axis, counter-clockwise, and how many flats the body has. */
export interface RoundSection {
  readonly loop: Loop
  readonly flats: number
}

export function roundSection({ profile }: Turned): RoundSection {
  const loop = withoutCrumbs(loopArea(profile) < 0 ? profile.toReversed() : profile)
  return { loop, flats: flatsOf(Math.max(...loop.map(([radius]) => radius))) }
}

/** The body that a profile of (radius, height) makes about the axis. */
export function revolved(form: Turned): Body {
  const { loop, flats } = roundSection(form)
  const rings: number[][] = []
  const vertices: number[] = []
  for (const [radius, height] of loop) {
    const onAxis = radius < ON_AXIS
    const ring: number[] = []
    for (let k = 0; k < (onAxis ? 1 : flats); k++) {
      const angle = (2 * Math.PI * k) / flats
      ring.push(vertices.length / 3)
      if (onAxis) vertices.push(0, 0, height)
      else vertices.push(radius * Math.cos(angle), radius * Math.sin(angle), height)
    }
    rings.push(ring)
  }
  const triangles: number[] = []
  for (const [i, ring] of rings.entries()) {
    const next = rings[(i + 1) % rings.length]!
    if (ring.length === 1 && next.length === 1) continue
    for (let k = 0; k < flats; k++) {
      const [a, b] = [ring[k % ring.length]!, ring[(k + 1) % ring.length]!]
      const [c, d] = [next[(k + 1) % next.length]!, next[k % next.length]!]
      if (a !== b) triangles.push(a, b, c)
      if (c !== d) triangles.push(a, c, d)
    }
  }
  return { vertices: new Float64Array(vertices), triangles: new Uint32Array(triangles) }
}

/** Points of a profile nearer than this to the line past them say nothing, mm. */
const CRUMB = 0.005

function withoutCrumbs(loop: Loop): Loop {
  const kept: Point[] = []
  for (const [i, point] of loop.entries()) {
    const [p, q] = [kept.at(-1) ?? loop.at(-1)!, loop[(i + 1) % loop.length]!]
    const [dx, dy] = [q[0] - p[0], q[1] - p[1]]
    const length = Math.hypot(dx, dy)
    if (length === 0 || Math.abs(dx * (point[1] - p[1]) - dy * (point[0] - p[0])) / length > CRUMB) kept.push(point)
  }
  return kept.length < 3 ? loop : kept
}

function flatsOf(radius: number): number {
  const wanted = Math.PI / Math.acos(1 - Math.min(1, SAGITTA / radius))
  return Math.min(MOST, Math.max(FEWEST, 4 * Math.ceil(wanted / 4)))
}
