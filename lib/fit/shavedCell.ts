import { type CellTree, OUTSIDE } from './cellTree'

/** A body as it is to be taken: all of it, or what is left when card is shaved from both faces and from its outline. */
export interface Taken {
  readonly tree: CellTree
  /** What is left of its thickness, from 0, the middle of the card, to 1. What is not of card stays as it is. */
  readonly share: number
  /** What is taken off along its outline, mm; none where not given. */
  readonly margin?: number
}

/** Room for the corners of one cell. */
export interface Cell {
  readonly xyz: Float64Array
  count: number
}

/** Three halfplanes at edges and three at corners leave nine corners at most, on two faces. */
const MOST = 18

export function emptyCell(): Cell {
  return { xyz: new Float64Array(3 * MOST), count: 0 }
}

/** The cell shaved from both faces, its outline left alone: three corners of the printed face, then three of the other. */
export function take({ tree: { corners, card }, share }: Taken, cell: number, into: Cell): void {
  const { xyz } = into
  const from = 18 * cell
  into.count = 6
  if (!card || share === 1) {
    for (let k = 0; k < 18; k++) xyz[k] = corners[from + k]!
    return
  }
  for (let k = 0; k < 9; k++) {
    const middle = (corners[from + k]! + corners[from + 9 + k]!) / 2
    const out = (corners[from + k]! - corners[from + 9 + k]!) / 2
    xyz[k] = middle + out * share
    xyz[k + 9] = middle - out * share
  }
}

// Shares of the three corners of each corner that is left, and room for what the next cut leaves of them.
let shares = new Float64Array(3 * MOST)
let left = new Float64Array(3 * MOST)
const middles = new Float64Array(9)
const whole = new Float64Array(18)

/**
 * Cuts from a cell that was taken what lies within the margin of the outline: along each of its edges there, and round
 * each corner. What is cut is all nearer to the outline than that, so that more is left rather than less.
 *
 * @returns whether anything is left
 */
export function trim({ tree, margin = 0 }: Taken, cell: number, taken: Cell): boolean {
  if (!tree.card || margin <= 0) return true
  const flags = tree.outside()[cell]!
  if (flags === 0) return true
  const { xyz } = taken
  whole.set(xyz.subarray(0, 18))
  for (let k = 0; k < 9; k++) middles[k] = (whole[k]! + whole[k + 9]!) / 2
  shares.fill(0, 0, 9)
  shares[0] = shares[4] = shares[8] = 1
  let count = 3
  for (let p = 0; p < 3 && count > 0; p++) {
    const [q, r] = [(p + 1) % 3, (p + 2) % 3]
    if (flags & (OUTSIDE.wall << p)) {
      const [fromP, fromQ] = [offEdge(p, q, r, margin), offEdge(q, p, r, margin)]
      if (fromP >= 1 || fromQ >= 1) return false
      count = cut(count, p, -fromP / (1 - fromP), q, -fromQ / (1 - fromQ), r, 1)
    }
    if (flags & (OUTSIDE.corner << p)) {
      const [toQ, toR] = [Math.min(1, margin / side(p, q)), Math.min(1, margin / side(p, r))]
      count = cut(count, p, -1, q, (1 - toQ) / toQ, r, (1 - toR) / toR)
    }
  }
  for (let i = 0; i < count; i++) {
    const [u, v, w] = [shares[3 * i]!, shares[3 * i + 1]!, shares[3 * i + 2]!]
    for (let k = 0; k < 3; k++) {
      xyz[3 * i + k] = u * whole[k]! + v * whole[3 + k]! + w * whole[6 + k]!
      xyz[3 * (count + i) + k] = u * whole[9 + k]! + v * whole[12 + k]! + w * whole[15 + k]!
    }
  }
  taken.count = 2 * count
  return count > 0
}

/** The share of the way from p to r at which one is the margin away from the edge from p to q. */
function offEdge(p: number, q: number, r: number, margin: number): number {
  let dot = 0
  for (let k = 0; k < 3; k++) dot += (middles[3 * q + k]! - middles[3 * p + k]!) * (middles[3 * r + k]! - middles[3 * p + k]!)
  const [edge, way] = [side(p, q), side(p, r)]
  const cosine = edge * way > 0 ? dot / (edge * way) : 1
  const sine = cosine > 0 ? Math.sqrt(Math.max(0, 1 - cosine * cosine)) : 1
  return sine * way > margin ? margin / (sine * way) : 1
}

function side(p: number, q: number): number {
  return Math.hypot(
    middles[3 * q]! - middles[3 * p]!,
    middles[3 * q + 1]! - middles[3 * p + 1]!,
    middles[3 * q + 2]! - middles[3 * p + 2]!,
  )
}

/** Keeps what is above 0 of a sum of the three shares, each by its factor (I. Sutherland and G. Hodgman, 1974). */
function cut(count: number, p: number, atP: number, q: number, atQ: number, r: number, atR: number): number {
  const value = (i: number): number => shares[3 * i + p]! * atP + shares[3 * i + q]! * atQ + shares[3 * i + r]! * atR
  let kept = 0
  for (let i = 0; i < count; i++) {
    const next = (i + 1) % count
    const [here, there] = [value(i), value(next)]
    if (here >= 0) {
      for (let k = 0; k < 3; k++) left[3 * kept + k] = shares[3 * i + k]!
      kept++
    }
    if (here >= 0 !== there >= 0) {
      const t = here / (here - there)
      for (let k = 0; k < 3; k++) left[3 * kept + k] = shares[3 * i + k]! + t * (shares[3 * next + k]! - shares[3 * i + k]!)
      kept++
    }
  }
  const swapped = shares
  shares = left
  left = swapped
  return kept
}
