import { FindingError } from '../../finding/finding'
import { CHORD_TOLERANCE, type Point } from '../../shape/point'
import { inMm } from '../figure'
import { type Flat, plainFlat } from '../flat'
import { radians } from '../space'

/** A plane that cuts a cylinder: at `height` on the axis, rising by `tilt` degrees in the direction `towards`. */
export interface AxisCut {
  readonly height: number
  readonly tilt?: number
  readonly towards?: number
}

export interface Cylinder {
  /** Radius of the surface the card lies on. */
  readonly radius: number
  /** From that surface to the card's neutral layer: K·t outside, −(1 − K)·t for a lining. */
  readonly out?: number
  readonly bottom: AxisCut
  readonly top: AxisCut
  /** Part of the round that is covered, degrees counter-clockwise seen from the top. */
  readonly from?: number
  readonly to?: number
  readonly tolerance?: number
}

/**
 * Flat pattern of a cylinder cut by two planes, seen from outside, x round it and y along the axis. A cut tilted by α
 * unrolls to the sine y = h + r·tan α·cos(φ − φ₀) over x = rφ, r at the neutral layer (Apostol and Mnatsakanian,
 * "Unwrapping Curves from Cylinders and Cones", Amer. Math. Monthly, May 2007).
 */
export function cylinder(spec: Cylinder): Flat {
  const { out = 0, bottom, top, from = 0, to = 360, tolerance = CHORD_TOLERANCE } = spec
  const radius = spec.radius + out
  const low = (phi: number): number => cutHeight(bottom, radius, phi)
  const high = (phi: number): number => cutHeight(top, radius, phi)
  checkHeights(low, high, from, to)
  const edge = (cut: AxisCut, height: (phi: number) => number): Point[] => {
    const rise = radius * Math.abs(Math.tan(radians(cut.tilt ?? 0)))
    // The sagitta of a chord of the sine over dφ is at most rise · dφ² / 8.
    const steps = rise < tolerance ? 1 : Math.ceil(radians(to - from) / Math.sqrt((8 * tolerance) / rise))
    return Array.from({ length: steps + 1 }, (_, i) => {
      const turned = ((to - from) * i) / steps
      return [radius * radians(turned), height(from + turned)]
    })
  }
  return plainFlat([...edge(bottom, low), ...edge(top, high).toReversed()], { grain: 90 })
}

/** Where the cut meets the cylinder at an angle round it. */
export function cutHeight({ height, tilt = 0, towards = 0 }: AxisCut, radius: number, phi: number): number {
  return height + radius * Math.tan(radians(tilt)) * Math.cos(radians(phi - towards))
}

function checkHeights(low: (phi: number) => number, high: (phi: number) => number, from: number, to: number): void {
  for (let i = 0; i <= 360; i++) {
    const phi = from + ((to - from) * i) / 360
    if (high(phi) > low(phi)) continue
    throw new FindingError({
      id: 'cylinder-cut',
      severity: 'error',
      text: `cuts of a cylinder meet at ${Math.round(phi)}°: bottom at ${inMm(low(phi))}, top at ${inMm(high(phi))}`,
      remedy: 'move the cuts apart or tilt them less',
      found: high(phi),
      wanted: low(phi),
    })
  }
}
