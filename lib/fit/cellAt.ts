import type { CellTree } from './cellTree'
import { type Corners, convexDistance } from './convex'

const point = { xyz: new Float64Array(3), count: 1 } satisfies Corners
const cell = { xyz: new Float64Array(18), count: 6 } satisfies Corners

/**
 * The cell of a body that holds a point, or comes nearest to it, by its place in the tree.
 *
 * @param guess a cell that may hold it, which is looked at first
 */
export function cellAt(tree: CellTree, x: number, y: number, z: number, guess = 0): number {
  const { boxes, cellBoxes, first, end, second } = tree
  point.xyz[0] = x
  point.xyz[1] = y
  point.xyz[2] = z
  let nearest = guess
  let best = distanceTo(tree, guess, Infinity)
  const visit = (node: number): void => {
    if (best <= INSIDE || toBox(boxes, node, x, y, z) >= best) return
    const later = second[node]!
    if (later > 0) {
      const turned = toBox(boxes, later, x, y, z) < toBox(boxes, node + 1, x, y, z)
      visit(turned ? later : node + 1)
      visit(turned ? node + 1 : later)
      return
    }
    for (let i = first[node]!; i < end[node]!; i++) {
      if (toBox(cellBoxes, i, x, y, z) >= best) continue
      const apart = distanceTo(tree, i, best)
      if (apart >= best) continue
      best = apart
      nearest = i
    }
  }
  visit(0)
  return nearest
}

/** A point nearer to a cell than this is in it, mm. */
const INSIDE = 1e-9

function distanceTo({ corners }: CellTree, index: number, beyond: number): number {
  for (let k = 0; k < 18; k++) cell.xyz[k] = corners[18 * index + k]!
  return convexDistance(point, cell, beyond)
}

function toBox(boxes: Float64Array, i: number, x: number, y: number, z: number): number {
  const dx = Math.max(boxes[6 * i]! - x, x - boxes[6 * i + 3]!, 0)
  const dy = Math.max(boxes[6 * i + 1]! - y, y - boxes[6 * i + 4]!, 0)
  const dz = Math.max(boxes[6 * i + 2]! - z, z - boxes[6 * i + 5]!, 0)
  return Math.sqrt(dx * dx + dy * dy + dz * dz)
}
