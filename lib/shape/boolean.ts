import { ClipType, Clipper64, FillRule, PathType, type Paths64 } from 'clipper2-ts'
import { bite } from './bite'
import { boundsMeet, boundsOf } from './bounds'
import { compareLoops, fromGrid, tidyPath, toGrid } from './grid'
import type { Loop, Region } from './point'

/** Area that lies in any of the regions. */
export function unite(...regions: Region[]): Region {
  const filled = regions.filter((region) => region.length > 0)
  if (filled.length <= 1) return filled[0] ?? []
  if (allApart(filled)) return filled.flat().toSorted(compareLoops)
  const [first, ...others] = filled
  return clip(ClipType.Union, first!.map(toGrid), others.flat().map(toGrid))
}

/** Area of the body outside every tool. Notches and holes are cut at once, the rest of the tools by one sweep. */
export function subtract(body: Region, ...tools: Region[]): Region {
  if (body.length === 0) return []
  const bounds = boundsOf(body)
  const cutting = tools.filter((tool) => tool.length > 0 && boundsMeet(bounds, boundsOf(tool)))
  if (cutting.length === 0) return body
  const { body: bitten, left } = bite(body.map(toGrid), cutting.flat().map(toGrid))
  return left.length === 0 ? regionFromPaths(bitten) : clip(ClipType.Difference, bitten, left)
}

/** Area common to all the regions. */
export function intersect(first: Region, ...others: Region[]): Region {
  let common = first
  for (const other of others) {
    if (common.length === 0 || other.length === 0) return []
    if (!boundsMeet(boundsOf(common), boundsOf(other))) return []
    common = clip(ClipType.Intersection, common.map(toGrid), other.map(toGrid))
  }
  return common
}

/**
 * The region that loops of any winding stand for, read by the even-odd rule: a loop inside another is a hole, one
 * inside that an island, and where loops cross, what lies inside an odd number of them is filled.
 */
export function normalize(loops: readonly Loop[]): Region {
  const clipper = sweep()
  clipper.addPaths(loops.map(toGrid), PathType.Subject)
  return run(clipper, ClipType.Union, FillRule.EvenOdd)
}

function allApart(regions: readonly Region[]): boolean {
  const bounds = regions.map(boundsOf)
  return bounds.every((a, i) => bounds.every((b, j) => j <= i || !boundsMeet(a, b)))
}

/**
 * Winding numbers add up under the non-zero rule: over a region they are 1, over its holes 0, so that overlapping
 * regions give 2 or more and a hole under another region is filled.
 */
function clip(type: ClipType, subject: Paths64, tools: Paths64): Region {
  const clipper = sweep()
  clipper.addPaths(subject, PathType.Subject)
  clipper.addPaths(tools, PathType.Clip)
  return run(clipper, type, FillRule.NonZero)
}

function sweep(): Clipper64 {
  const clipper = new Clipper64()
  clipper.preserveCollinear = false
  return clipper
}

function run(clipper: Clipper64, type: ClipType, rule: FillRule): Region {
  const solution: Paths64 = []
  clipper.execute(type, rule, solution)
  return regionFromPaths(solution)
}

/** Clipper's result in the order and form that every region here has. */
export function regionFromPaths(paths: Paths64): Region {
  const loops: Loop[] = []
  for (const path of paths) {
    const tidy = tidyPath(path)
    if (tidy) loops.push(fromGrid(tidy))
  }
  return loops.toSorted(compareLoops)
}
