import { FindingError, type Finding } from '../finding/finding'
import type { Point, Polyline } from '../shape/point'
import type { Vector } from '../shape/pose'
import { type Section, type SkinPanel, developSkin } from './develop/skin'
import { inMm } from './figure'
import { type Flat, plainFlat } from './flat'
import { degrees, radians } from './space'

/**
 * Doubly curved ends in petals. Card bends one way: a petal follows the meridian and stays straight across, so either
 * its middle lies on the body or its seams do.
 *
 * - `round`: half as wide as the n-th part of the circumference, πr/n, the gore of map makers. Pulled round by hand it
 *   closes; left straight across, the seams stay open by 2(r·sin(π/n) − (πr/n)·cos(π/n)).
 * - `over`: r·tan(π/n). The middle lies on the body, seams meet and stand r(1/cos(π/n) − 1) over it.
 * - `under`: r·sin(π/n). The seams lie on the body, the middle r(1 − cos(π/n)) under it, to be filled or shimmed.
 */
export type GoreFit = 'round' | 'over' | 'under'

export interface Gores {
  /** Meridian from the tip to the base: places along the axis and radii. */
  readonly profile: readonly (readonly [axial: number, radius: number])[]
  readonly fit: GoreFit
  /** Number of petals, or the largest gap wanted, mm, for which the least number is chosen. */
  readonly count: number | { readonly gap: number }
  /** From the body to the card's neutral layer. */
  readonly out?: number
}

export interface GoreSet {
  /** One petal, its base on the x axis, its tip above on the y axis. */
  readonly petal: Flat
  /** Lines across the petal from the base to the tip. */
  readonly lines: readonly PetalLine[]
  readonly count: number
  /** Angle from the axis at which the petals leave the base, degrees: 0 where the body goes on straight. */
  readonly baseAngle: number
  /** What the card misses by, mm: the opening of the seams for `round`, the distance from the body for the others. */
  readonly gap: number
  readonly findings: readonly Finding[]
}

/** A line across a petal, in the flat and standing: half its length, how far up it lies, and where its middle stands. */
export interface PetalLine {
  readonly half: number
  readonly rise: number
  readonly axial: number
  readonly radius: number
}

const FEWEST = 4
const MOST = 48

/**
 * Petals for a body of revolution.
 *
 * @throws FindingError for a profile that does not run from a tip (or a smaller ring) to a base
 */
export function gores(spec: Gores): GoreSet {
  const profile = offsetProfile(checkedProfile(spec.profile), spec.out ?? 0)
  const greatest = Math.max(...profile.map(([, radius]) => radius))
  const wanted = typeof spec.count === 'number' ? undefined : spec.count.gap
  const count = typeof spec.count === 'number' ? spec.count : countForGap(greatest, spec.fit, spec.count.gap)
  if (!Number.isInteger(count) || count < 3) throw fewGores(count)
  const gap = goreGap(greatest, spec.fit, count)
  const findings = wanted !== undefined && gap > wanted ? [wideGap(gap, wanted, count)] : []
  const lines = petalLines(profile, spec.fit, count)
  return { petal: petalFlat(lines), lines, count, baseAngle: baseAngle(profile), gap, findings }
}

/** What petals on a circle of this radius miss by, mm; see {@link GoreFit}. */
export function goreGap(radius: number, fit: GoreFit, count: number): number {
  const half = Math.PI / count
  if (fit === 'over') return radius * (1 / Math.cos(half) - 1)
  if (fit === 'under') return radius * (1 - Math.cos(half))
  return 2 * radius * (Math.sin(half) - half * Math.cos(half))
}

/** Half the width of a petal where the body has this radius. */
export function goreHalfWidth(radius: number, fit: GoreFit, count: number): number {
  const half = Math.PI / count
  return radius * (fit === 'over' ? Math.tan(half) : fit === 'under' ? Math.sin(half) : half)
}

/** A petal that leaves its base by less than this is bent there, not folded, degrees. */
const LEAST_FOLD = 10

/** All petals side by side on one strip, joined along the base with a skirt below, and folded in where they turn. */
export function petalCrown({ petal, count, baseAngle }: GoreSet, skirt: number): Flat {
  const upper = petal.outline.filter(([, y]) => y > 1e-9)
  const base = petal.outline.filter(([, y]) => y <= 1e-9).map(([x]) => x)
  const half = Math.max(...base)
  const width = 2 * half * count
  const top: Point[] = []
  for (let i = count - 1; i >= 0; i--) {
    const middle = half * (2 * i + 1)
    top.push([middle + half, 0], ...upper.map(([x, y]): Point => [middle + x, y]))
  }
  const scores = Array.from({ length: baseAngle < LEAST_FOLD ? 0 : count }, (_, i) => {
    const line: Polyline = [
      [2 * half * i, 0],
      [2 * half * (i + 1), 0],
    ]
    return { fold: 'mountain' as const, line, angle: baseAngle }
  })
  return plainFlat([[0, -skirt], [width, -skirt], ...top, [0, 0]], { scores, grain: 90 })
}

export interface PetalSurface {
  /** Meridian of the body at an angle round its axis, degrees, from the tip outwards. */
  readonly meridian: (angle: number) => readonly Vector[]
  /** Part of the round covered, degrees. */
  readonly from: number
  readonly to: number
  readonly count: number | { readonly gap: number }
  readonly out?: number
}

