import { Clipper, FillRule } from 'clipper2-ts'
import { compareText } from '../finding/finding'
import type { Point } from '../shape/point'
import { Bundles } from './bundle'
import { contains, distanceBetween, type Part } from './near'
import { signedArea } from './turn'
import type { LayoutFault } from './verify'

/** What the pieces on one sheet have to keep to; mm. */
export interface Rules {
  readonly gap: number
  readonly tolerance: number
  readonly shared: boolean
}

/** What is wrong between the parts on one sheet. */
export function neighbourFaults(parts: readonly Part[], sheet: number, rules: Rules): LayoutFault[] {
  const pairs = nearPairs(parts, rules.gap)
  // Where no gap is kept there is none to be spared.
  const bundles = rules.shared && rules.gap > rules.tolerance ? new Bundles(pairs, rules.gap, rules.tolerance) : undefined
  const faults = pairs.flatMap(([part, other]) => pairFault(part, other, sheet, rules, bundles) ?? [])
  if (!bundles) return faults
  const atJoints = bundles.jointFaults().map(([a, b]): LayoutFault => {
    return { kind: 'gap', ...namesOf(a, b, sheet), found: 0, wanted: rules.gap }
  })
  return [...faults, ...atJoints]
}

/** The parts that have a cut in common with another. */
export function joinedAmong(parts: readonly Part[], { gap, tolerance }: Rules): Part[] {
  const bundles = new Bundles(nearPairs(parts, gap), gap, tolerance)
  return parts.filter((part) => bundles.hasCut(part))
}

/**
 * Whether a part may lie among others that are right by themselves.
 * @param around where cuts that it has with others end
 */
export function isRightAmong(part: Part, others: readonly Part[], rules: Rules, around = part.box): boolean {
  const { gap, tolerance } = rules
  const apart = others.map((other) => distanceBetween(part, other, Math.max(gap, 2 * tolerance)))
  const near = others.filter((_, i) => apart[i]! < gap - tolerance)
  if (near.length > 0) {
    if (!rules.shared) return false
    const bundles = new Bundles(nearPairs([part, ...others], gap), gap, tolerance)
    if (near.some((other) => !bundles.areTogether(part, other))) return false
    if (near.some((other) => bundles.fault(part, other, true) !== undefined)) return false
    if (bundles.jointFaults(around).length > 0) return false
  }
  // What costs most comes last.
  return others.every((other, i) => !(apart[i]! <= tolerance || isWithin(part, other)) || overlapDepth(part, other) <= tolerance)
}

function isWithin(a: Part, b: Part): boolean {
  return contains(a, b.rings[0]![0]!) || contains(b, a.rings[0]![0]!)
}

/** Sweeps the parts from left to right for those whose boxes come near each other. */
function nearPairs(parts: readonly Part[], gap: number): [Part, Part][] {
  const pairs: [Part, Part][] = []
  const sorted = parts.toSorted((a, b) => a.box.minX - b.box.minX || compareText(a.id, b.id))
  let open: Part[] = []
  for (const part of sorted) {
    open = open.filter((other) => other.box.maxX + gap > part.box.minX)
    for (const other of open) {
      if (part.fixed && other.fixed) continue
      if (other.box.maxY + gap <= part.box.minY || part.box.maxY + gap <= other.box.minY) continue
      pairs.push([part, other])
    }
    open.push(part)
  }
  return pairs
}

function namesOf(a: Part, b: Part, sheet: number): { id: string; other: string; sheet: number } {
  const [first, second] = a.fixed || (!b.fixed && compareText(a.id, b.id) > 0) ? [b, a] : [a, b]
  return { id: first.id, other: second.id, sheet }
}

function pairFault(a: Part, b: Part, sheet: number, { gap, tolerance }: Rules, bundles?: Bundles): LayoutFault | undefined {
  const names = namesOf(a, b, sheet)
  const distance = distanceBetween(a, b, Math.max(gap, tolerance))
  if (distance <= tolerance || isWithin(a, b)) {
    const depth = overlapDepth(a, b)
    if (depth > tolerance) return { kind: 'overlap', ...names, found: depth, wanted: 0 }
  }
  if (distance >= gap - tolerance) return undefined
  const found = bundles?.areTogether(a, b) ? bundles.fault(a, b) : distance
  return found === undefined ? undefined : { kind: 'gap', ...names, found, wanted: gap }
}

/**
 * How deep two parts go into each other, measured as twice the area over the perimeter of the deepest common region:
 * for a sliver along a common edge that is its width, for a corner about half its depth.
 */
function overlapDepth(a: Part, b: Part): number {
  const common = Clipper.intersectD(toPaths(a), toPaths(b), FillRule.EvenOdd, DECIMALS).map(measureRing)
  // A region with a hole (a piece that just fills an opening) is judged as a whole.
  if (common.some(({ area }) => area < 0)) {
    return (2 * common.reduce((sum, { area }) => sum + area, 0)) / common.reduce((sum, { around }) => sum + around, 0)
  }
  return common.reduce((deepest, { area, around }) => Math.max(deepest, around > 0 ? (2 * area) / around : 0), 0)
}

function measureRing(path: readonly { x: number; y: number }[]): { area: number; around: number } {
  const area = signedArea(path.map(({ x, y }): Point => [x, y]))
  let around = 0
  for (let i = 0, j = path.length - 1; i < path.length; j = i++) {
    around += Math.hypot(path[i]!.x - path[j]!.x, path[i]!.y - path[j]!.y)
  }
  return { area, around }
}

function toPaths(part: Part): { x: number; y: number }[][] {
  return part.rings.map((ring) => ring.map(([x, y]) => ({ x, y })))
}

/** Decimals of a millimetre that the intersection is worked to. */
const DECIMALS = 6
