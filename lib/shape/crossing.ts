import { type Edges, edgesOf, eachNearPair } from './edges'
import type { Loop, Point } from './point'

/**
 * Where two loops first meet, crossing or touching, or undefined where they keep apart. A loop wholly inside another
 * does not meet it.
 */
export function crossing(a: Loop, b: Loop): Point | undefined {
  const edges = edgesOf([a, b])
  const split = a.length
  return search(edges, (i, j) => (i < split === j < split ? undefined : meeting(edges, i, j)))
}

/**
 * Where a loop crosses itself or runs back over itself, or undefined where it is sound. A loop that only touches
 * itself at a point is sound: it has an inside to cut round.
 */
export function selfCrossing(loop: Loop): Point | undefined {
  const edges = edgesOf([loop])
  return search(edges, (i, j) => crossingProper(edges, i, j))
}

/** Where loops cross one another; touching at a point, as the loops of a region may, is none. */
export function anyCrossing(loops: readonly Loop[]): Point | undefined {
  const edges = edgesOf(loops)
  return search(edges, (i, j) => crossingProper(edges, i, j))
}

function search(edges: Edges, find: (i: number, j: number) => Point | undefined): Point | undefined {
  let at: Point | undefined
  eachNearPair(edges, touching, (i, j) => {
    at = find(i, j)
    return at !== undefined
  })
  return at
}

/** Edges that meet have boxes that meet. */
const touching = () => 0

/** A point common to two edges, ends included. */
function meeting(edges: Edges, i: number, j: number): Point | undefined {
  const { ax, ay, bx, by } = edges
  const [s1, s2] = [side(edges, i, ax[j]!, ay[j]!), side(edges, i, bx[j]!, by[j]!)]
  const [s3, s4] = [side(edges, j, ax[i]!, ay[i]!), side(edges, j, bx[i]!, by[i]!)]
  if (s1 * s2 < 0 && s3 * s4 < 0) return pointBetween(edges, j, s1, s2)
  if (s1 === 0 && onEdge(edges, i, ax[j]!, ay[j]!)) return [ax[j]!, ay[j]!]
  if (s2 === 0 && onEdge(edges, i, bx[j]!, by[j]!)) return [bx[j]!, by[j]!]
  if (s3 === 0 && onEdge(edges, j, ax[i]!, ay[i]!)) return [ax[i]!, ay[i]!]
  if (s4 === 0 && onEdge(edges, j, bx[i]!, by[i]!)) return [bx[i]!, by[i]!]
  return undefined
}

function crossingProper(edges: Edges, i: number, j: number): Point | undefined {
  const { ax, ay, bx, by, next } = edges
  const [s1, s2] = [side(edges, i, ax[j]!, ay[j]!), side(edges, i, bx[j]!, by[j]!)]
  const [s3, s4] = [side(edges, j, ax[i]!, ay[i]!), side(edges, j, bx[i]!, by[i]!)]
  if (s1 * s2 < 0 && s3 * s4 < 0) return pointBetween(edges, j, s1, s2)
  if (s1 === 0 && s2 === 0) return overlap(edges, i, j)
  if (next[i] === j || next[j] === i) return undefined
  // Each vertex is looked at once, as the end of the edge that leads to it.
  if (s2 === 0 && onEdge(edges, i, bx[j]!, by[j]!) && passesThrough(edges, j, i)) return [bx[j]!, by[j]!]
  if (s4 === 0 && onEdge(edges, j, bx[i]!, by[i]!) && passesThrough(edges, i, j)) return [bx[i]!, by[i]!]
  return undefined
}

/** Whether the path through the end of edge `at` goes from one side of the path along edge `over` to the other. */
function passesThrough({ ax, ay, bx, by, next }: Edges, at: number, over: number): boolean {
  const [x, y] = [bx[at]!, by[at]!]
  // Where the vertex stands on the end of `over`, the other path turns there.
  const onEnd = x === bx[over] && y === by[over]
  if (x === ax[over] && y === ay[over]) return false
  const [toX, toY] = onEnd ? [bx[next[over]!]!, by[next[over]!]!] : [bx[over]!, by[over]!]
  const back = Math.atan2(ay[over]! - y, ax[over]! - x)
  const ahead = turnFrom(back, toX - x, toY - y)
  const came = turnFrom(back, ax[at]! - x, ay[at]! - y)
  const goes = turnFrom(back, bx[next[at]!]! - x, by[next[at]!]! - y)
  if (came === 0 || goes === 0 || came === ahead || goes === ahead) return false
  return came < ahead !== goes < ahead
}

function turnFrom(base: number, dx: number, dy: number): number {
  const turn = Math.atan2(dy, dx) - base
  return turn < 0 ? turn + 2 * Math.PI : turn
}

/** The middle of the stretch that two edges on one line have in common, or undefined where they do not overlap. */
function overlap({ ax, ay, bx, by }: Edges, i: number, j: number): Point | undefined {
  const [ux, uy] = [bx[i]! - ax[i]!, by[i]! - ay[i]!]
  const length = ux * ux + uy * uy
  if (length === 0) return undefined
  const t = (x: number, y: number) => ((x - ax[i]!) * ux + (y - ay[i]!) * uy) / length
  const [t1, t2] = [t(ax[j]!, ay[j]!), t(bx[j]!, by[j]!)]
  const from = Math.max(0, Math.min(t1, t2))
  const to = Math.min(1, Math.max(t1, t2))
  if (to <= from) return undefined
  const middle = (from + to) / 2
  return [ax[i]! + ux * middle, ay[i]! + uy * middle]
}

function side({ ax, ay, bx, by }: Edges, i: number, x: number, y: number): number {
  return (bx[i]! - ax[i]!) * (y - ay[i]!) - (by[i]! - ay[i]!) * (x - ax[i]!)
}

function onEdge({ ax, ay, bx, by }: Edges, i: number, x: number, y: number): boolean {
  return (
    x >= Math.min(ax[i]!, bx[i]!) &&
    x <= Math.max(ax[i]!, bx[i]!) &&
    y >= Math.min(ay[i]!, by[i]!) &&
    y <= Math.max(ay[i]!, by[i]!)
  )
}

/** Where edge j crosses a line from which its ends stand off by s1 and s2. */
function pointBetween({ ax, ay, bx, by }: Edges, j: number, s1: number, s2: number): Point {
  const t = s1 / (s1 - s2)
  return [ax[j]! + (bx[j]! - ax[j]!) * t, ay[j]! + (by[j]! - ay[j]!) * t]
}
