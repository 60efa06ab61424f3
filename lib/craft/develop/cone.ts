import { FindingError } from '../../finding/finding'
import { CHORD_TOLERANCE, type Point } from '../../shape/point'
import type { Vector } from '../../shape/pose'
import { inMm } from '../figure'
import { type Flat, plainFlat } from '../flat'
import { degrees, radians } from '../space'
import { type Pattern, type PatternOptions, patternOf } from './pattern'
import type { Ruling } from './unroll'

export interface Frustum {
  /** Radii of the surface the card lies on, at the bottom and at the top; one of them may be 0. */
  readonly bottom: number
  readonly top: number
  readonly height: number
  /** From that surface to the card's neutral layer, at right angles to it. */
  readonly out?: number
  /** Part of the round that is covered, degrees. */
  readonly turn?: number
  readonly tolerance?: number
}

/**
 * Flat pattern of a frustum of a right cone, seen from outside, the apex at the origin: a ring sector of radii r/sin β
 * and angle 360°·sin β, β the half-angle at the apex (sin β = |R − r| / slant). The neutral layer lies out/cos β
 * further from the axis.
 *
 * @throws FindingError for equal radii, which are a cylinder
 */
export function frustum(spec: Frustum): Flat {
  const { height, turn = 360, tolerance = CHORD_TOLERANCE } = spec
  const { sector, inner, outer } = frustumSector(spec)
  if (!(inner < outer) || height <= 0) throw notACone(spec)
  const angle = (sector * turn) / 360
  const steps = (radius: number): number =>
    radius === 0 ? 0 : Math.ceil(radians(angle) / (2 * Math.acos(1 - Math.min(1, tolerance / radius))))
  // Apex above a wide bottom, below a wide top, so that the pattern stands as the cone does.
  const apexUp = spec.bottom > spec.top
  const start = (apexUp ? -90 : 90) - angle / 2
  const arc = (radius: number): Point[] => {
    const count = steps(radius)
    return Array.from({ length: count + 1 }, (_, i) => {
      const at = radians(start + (count === 0 ? 0 : (angle * i) / count))
      return [radius * Math.cos(at), radius * Math.sin(at)]
    })
  }
  return plainFlat([...arc(outer), ...arc(inner).toReversed()], { grain: 90 })
}

/** Radii of the flat ring sector and its angle for the full round, degrees. */
export function frustumSector({ bottom, top, height, out = 0 }: Frustum): {
  inner: number
  outer: number
  sector: number
} {
  const slant = Math.hypot(height, bottom - top)
  const sine = Math.abs(bottom - top) / slant
  const shift = (out * slant) / height
  const radii = [bottom + shift, top + shift].map((radius) => radius / sine)
  return { inner: Math.min(...radii), outer: Math.max(...radii), sector: 360 * sine }
}

export interface ObliqueFrustum extends PatternOptions {
  readonly bottom: number
  /** Radius at the top; 0 for an apex. */
  readonly top: number
  readonly height: number
  /** How far the middle of the top lies beside the middle of the bottom, towards φ = 0 and φ = 90°. */
  readonly shift: readonly [number, number]
  /** Where the seam is, degrees. */
  readonly seam?: number
  readonly tolerance?: number
}

/**
 * Flat pattern of an oblique cone or its frustum between two level circles. Points at equal angle have parallel
 * tangents, so the lines between them are the rulings, and each strip between two of them is plane.
 */
export function obliqueFrustum(spec: ObliqueFrustum): Pattern {
  const { bottom, top, height, shift, seam = 0, tolerance = CHORD_TOLERANCE } = spec
  const step = 2 * Math.acos(1 - Math.min(1, tolerance / Math.max(bottom, top)))
  const count = Math.max(8, Math.ceil((2 * Math.PI) / step))
  const ring = (radius: number, x: number, y: number, z: number): Vector[] =>
    Array.from({ length: radius === 0 ? 1 : count + 1 }, (_, i) => {
      const at = radians(seam) + (2 * Math.PI * i) / count
      return [x + radius * Math.cos(at), y + radius * Math.sin(at), z]
    })
  const a = ring(bottom, 0, 0, 0)
  const b = ring(top, shift[0], shift[1], height)
  const rulings = Array.from({ length: count + 1 }, (_, i): Ruling => [
    Math.min(i, a.length - 1),
    Math.min(i, b.length - 1),
  ])
  return patternOf({ a, b, rulings }, spec)
}

/** Half-angle at the apex of a frustum, degrees. */
export function halfAngle({ bottom, top, height }: Pick<Frustum, 'bottom' | 'top' | 'height'>): number {
  return degrees(Math.atan2(Math.abs(bottom - top), height))
}

function notACone({ bottom, top, height }: Frustum): FindingError {
  return new FindingError({
    id: 'cone',
    severity: 'error',
    text: `a cone of radii ${bottom.toFixed(2)} and ${inMm(top)}, ${inMm(height)} high`,
    remedy: 'give two different radii and a height above 0, or use a cylinder',
    found: bottom,
    wanted: top,
  })
}
