import { toModel } from '../craft/space'
import type { Pose } from '../shape/pose'
import type { Body } from './body'
import { triangulate } from './flatMesh'
import type { RoundSection } from './revolved'

/**
 * A body as convex cells in a tree of boxes, for questions of how near two come and what they share. A cell is of six
 * corners: a triangle and its fellow, which is on the other face of the card, or the next one round the axis.
 */
export interface CellTree {
  /** Corners of all cells, eighteen numbers a cell, in the order of the tree. */
  readonly corners: Float64Array
  /** Least and most x, y, z of each node; a node's cells are from `first` to before `end`. */
  readonly boxes: Float64Array
  readonly first: Int32Array
  readonly end: Int32Array
  /** The second child; the first follows its parent. 0 for a leaf. */
  readonly second: Int32Array
  /** Least and most x, y, z of each cell. */
  readonly cellBoxes: Float64Array
  /** Whether it is of card, its triangles on the two faces. */
  readonly card: boolean
  /** What of each cell is on the body's outside: sums of {@link OUTSIDE}. */
  readonly outside: () => Uint8Array
}

/** Corner k of the triangle by 1 << k, the wall from there to the next by 8 << k. */
export const OUTSIDE = { corner: 1, wall: 8 } as const

/** Of card given thickness; undefined for what is not in order. */
export function cellTree(body: Body): CellTree | undefined {
  const { vertices, triangles, cells } = body
  if (cells === undefined) return undefined
  const corners = new Float64Array(18 * cells)
  // A face and its fellow are six corners of the list, in which the second is turned round.
  for (let i = 0; i < 6 * cells; i++) {
    const from = i % 6 > 2 ? triangles[i - 3]! + vertices.length / 6 : triangles[i]!
    for (let k = 0; k < 3; k++) corners[3 * i + k] = vertices[3 * from + k]!
  }
  const { order, ...tree } = arranged(corners, cells)
  let outside: Uint8Array | undefined
  return { ...tree, card: true, outside: () => (outside ??= onOutline(body, order)) }
}

/** Walls follow the cells in the list of triangles, two a stretch of the outline. */
function onOutline({ vertices, triangles, cells = 0 }: Body, order: Int32Array): Uint8Array {
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
      if (points[from]) flags |= OUTSIDE.corner << k
      if (edges.has(from * half + to)) flags |= OUTSIDE.wall << k
    }
    return flags
  })
}

/** Of a body of revolution where it stands: triangles of its profile from each of its flats to the next. */
export function roundTree({ loop, flats }: RoundSection, pose: Pose): CellTree {
  const { points, triangles } = triangulate(loop, [])
  const count = (triangles.length / 3) * flats
  const corners = new Float64Array(18 * count)
  const walls = new Uint8Array(count)
  let to = 0
  for (let i = 0; i < triangles.length; i += 3) {
    const own = [0, 1, 2].map((k) => triangles[i + k]!)
    const flags = own.reduce((sum, from, k) => sum | (own[(k + 1) % 3] === (from + 1) % loop.length ? OUTSIDE.wall << k : 0), 0)
    for (let flat = 0; flat < flats; flat++) {
      walls[to / 18] = flags
      for (const turn of [flat, flat + 1]) {
        const angle = (2 * Math.PI * (turn % flats)) / flats
        for (const index of own) {
          const [radius, height] = points[index]!
          corners.set(toModel(pose, [radius * Math.cos(angle), radius * Math.sin(angle)], height), to)
          to += 3
        }
      }
    }
  }
  const { order, ...tree } = arranged(corners, count)
  let outside: Uint8Array | undefined
  return { ...tree, card: false, outside: () => (outside ??= Uint8Array.from(order, (cell) => walls[cell]!)) }
}

/** Most cells that are not divided further. */
const LEAF = 3

type Arranged = Omit<CellTree, 'card' | 'outside'> & { readonly order: Int32Array }

function arranged(corners: Float64Array, count: number): Arranged {
  const boxes = boxesOf(corners, count)
  const order = new Int32Array(count)
  for (let i = 0; i < count; i++) order[i] = i
  const most = Math.max(1, 2 * count)
  const tree = {
    corners: new Float64Array(corners.length),
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
    for (let k = 0; k < 18; k++) tree.corners[18 * i + k] = corners[18 * order[i]! + k]!
    for (let k = 0; k < 6; k++) tree.cellBoxes[6 * i + k] = boxes[6 * order[i]! + k]!
  }
  return tree
}

function boxesOf(corners: Float64Array, count: number): Float64Array {
  const boxes = new Float64Array(6 * count)
  for (let i = 0; i < count; i++) {
    for (let k = 0; k < 3; k++) {
      let least = Infinity
      let most = -Infinity
      for (let j = 18 * i + k; j < 18 * (i + 1); j += 3) {
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