/**
 * Petals for any doubly curved end, such as a float's bow: each the developable surface between two meridians, so that
 * neighbours have the same seam to the last digit. The gap is the distance of the meridian half-way between them.
 */
export function petals(spec: PetalSurface): { panels: SkinPanel[]; count: number; gap: number; findings: Finding[] } {
  const wanted = typeof spec.count === 'number' ? undefined : spec.count.gap
  let count = typeof spec.count === 'number' ? spec.count : 1
  for (; ; count++) {
    const panels = petalPanels(spec, count)
    const gap = Math.max(...panels.map((panel) => panel.deviation))
    if (wanted !== undefined && gap > wanted && count < MOST) continue
    const findings = wanted !== undefined && gap > wanted ? [wideGap(gap, wanted, count)] : []
    return { panels, count, gap, findings }
  }
}

function petalPanels({ meridian, from, to, out = 0 }: PetalSurface, count: number): SkinPanel[] {
  const sections = Array.from({ length: 2 * count + 1 }, (_, i): Section => {
    const angle = from + ((to - from) * i) / (2 * count)
    return { name: `${angle.toFixed(1)}°`, points: meridian(angle) }
  })
  const splits = sections.map((_, i) => i).filter((i) => i % 2 === 0)
  const panels = developSkin(sections, { splits, out, allowed: Infinity })
  return panels.map((panel) => ({ ...panel, flat: { ...panel.flat, lines: [] } }))
}

function checkedProfile(profile: Gores['profile']): Gores['profile'] {
  const bad = profile.findIndex(([, radius]) => !(radius >= 0))
  const [first, last] = [profile[0], profile.at(-1)]
  if (profile.length >= 2 && bad < 0 && first![1] < last![1]) return profile
  throw new FindingError({
    id: 'gore-profile',
    severity: 'error',
    text: `a gore profile of ${profile.length} points from radius ${inMm(first?.[1] ?? 0)} to ${inMm(last?.[1] ?? 0)}`,
    remedy: 'give 2 points or more, radii of 0 or more, from the tip to the base',
    found: first?.[1] ?? 0,
    wanted: last?.[1] ?? 0,
  })
}

/** The profile at a distance along its normal; a tip on the axis stays on it. */
function offsetProfile(profile: Gores['profile'], out: number): Gores['profile'] {
  if (out === 0) return profile
  return profile.map(([x, r], i) => {
    const [px, pr] = profile[Math.max(0, i - 1)]!
    const [qx, qr] = profile[Math.min(profile.length - 1, i + 1)]!
    const length = Math.hypot(qx - px, qr - pr)
    // Along the axis towards the base, the outside lies to the side of growing radius.
    const [nx, nr] = [-(qr - pr) / length, (qx - px) / length]
    const outwards = qx >= px ? 1 : -1
    if (r === 0) return [x - Math.sign(qx - px) * out, 0]
    return [x + outwards * out * nx, r + outwards * out * nr]
  })
}

function baseAngle(profile: Gores['profile']): number {
  const [[x, r], [baseX, baseR]] = [profile.at(-2)!, profile.at(-1)!]
  return degrees(Math.atan2(baseR - r, Math.abs(baseX - x)))
}

function countForGap(radius: number, fit: GoreFit, wanted: number): number {
  for (let count = FEWEST; count < MOST; count++) if (goreGap(radius, fit, count) <= wanted) return count
  return MOST
}

function petalLines(profile: Gores['profile'], fit: GoreFit, count: number): PetalLine[] {
  // The middle of an `under` petal runs inside the body.
  const sink = fit === 'under' ? Math.cos(radians(180 / count)) : 1
  const rise: number[] = [0]
  for (let i = profile.length - 1; i > 0; i--) {
    const [[x, r], [nextX, nextR]] = [profile[i]!, profile[i - 1]!]
    rise.push(rise.at(-1)! + Math.hypot(x - nextX, sink * (r - nextR)))
  }
  return profile.toReversed().map(([axial, radius], i) => {
    return { half: goreHalfWidth(radius, fit, count), rise: rise[i]!, axial, radius: sink * radius }
  })
}

function petalFlat(lines: readonly PetalLine[]): Flat {
  const right = lines.map(({ half, rise }): Point => [half, rise])
  const left = right.filter(([x]) => x > 0).map(([x, y]): Point => [-x, y])
  const height = lines.at(-1)!.rise
  const middle = { kind: 'datum' as const, line: [[0, 0] as const, [0, height] as const], closed: false }
  return plainFlat([...right, ...left.toReversed()], { lines: [middle], grain: 0 })
}

function fewGores(count: number): FindingError {
  return new FindingError({
    id: 'gore-count',
    severity: 'error',
    text: `an end of ${count} petals, it takes 3 to close one`,
    remedy: `give a whole number of 3 or more, or the gap you allow`,
    found: count,
    wanted: 3,
  })
}

function wideGap(gap: number, wanted: number, count: number): Finding {
  return {
    id: 'gore-gap',
    severity: 'warning',
    text: `${count} petals leave a gap of ${inMm(gap)}, ${inMm(wanted)} is wanted`,
    remedy: 'allow the gap, or carve the end from a lamination',
    found: gap,
    wanted,
  }
}
