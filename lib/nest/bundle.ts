import type { Bounds, Point } from '../shape/point'
import { contains, edgesNear, type Part, pointToSegment } from './near'
import { ANGLE_SLACK, LEAST_WASTE, type SharedCut, sharedCuts } from './sharedCut'
import { boundsOf, signedArea } from './turn'

/**
 * Pieces that hang together by shared cuts, directly or through others. Two pieces of one bundle may come nearer than
 * the gap, but only where they have a cut in common, where they meet at the end of cuts that both have with a third, and
 * where nothing but card lies between them. An opening counts as card: what lies in it is of no bundle with what is around.
 */
export class Bundles {
  private readonly gap: number
  private readonly tolerance: number
  private readonly leader = new Map<Part, Part>()
  private readonly members = new Map<Part, Part[]>()
  private readonly cuts = new Map<Part, { readonly other: Part; readonly cut: SharedCut }[]>()

  /** @param pairs all pieces that come near each other */
  constructor(pairs: readonly (readonly [Part, Part])[], gap: number, tolerance: number) {
    this.gap = gap
    this.tolerance = tolerance
    for (const [a, b] of pairs) {
      if (a.fixed || b.fixed || !touch(a.box, b.box, tolerance)) continue
      for (const cut of sharedCuts(a.rings[0]!, b.rings[0]!)) {
        push(this.cuts, a, { other: b, cut })
        push(this.cuts, b, { other: a, cut })
        this.leader.set(this.leaderOf(a), this.leaderOf(b))
      }
    }
    for (const part of this.cuts.keys()) push(this.members, this.leaderOf(part), part)
  }

  hasCut(part: Part): boolean {
    return this.cuts.has(part)
  }

  areTogether(a: Part, b: Part): boolean {
    return this.cuts.has(a) && this.cuts.has(b) && this.leaderOf(a) === this.leaderOf(b)
  }

  /** Of two pieces of one bundle: the least distance that is not right, mm. */
  fault(a: Part, b: Part): number | undefined {
    const { gap, tolerance } = this
    const common = this.cuts.get(a)!.flatMap(({ other, cut }) => (other === b ? [cut] : []))
    const met = this.endsOf(a).filter((end) => this.endsOf(b).some((other) => apart(end, other) <= 2 * tolerance))
    const edgesA = edgesNear([a.rings[0]!], b.box, gap)
    const edgesB = edgesNear([b.rings[0]!], a.box, gap)
    let least: number | undefined
    for (let i = 0; i < edgesA.length; i += 4) {
      for (let j = 0; j < edgesB.length; j += 4) {
        const one = edgeAt(edgesA, i)
        const other = edgeAt(edgesB, j)
        const distance = distanceOf(one, other)
        if (distance >= gap - tolerance || (least !== undefined && distance >= least)) continue
        if (isCut(one, common, tolerance) && isCut(other, common, tolerance)) continue
        if (!this.isRight(one, other, distance, met, a)) least = distance
      }
    }
    return least
  }

  /**
   * Pieces that are in the way of the knife where it runs out of a cut that two others share, or of its waste.
   * @param around looks only at cuts that end near there
   */
  jointFaults(around?: Bounds): [Part, Part][] {
    const faults: [Part, Part][] = []
    for (const [part, list] of this.cuts) {
      const bundle = this.members.get(this.leaderOf(part))!
      for (const { other, cut } of list) {
        if (this.order(other) < this.order(part)) continue
        for (const [from, at] of [cut, [cut[1], cut[0]]] as const) {
          if (around && !isIn(at, around, this.gap)) continue
          const near = bundle.filter(({ box }) => isIn(at, box, this.gap))
          for (const third of near) if (this.runsInto(from, at, third)) faults.push([part, third])
          faults.push(...this.slits(at, near))
        }
      }
    }
    return faults
  }

  private order(part: Part): number {
    this.orders ??= new Map([...this.cuts.keys()].map((one, i) => [one, i]))
    return this.orders.get(part)!
  }

  private orders: Map<Part, number> | undefined

  private leaderOf(part: Part): Part {
    let at = part
    for (let next = this.leader.get(at); next && next !== at; next = this.leader.get(at)) at = next
    return at
  }

  private endsOf(part: Part): Point[] {
    return this.cuts.get(part)!.flatMap(({ cut }) => [...cut])
  }

