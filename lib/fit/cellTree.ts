import type { Solid } from './solid'

/**
 * A body as convex cells in a tree of boxes, for questions of how near two come. Card is cells of six corners, one a flat
 * triangle, that fill it and can be shaved from both faces; of other bodies the cells are their faces.
 */
export interface CellTree {
  /** Corners of all cells, so many a cell, in the order of the tree. */
  readonly corners: Float64Array
  readonly each: 3 | 6
  /** Least and most x, y, z of each node; a node's cells are from `first` to before `end`. */
  readonly boxes: Float64Array
  readonly first: Int32Array
  readonly end: Int32Array
  /** The second child; the first follows its parent. 0 for a leaf. */
  readonly second: Int32Array
  /** Which of the body's cells each is, and the least and most x, y, z of each. */
  readonly order: Int32Array
  readonly cellBoxes: Float64Array
  /** Of each cell of card, which corners (1, 2, 4) and which edges from a corner to the next (8, 16, 32) are on its outline. */
  readonly outline: () => Uint8Array
}

export function cellTree(solid: Pick<Solid, 'vertices' | 'triangles' | 'cells'>): CellTree {
  const { vertices, triangles, cells } = solid
  const each = cells === undefined ? 3 : 6
  const count = cells ?? triangles.length / 3
  const corners = new Float64Array(3 * each * count)
  // Of card, a face and its fellow are six corners of the list, in which the second is turned round.
  for (let i = 0; i < count * each; i++) {
    const from = each === 6 && i % 6 > 2 ? triangles[i - 3]! + vertices.length / 6 : triangles[i]!
    for (let k = 0; k < 3; k++) corners[3 * i + k] = vertices[3 * from + k]!
  }
  const tree = arranged(corners, each, count)
  let outline: Uint8Array | undefined
  return { ...tree, outline: () => (outline ??= onOutline(solid, tree.order)) }
}

/** Walls follow the cells in the list of triangles, two a stretch of the outline. */
function onOutline({ vertices, triangles, cells = 0 }: Pick<Solid, 'vertices' | 'triangles' | 'cells'>, order: Int32Array): Uint8Array {
  const half = vertices.length / 6
  const edges = new Set<number>()
  const points = new Uint8Array(half)
  for (let i = 6 * cells; i < triangles.length; i += 6) {
    const [to, from] = [triangles[i + 2]!, triangles[i + 5]!]
    edges.add(from * half + to)
    points[from] = 1
  }
  return Uint8Array.from(order, (cell) => {
    let flags = 0
    for (let k = 0; k < 3; k++) {
      const [from, to] = [triangles[6 * cell + k]!, triangles[6 * cell + ((k + 1) % 3)]!]
      if (points[from]) flags |= 1 << k
      if (edges.has(from * half + to)) flags |= 8 << k
    }
    return flags
  })
}

/** Most cells that are not divided further. */
const LEAF = 3

function arranged(corners: Float64Array, each: 3 | 6, count: number): Omit<CellTree, 'outline'> {
  const stride = 3 * each
  const boxes = boxesOf(corners, stride, count)
  const order = new Int32Array(count)
  for (let i = 0; i < count; i++) order[i] = i
  const most = Math.max(1, 2 * count)
  const tree = {
    corners: new Float64Array(corners.length),
    each,
    boxes: new Float64Array(6 * most),
    first: new Int32Array(most),
    end: new Int32Array(most),
    second: new Int32Array(most),
    order,
    cellBoxes: new Float64Array(6 * count),
  }
  let used = 0
  const build = (first: number, end: number): void => {
    const node = used++
    tree.first[node] = first
    tree.end[node] = end
    const axis = around(order, first, end, boxes, tree.boxes, 6 * node)
    if (end - first <= LEAF) return
    const middle = (first + end) >> 1
    halve(order, first, end, middle, boxes, axis)
    build(first, middle)
    tree.second[node] = used
    build(middle, end)
  }
  build(0, count)
  for (let i = 0; i < count; i++) {
    for (let k = 0; k < stride; k++) tree.corners[stride * i + k] = corners[stride * order[i]! + k]!
    for (let k = 0; k < 6; k++) tree.cellBoxes[6 * i + k] = boxes[6 * order[i]! + k]!
  }
  return tree
}

function boxesOf(corners: Float64Array, stride: number, count: number): Float64Array {
  const boxes = new Float64Array(6 * count)
  for (let i = 0; i < count; i++) {
    for (let k = 0; k < 3; k++) {
      let least = Infinity
      let most = -Infinity
      for (let j = stride * i + k; j < stride * (i + 1); j += 3) {
        const value = corners[j]!
        if (value < least) least = value
        if (value > most) most = value
      }
      boxes[6 * i + k] = least
      boxes[6 * i + 3 + k] = most
    }
  }
  return boxes
}

/** Puts the box around cells, and tells the axis along which their middles spread furthest. */
function around(order: Int32Array, first: number, end: number, boxes: Float64Array, into: Float64Array, at: number): number {
  let [axis, widest] = [0, -1]
  for (let k = 0; k < 3; k++) {
    let least = Infinity
    let most = -Infinity
    let from = Infinity
    let to = -Infinity
    for (let i = first; i < end; i++) {
      const low = boxes[6 * order[i]! + k]!
      const high = boxes[6 * order[i]! + 3 + k]!
      if (low < least) least = low
      if (high > most) most = high
      if (low + high < from) from = low + high
      if (low + high > to) to = low + high
    }
    into[at + k] = least
    into[at + 3 + k] = most
    if (to - from > widest) {
      widest = to - from
      axis = k
    }
  }
  return axis
}

/** Orders cells so that those before the middle lie no further along the axis than those after (C. A. R. Hoare, 1961). */
function halve(order: Int32Array, first: number, end: number, middle: number, boxes: Float64Array, axis: number): void {
  const key = (i: number): number => boxes[6 * i + axis]! + boxes[6 * i + 3 + axis]!
  let [low, high] = [first, end - 1]
  while (low < high) {
    const pivot = key(order[(low + high) >> 1]!)
    let [i, j] = [low, high]
    while (i <= j) {
      while (key(order[i]!) < pivot) i++
      while (key(order[j]!) > pivot) j--
      if (i > j) break
      const swapped = order[i]!
      order[i++] = order[j]!
      order[j--] = swapped
    }
    if (middle <= j) high = j
    else if (middle >= i) low = i
    else return
  }
}
