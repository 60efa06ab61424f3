import type { CellTree } from './cellTree'
import { type Corners, convexDistance } from './convex'
import { type Taken, emptyCell, take, trim } from './shavedCell'

const one = emptyCell()
const other = emptyCell()
const trimmed = emptyCell()

/** The cells of two bodies, by their places in the trees, between which a distance was found. */
export interface Between {
  one: number
  other: number
}

/**
 * How far two bodies are apart, mm: 0 where they share a point, and `within` where that is nearer. The search ends at the
 * first distance of `enough` or less.
 *
 * @param between is told where the distance was found, where it is less than `within`
 */
export function cellsApart(a: Taken, b: Taken, within: number, enough = 0, between?: Between): number {
  const [p, q] = [a.tree, b.tree]
  let best = within
  const visit = (i: number, j: number): void => {
    if (best <= enough || boxGap(p, i, q, j) >= best) return
    const deepP = p.second[i]!
    const deepQ = q.second[j]!
    if (deepP === 0 && deepQ === 0) {
      leaves(i, j)
      return
    }
    const intoP = deepQ === 0 || (deepP !== 0 && p.end[i]! - p.first[i]! >= q.end[j]! - q.first[j]!)
    if (intoP) {
      const later = boxGap(p, i + 1, q, j) > boxGap(p, deepP, q, j)
      visit(later ? deepP : i + 1, j)
      visit(later ? i + 1 : deepP, j)
    } else {
      const later = boxGap(p, i, q, j + 1) > boxGap(p, i, q, deepQ)
      visit(i, later ? deepQ : j + 1)
      visit(i, later ? j + 1 : deepQ)
    }
  }
  const leaves = (i: number, j: number): void => {
    for (let m = p.first[i]!; m < p.end[i]!; m++) {
      take(a, m, one)
      for (let n = q.first[j]!; n < q.end[j]!; n++) {
        take(b, n, other)
        if (besides(one, other) >= best || besides(other, one) >= best) continue
        let apart = convexDistance(one, other, best)
        if (apart < best && (a.margin || b.margin)) apart = trimmedApart(m, n)
        if (apart < best) {
          best = apart
          if (between) Object.assign(between, { one: m, other: n })
        }
        if (best <= enough) return
      }
    }
  }
  // Off the outline as well, which few need: those left as they are have been found to come near enough.
  const trimmedApart = (m: number, n: number): number => {
    take(b, n, trimmed)
    if (!trim(a, m, one) || !trim(b, n, trimmed)) return Infinity
    const apart = convexDistance(one, trimmed, best)
    take(a, m, one)
    return apart
  }
  visit(0, 0)
  return best
}

function boxGap({ boxes: p }: CellTree, i: number, { boxes: q }: CellTree, j: number): number {
  let squared = 0
  for (let k = 0; k < 3; k++) {
    const apart = Math.max(p[6 * i + k]! - q[6 * j + 3 + k]!, q[6 * j + k]! - p[6 * i + 3 + k]!)
    if (apart > 0) squared += apart * apart
  }
  return Math.sqrt(squared)
}

/** How far apart two cells are square to the first face of the one; below 0 where they overlap that way. */
function besides(face: Corners, to: Corners): number {
  const f = face.xyz
  const ux = f[3]! - f[0]!
  const uy = f[4]! - f[1]!
  const uz = f[5]! - f[2]!
  const vx = f[6]! - f[0]!
  const vy = f[7]! - f[1]!
  const vz = f[8]! - f[2]!
  const nx = uy * vz - uz * vy
  const ny = uz * vx - ux * vz
  const nz = ux * vy - uy * vx
  const size = Math.sqrt(nx * nx + ny * ny + nz * nz)
  if (size < 1e-12) return -Infinity
  let ownLeast = Infinity
  let ownMost = -Infinity
  let least = Infinity
  let most = -Infinity
  for (let i = 0; i < 3 * face.count; i += 3) {
    const s = f[i]! * nx + f[i + 1]! * ny + f[i + 2]! * nz
    if (s < ownLeast) ownLeast = s
    if (s > ownMost) ownMost = s
  }
  const t = to.xyz
  for (let i = 0; i < 3 * to.count; i += 3) {
    const s = t[i]! * nx + t[i + 1]! * ny + t[i + 2]! * nz
    if (s < least) least = s
    if (s > most) most = s
  }
  return Math.max(least - ownMost, ownLeast - most) / size
}