  /** @param met ends of cuts that both pieces have */
  private isRight(a: Edge, b: Edge, distance: number, met: readonly Point[], of: Part): boolean {
    const { gap, tolerance } = this
    if (distance <= TOUCH * tolerance) {
      const near = portion(a, b, 2 * TOUCH * tolerance)
      if (apart(near[0], near[1]) > CORNER) return false
      return met.some((end) => Math.sqrt(pointToSegment(...end, ...near[0], ...near[1])) <= CORNER)
    }
    const between = hull([...portion(a, b, gap), ...portion(b, a, gap)])
    const around = boundsOf(between)
    const bundle = this.members.get(this.leaderOf(of))!
    let bare = signedArea(between)
    for (const { rings, box } of bundle) {
      if (!touch(box, around, 0)) continue
      bare -= Math.abs(signedArea(clip(rings[0]!, between)))
    }
    const length = between.reduce((sum, at, i) => sum + apart(at, between[(i + 1) % between.length]!), 0)
    return bare <= tolerance * length || met.some((end) => atRightAngle(end, portion(a, b, gap), portion(b, a, gap), TOUCH * tolerance))
  }

  /** Whether the knife, run on past the end of a cut by as much as the gap, goes into a piece. */
  private runsInto(from: Point, end: Point, { rings, box }: Part): boolean {
    const { gap, tolerance } = this
    const length = apart(from, end)
    const to: Point = [end[0] + ((end[0] - from[0]) * gap) / length, end[1] + ((end[1] - from[1]) * gap) / length]
    const edges = edgesNear(rings, box, Infinity)
    const stops = [0, 1]
    for (let i = 0; i < edges.length; i += 4) {
      const share = crossing([end, to], edgeAt(edges, i))
      if (share !== undefined) stops.push(share)
    }
    stops.sort((a, b) => a - b)
    return stops.some((share, i) => {
      const middle = i === 0 ? 0 : (share + stops[i - 1]!) / 2
      const at: Point = [end[0] + (to[0] - end[0]) * middle, end[1] + (to[1] - end[1]) * middle]
      return i > 0 && contains({ rings }, at) && depthOf(edges, at) > 2 * tolerance
    })
  }

  /** At a point where cuts end: pieces that leave a narrow slit between them, or whose side passes by there. */
  private slits(at: Point, near: readonly Part[]): [Part, Part][] {
    const { tolerance } = this
    const sectors: { part: Part; from: number; wide: number }[] = []
    for (const part of near) {
      const loop = part.rings[0]!
      const corner = loop.findIndex((point) => apart(point, at) <= 2 * tolerance)
      if (corner >= 0) {
        sectors.push({ part, ...sectorAt(signedArea(loop) < 0 ? loop.toReversed() : loop, at, 2 * tolerance) })
      } else if (depthOf(edgesNear(part.rings, part.box, Infinity), at) <= TOUCH * tolerance) {
        return near.flatMap((other): [Part, Part][] => (other === part ? [] : [[part, other]])).slice(0, 1)
      }
    }
    sectors.sort((a, b) => a.from - b.from)
    return sectors.flatMap(({ part, from, wide }, i): [Part, Part][] => {
      const next = sectors[(i + 1) % sectors.length]!
      const waste = (((next.from - from - wide) % 360) + 360 + ANGLE_SLACK) % 360 - ANGLE_SLACK
      return waste > ANGLE_SLACK && waste < LEAST_WASTE - ANGLE_SLACK ? [[part, next.part]] : []
    })
  }
}

type Edge = readonly [Point, Point]

/** Nearer than this many tolerances pieces are taken to touch. */
const TOUCH = 3

/** Two edges that meet at a corner touch along no more than this, mm. */
const CORNER = 0.2

function push<K, T>(lists: Map<K, T[]>, key: K, value: T): void {
  const list = lists.get(key)
  if (list) list.push(value)
  else lists.set(key, [value])
}

function touch(a: Bounds, b: Bounds, by: number): boolean {
  return a.minX <= b.maxX + by && b.minX <= a.maxX + by && a.minY <= b.maxY + by && b.minY <= a.maxY + by
}

function isIn([x, y]: Point, box: Bounds, by: number): boolean {
  return x >= box.minX - by && x <= box.maxX + by && y >= box.minY - by && y <= box.maxY + by
}

function apart([ax, ay]: Point, [bx, by]: Point): number {
  return Math.hypot(bx - ax, by - ay)
}

function edgeAt(edges: readonly number[], i: number): Edge {
  return [
    [edges[i]!, edges[i + 1]!],
    [edges[i + 2]!, edges[i + 3]!],
  ]
}

/** Of edges that do not cross, which those of pieces that do not overlap never do. */
function distanceOf([a, b]: Edge, [c, d]: Edge): number {
  return Math.sqrt(
    Math.min(
      pointToSegment(...a, ...c, ...d), pointToSegment(...b, ...c, ...d),
      pointToSegment(...c, ...a, ...b), pointToSegment(...d, ...a, ...b),
    ),
  )
}

