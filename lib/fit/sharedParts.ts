import { convexDistance } from './convex'
import type { SharedCell } from './sharedCells'

/** Cells that hang together. */
export interface SharedPart {
  /** mm³, and the area around it, mm². */
  readonly volume: number
  readonly outside: number
  readonly cells: readonly SharedCell[]
}

/** Cells nearer than this touch, mm. */
const TOUCH = 1e-6

/** What is shared in one place and what in another, the largest first. */
export function sharedParts(cells: readonly SharedCell[]): SharedPart[] {
  const leads = cells.map((_, i) => i)
  const lead = (i: number): number => {
    let at = i
    while (leads[at] !== at) at = leads[at] = leads[leads[at]!]!
    return at
  }
  const boxes = cells.map(boxOf)
  const order = cells.map((_, i) => i).toSorted((i, j) => boxes[i]![0]! - boxes[j]![0]!)
  const open: number[] = []
  for (const i of order) {
    const box = boxes[i]!
    let still = 0
    for (const j of open) {
      if (boxes[j]![3]! + TOUCH < box[0]!) continue
      open[still++] = j
      if (!boxesTouch(box, boxes[j]!)) continue
      const p = lead(i)
      const q = lead(j)
      if (p !== q && apart(cells[i]!, cells[j]!) < TOUCH) leads[Math.max(p, q)] = Math.min(p, q)
    }
    open.length = still
    open.push(i)
  }
  const parts = new Map<number, SharedCell[]>()
  for (const [i, cell] of cells.entries()) {
    const own = parts.get(lead(i))
    if (own) own.push(cell)
    else parts.set(lead(i), [cell])
  }
  return [...parts.values()]
    .map((own) => ({ cells: own, volume: sumOf(own, 'volume'), outside: sumOf(own, 'outside') }))
    // Of parts alike the first one counts, whatever the last digits say.
    .toSorted((a, b) => Math.round(b.volume * 1e6) - Math.round(a.volume * 1e6))
}

function sumOf(cells: readonly SharedCell[], what: 'volume' | 'outside'): number {
  return cells.reduce((sum, cell) => sum + cell[what], 0)
}

function boxOf({ corners }: SharedCell): Float64Array {
  const box = Float64Array.from([Infinity, Infinity, Infinity, -Infinity, -Infinity, -Infinity])
  for (let k = 0; k < 3; k++) {
    for (let i = k; i < corners.length; i += 3) {
      if (corners[i]! < box[k]!) box[k] = corners[i]!
      if (corners[i]! > box[k + 3]!) box[k + 3] = corners[i]!
    }
  }
  return box
}

function boxesTouch(a: Float64Array, b: Float64Array): boolean {
  for (let k = 0; k < 3; k++) if (a[k]! > b[k + 3]! + TOUCH || b[k]! > a[k + 3]! + TOUCH) return false
  return true
}

function apart(a: SharedCell, b: SharedCell): number {
  return convexDistance({ xyz: a.corners, count: a.corners.length / 3 }, { xyz: b.corners, count: b.corners.length / 3 }, TOUCH)
}
