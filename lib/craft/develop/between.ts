import { FindingError, type Finding } from '../../finding/finding'
import type { Point } from '../../shape/point'
import type { Vector } from '../../shape/pose'
import { inMm } from '../figure'
import { cross, distance, dot, subtract, unit } from '../space'
import { type Bridge, bridge } from './bridge'
import { type Pattern, patternOf } from './pattern'
import { type Ruled, type Ruling, facets } from './unroll'

export interface BetweenOptions {
  /** From the surface given to the card's neutral layer, outwards: K·t for a skin laid over frames. */
  readonly out?: number
  /** Pairs of points that must be joined by a straight line: the knuckles of two frames. */
  readonly through?: readonly Ruling[]
  /** A point on the inner side. Where it is not given, the second edge lies left of the first, seen from outside. */
  readonly inside?: Vector
  /** Deviation from developable above which a finding speaks, mm. */
  readonly allowed?: number
  /** Angle between neighbouring triangles from which their common line is scored, degrees. */
  readonly crease?: number
}

export interface Skin extends Pattern {
  /** How far the card will stand off the surface, mm: 0 for a developable one. See {@link pucker}. */
  readonly deviation: number
  /** How much longer the card is than the surface between its edges, at most, mm. */
  readonly stretch: number
}

/** Deviation that nobody sees on a model, mm. */
const ALLOWED = 0.25

/**
 * The developable skin between two edge curves in space, and its flat pattern. Curves are given as points close enough
 * together that their chords may stand for them; both must run the same way. A single point stands for an apex.
 *
 * @throws FindingError for edges of different topology or opposite direction
 */
export function developBetween(
  first: readonly Vector[],
  second: readonly Vector[],
  options: BetweenOptions = {},
): Skin {
  const { out = 0, allowed = ALLOWED, crease } = options
  const closed = checkEdges(first, second)
  let run = bridge(first, second, { closed, ...(options.through && { through: options.through }) })
  let surface: Ruled = { a: first, b: second, rulings: run.rulings }
  if (options.inside && facesTowards(surface, options.inside)) {
    surface = reversed(surface)
    run = { rulings: surface.rulings, twist: run.twist.toReversed() }
  }
  const pattern = patternOf(surface, { out, ...(crease !== undefined && { crease }) })
  const { deviation, stretch } = pucker(surface, run)
  const bulge = deviation > allowed ? [notDevelopable(deviation, allowed)] : []
  return { ...pattern, deviation, stretch, findings: [...bulge, ...pattern.findings] }
}

/**
 * How far a card stands off a surface that is not developable. Where the planes along both ends of a ruling differ by
 * a twist φ, the card keeps the lengths of both edges, but the surface half-way between them is shorter, by the factor
 * cos(φ/2). The excess e gathered over a run of length ℓ has to go somewhere. Of all single waves the one that stands
 * highest for its excess is a fold, h = √(ℓ·e/2) from e = 2(√(ℓ²/4 + h²) − ℓ/2); that is the figure. A square twisted
 * by φ gets φ/4 of its side, which is what a fold along its diagonal stands off the hyperbolic paraboloid.
 */
export function pucker(surface: Ruled, run: Bridge): { deviation: number; stretch: number } {
  let deviation = 0
  let stretch = 0
  let excess = 0
  let length = 0
  for (const [k, twist] of run.twist.entries()) {
    const [i, j] = run.rulings[k]!
    const [nextI, nextJ] = run.rulings[k + 1]!
    const step = nextI === i ? distance(surface.b[j]!, surface.b[nextJ]!) : distance(surface.a[i]!, surface.a[nextI]!)
    if (twist === 0) {
      excess = length = 0
      continue
    }
    length += step / 2
    excess += (step / 2) * (1 - Math.cos(Math.asin(Math.min(1, twist)) / 2))
    stretch = Math.max(stretch, excess)
    deviation = Math.max(deviation, Math.sqrt((length * excess) / 2))
  }
  return { deviation, stretch }
}

/** The same surface walked the other way, so that its other side is the outside. */
export function reversed({ a, b, rulings }: Ruled): Ruled {
  const turned = rulings.map(([i, j]): Ruling => [a.length - 1 - i, b.length - 1 - j]).toReversed()
  return { a: a.toReversed(), b: b.toReversed(), rulings: turned }
}

/** Whether both edges are rings. */
function checkEdges(a: readonly Vector[], b: readonly Vector[]): boolean {
  for (const [edge, which] of [
    [a, 'first'],
    [b, 'second'],
  ] as const) {
    const bad = edge.findIndex((point) => !point.every(Number.isFinite))
    if (bad >= 0)
      throw topology(
        `point ${bad + 1} of the ${which} edge of a skin is (${edge[bad]!.join(', ')})`,
        'give finite places',
      )
  }
  if (a.length === 0 || b.length === 0 || (a.length < 2 && b.length < 2)) {
    throw topology(`edges of ${a.length} and ${b.length} points`, 'give two curves, or a curve and an apex')
  }
  if (a.length < 2 || b.length < 2) return false
  const [ringA, ringB] = [isRing(a), isRing(b)]
  if (ringA !== ringB) {
    const [ring, open] = ringA ? ['first', 'second'] : ['second', 'first']
    throw topology(
      `the ${ring} edge of a skin is a ring, the ${open} one is open`,
      'cut the ring open where the skin ends',
    )
  }
  if (runsBack(a, b, ringA)) {
    throw topology('the two edges of a skin run in opposite directions', 'reverse the points of one of them')
  }
  return ringA
}

function isRing(edge: readonly Vector[]): boolean {
  return edge.length > 2 && distance(edge[0]!, edge.at(-1)!) < 1e-6
}

function runsBack(a: readonly Vector[], b: readonly Vector[], ring: boolean): boolean {
  if (!ring) return dot(subtract(a.at(-1)!, a[0]!), subtract(b.at(-1)!, b[0]!)) < 0
  return dot(windingOf(a), windingOf(b)) < 0
}

function windingOf(ring: readonly Vector[]): Vector {
  let sum: Vector = [0, 0, 0]
  for (let i = 1; i < ring.length; i++) {
    const part = cross(subtract(ring[i - 1]!, ring[0]!), subtract(ring[i]!, ring[0]!))
    sum = [sum[0] + part[0], sum[1] + part[1], sum[2] + part[2]]
  }
  return sum
}

function topology(text: string, remedy: string): FindingError {
  return new FindingError({ id: 'skin-topology', severity: 'error', text, remedy })
}

function facesTowards(surface: Ruled, inside: Vector): boolean {
  const flat = { ...surface, flatA: surface.a.map(origin), flatB: surface.b.map(origin) }
  let sum = 0
  for (const { space } of facets(flat)) {
    const [p, q, r] = space
    sum += dot(cross(subtract(q, p), subtract(r, p)), unit(subtract(inside, p)))
  }
  return sum > 0
}

function origin(): Point {
  return [0, 0]
}

function notDevelopable(deviation: number, allowed: number): Finding {
  return {
    id: 'not-developable',
    severity: 'warning',
    text: `the skin stands up to ${inMm(deviation)} off its surface, ${inMm(allowed)} is allowed`,
    remedy: 'split it at more frames or into narrower planks, or allow the gap',
    found: deviation,
    wanted: allowed,
  }
}