/** Seen from a point two stretches lie a right angle apart or more: nothing on them is nearer to each other than to it. */
function atRightAngle([x, y]: Point, a: Edge, b: Edge, at: number): boolean {
  return a.every(([ax, ay]) =>
    b.every(([bx, by]) => {
      const [ux, uy, vx, vy] = [ax - x, ay - y, bx - x, by - y]
      const [ofA, ofB] = [Math.hypot(ux, uy), Math.hypot(vx, vy)]
      // An end at that point has no direction from there.
      if (ofA <= at || ofB <= at) return true
      return ux * vx + uy * vy <= ofA * ofB * Math.cos(((LEAST_WASTE - ANGLE_SLACK) * Math.PI) / 180)
    }),
  )
}

function isCut([a, b]: Edge, cuts: readonly SharedCut[], tolerance: number): boolean {
  return cuts.some(
    ([from, to]) =>
      (apart(a, from) <= tolerance && apart(b, to) <= tolerance) || (apart(a, to) <= tolerance && apart(b, from) <= tolerance),
  )
}

/** What of an edge lies within a reach of another: a single stretch, for the distance to a line is convex along another. */
function portion([a, b]: Edge, [c, d]: Edge, reach: number): Edge {
  const at = (t: number): Point => [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t]
  const off = (t: number) => pointToSegment(...at(t), ...c, ...d) - reach * reach
  let [low, high] = [0, 1]
  for (let i = 0; i < BISECTIONS; i++) {
    const [left, right] = [low + (high - low) / 3, high - (high - low) / 3]
    if (off(left) <= off(right)) high = right
    else low = left
  }
  const nearest = (low + high) / 2
  const bound = (end: number): number => {
    if (off(end) <= 0) return end
    let [inside, outside] = [nearest, end]
    for (let i = 0; i < BISECTIONS; i++) {
      const middle = (inside + outside) / 2
      if (off(middle) <= 0) inside = middle
      else outside = middle
    }
    return inside
  }
  return [at(bound(0)), at(bound(1))]
}

const BISECTIONS = 40

/** Convex hull of a few points, counter-clockwise: Andrew's monotone chain. */
function hull(points: readonly Point[]): Point[] {
  const sorted = points.toSorted((a, b) => a[0] - b[0] || a[1] - b[1])
  const half = (list: readonly Point[]) => {
    const chain: Point[] = []
    for (const point of list) {
      while (chain.length > 1 && cross(chain.at(-2)!, chain.at(-1)!, point) <= 0) chain.pop()
      chain.push(point)
    }
    return chain.slice(0, -1)
  }
  return [...half(sorted), ...half(sorted.toReversed())]
}

function cross(a: Point, b: Point, c: Point): number {
  return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

/** A ring cut down to a convex loop, edge by edge (Sutherland and Hodgman, CACM 17, 1974); its area is right, seams and all. */
function clip(ring: readonly Point[], by: readonly Point[]): Point[] {
  let left = [...ring]
  for (let i = 0, j = by.length - 1; i < by.length; j = i++) {
    const [from, to] = [by[j]!, by[i]!]
    const before = left
    left = []
    for (let k = 0, l = before.length - 1; k < before.length; l = k++) {
      const [a, b] = [before[l]!, before[k]!]
      const [sideA, sideB] = [cross(from, to, a), cross(from, to, b)]
      if (sideA >= 0 !== sideB >= 0) {
        const share = sideA / (sideA - sideB)
        left.push([a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share])
      }
      if (sideB >= 0) left.push(b)
    }
  }
  return left
}

/** Where along the first of two edges the second crosses it, from 0 to 1. */
function crossing([a, b]: Edge, [c, d]: Edge): number | undefined {
  const [ux, uy] = [b[0] - a[0], b[1] - a[1]]
  const [vx, vy] = [d[0] - c[0], d[1] - c[1]]
  const over = ux * vy - uy * vx
  if (over === 0) return undefined
  const share = ((c[0] - a[0]) * vy - (c[1] - a[1]) * vx) / over
  const other = ((c[0] - a[0]) * uy - (c[1] - a[1]) * ux) / over
  return share > 0 && share < 1 && other >= 0 && other <= 1 ? share : undefined
}

function depthOf(edges: readonly number[], [x, y]: Point): number {
  let least = Infinity
  for (let i = 0; i < edges.length; i += 4) {
    least = Math.min(least, pointToSegment(x, y, edges[i]!, edges[i + 1]!, edges[i + 2]!, edges[i + 3]!))
  }
  return Math.sqrt(least)
}

/** The card of an outline around one of its corners: from which direction on, and how wide, degrees. */
function sectorAt(loop: readonly Point[], at: Point, within: number): { from: number; wide: number } {
  const count = loop.length
  const corner = loop.findIndex((point) => apart(point, at) <= within)
  const here = loop[corner]!
  const angleTo = ([x, y]: Point) => (Math.atan2(y - here[1], x - here[0]) * 180) / Math.PI
  const from = angleTo(loop[(corner + 1) % count]!)
  const to = angleTo(loop[(corner + count - 1) % count]!)
  return { from, wide: (((to - from) % 360) + 360) % 360 }
}
