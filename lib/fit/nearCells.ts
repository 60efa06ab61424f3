import type { Vector } from '../shape/pose'
import { type Body, twoFaced } from './body'
import type { CellTree } from './cellTree'

/**
 * Which cells of two bodies have boxes that meet, 1 for each that does, the second body moved by `shift`; in the order of
 * their trees.
 */
export function nearCells(a: CellTree, b: CellTree, shift: Vector = [0, 0, 0]): [Uint8Array, Uint8Array] {
  const ours = new Uint8Array(a.order.length)
  const theirs = new Uint8Array(b.order.length)
  const meet = (p: Float64Array, i: number, q: Float64Array, j: number): boolean => {
    for (let k = 0; k < 3; k++) {
      if (p[6 * i + k]! > q[6 * j + 3 + k]! + shift[k]! || q[6 * j + k]! + shift[k]! > p[6 * i + 3 + k]!) return false
    }
    return true
  }
  const visit = (i: number, j: number): void => {
    if (!meet(a.boxes, i, b.boxes, j)) return
    const [intoA, intoB] = [a.second[i]!, b.second[j]!]
    if (intoA === 0 && intoB === 0) {
      for (let m = a.first[i]!; m < a.end[i]!; m++) {
        for (let n = b.first[j]!; n < b.end[j]!; n++) {
          if ((ours[m] && theirs[n]) || !meet(a.cellBoxes, m, b.cellBoxes, n)) continue
          ours[m] = 1
          theirs[n] = 1
        }
      }
    } else if (intoB === 0 || (intoA !== 0 && a.end[i]! - a.first[i]! >= b.end[j]! - b.first[j]!)) {
      visit(i + 1, j)
      visit(intoA, j)
    } else {
      visit(i, j + 1)
      visit(i, intoB)
    }
  }
  visit(0, 0)
  return [ours, theirs]
}

/** A closed body of some of a card's cells, with walls where they were cut out of it. */
export function bodyOfCells({ vertices, triangles }: Body, { order }: CellTree, wanted: Uint8Array): Body {
  const half = vertices.length / 6
  const place = new Map<number, number>()
  const flat: number[] = []
  for (const [i, cell] of order.entries()) {
    if (!wanted[i]) continue
    for (let k = 0; k < 3; k++) {
      const corner = triangles[6 * cell + k]!
      if (!place.has(corner)) place.set(corner, place.size)
      flat.push(place.get(corner)!)
    }
  }
  const count = place.size
  const corners = new Float64Array(6 * count)
  for (const [from, to] of place) {
    for (let k = 0; k < 3; k++) {
      corners[3 * to + k] = vertices[3 * from + k]!
      corners[3 * (count + to) + k] = vertices[3 * (half + from) + k]!
    }
  }
  return { vertices: corners, ...twoFaced(flat, count) }
}
