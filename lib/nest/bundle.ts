import { Groups } from '../shape/groups'
import { addTo } from '../shape/lists'
import type { Bounds, Loop, Point } from '../shape/point'
import { contains, edgesNear, type Part, pointToSegment } from './near'
import { LEAST_WASTE, sharedCuts, STRAIGHT_ON } from './sharedCut'
import { ANGLE_SLACK, type Side, squaredOff } from './side'
import { boundsOf, signedArea } from './turn'

/**
 * Pieces that hang together by shared cuts, directly or through others. Two pieces of one bundle may come nearer than
 * the gap, but only where they have a cut in common, where they meet at the end of cuts that both have with a third, and
 * where nothing but card lies between them. An opening counts as card: what lies in it is of no bundle with what is around.
 * All of this is asked of the pieces as they are before their corners are rounded.
 *
 * Of two pieces with sides of unequal length the one with the longer side is cut out first and taken away, so that the
 * knife may then run out of the other's sides. There has to be an order in which all of a bundle can be cut out so.
 */
export class Bundles {
  private readonly gap: number
  private readonly tolerance: number
  private readonly groups = new Groups<Part>()
  /** By part, all of its bundle. */
  private readonly members = new Map<Part, readonly Part[]>()
  private readonly joints = new Map<Part, Joint[]>()
  private readonly before = new Map<Part, ReadonlySet<Part>>()

  /** @param pairs all pieces that come near each other */
  constructor(pairs: readonly (readonly [Part, Part])[], gap: number, tolerance: number) {
    this.gap = gap
    this.tolerance = tolerance
    for (const [a, b] of pairs) {
      if (a.fixed || b.fixed || !touch(a.box, b.box, tolerance)) continue
      for (const contact of sharedCuts(a.rings[0]!, b.rings[0]!)) {
        const { first } = contact
        addTo(this.joints, a, { other: b, own: contact.a, its: contact.b, order: first && (first === 'a' ? 'first' : 'second') })
        addTo(this.joints, b, { other: a, own: contact.b, its: contact.a, order: first && (first === 'b' ? 'first' : 'second') })
        this.groups.join(a, b)
      }
    }
    for (const bundle of this.groups.of([...this.joints.keys()])) for (const part of bundle) this.members.set(part, bundle)
  }

  hasCut(part: Part): boolean {
    return this.joints.has(part)
  }

  areTogether(a: Part, b: Part): boolean {
    return this.joints.has(a) && this.joints.has(b) && this.groups.together(a, b)
  }

  /**
   * Of two pieces of one bundle: the least distance that is not right, mm.
   * @param any whether any that is not right will do
   */
  fault(a: Part, b: Part, any = false): number | undefined {
    const { gap, tolerance } = this
    const [squareA, squareB] = [squaredOff(a.rings[0]!), squaredOff(b.rings[0]!)]
    const common = this.joints.get(a)!.filter(({ other }) => other === b)
    const met = this.endsOf(a).filter((end) => this.endsOf(b).some((other) => apart(end, other) <= 2 * tolerance))
    const edgesA = edgesNear([squareA.loop], squareB.box, gap)
    const edgesB = edgesNear([squareB.loop], squareA.box, gap)
    let least: number | undefined
    for (let i = 0; i < edgesA.length; i += 4) {
      for (let j = 0; j < edgesB.length; j += 4) {
        const one = edgeAt(edgesA, i)
        const other = edgeAt(edgesB, j)
        // Squared off, pieces may overlap that do not where they are rounded.
        if (crossDeep(one, other, tolerance)) return 0
        const distance = distanceOf(one, other)
        if (distance >= gap - tolerance || (least !== undefined && distance >= least)) continue
        if (common.some(({ own, its }) => liesOn(one, own, tolerance) && liesOn(other, its, tolerance))) continue
        if (!faces(one, other, TOUCH * tolerance) || !faces(other, one, TOUCH * tolerance)) continue
        if (this.isRight(a, one, b, other, distance, met)) continue
        if (any) return distance
        least = distance
      }
    }
    return least
  }

  /**
   * Pieces that are in the way of the knife where it runs out of a side along which pieces lie edge to edge, or of its
   * waste; and pieces that would each have to be cut out before the other.
   * @param around looks only at sides that end near there
   */
  jointFaults(around?: Bounds): [Part, Part][] {
    const faults: [Part, Part][] = []
    for (const [part, list] of this.joints) {
      const bundle = this.members.get(part)!
      for (const { other, own, its, order } of list) {
        if (order === 'second' || (!order && this.rank(other) < this.rank(part))) continue
        if (order && this.areBefore(other).has(other)) faults.push([part, other])
        // The side is cut right through; of the shorter one on it the sides beside are cut later, and run out over it.
        const cuts = order ? [...runsOf(own), ...besides(its, own, other)] : [...runsOf(own), ...runsOf(its)]
        for (const { from, at, of = part } of cuts) {
          if (around && !isIn(at, around, this.gap)) continue
          const near = bundle.filter(({ box }) => isIn(at, box, this.gap))
          for (const third of near) {
            if (this.isOut(third, of) && (order || this.isOut(third, other))) continue
            if (this.runsInto(from, at, third)) faults.push([of, third])
          }
        }
        for (const at of order ? [own.from, own.to, its.from, its.to] : [own.from, own.to]) {
          if (around && !isIn(at, around, this.gap)) continue
          faults.push(...this.slits(at, bundle.filter(({ rings }) => isIn(at, squaredOff(rings[0]!).box, TOUCH * this.tolerance))))
        }
      }
    }
    return faults
  }

  private rank(part: Part): number {
    this.ranks ??= new Map([...this.joints.keys()].map((one, i) => [one, i]))
    return this.ranks.get(part)!
  }

  private ranks: Map<Part, number> | undefined

  /** Whether a piece is cut out and away before another is begun. */
  private isOut(part: Part, before: Part): boolean {
    return part !== before && this.areBefore(before).has(part)
  }

  /** All that have to be cut out before a piece; itself among them where there is no such order. */
  private areBefore(part: Part): ReadonlySet<Part> {
    let found = this.before.get(part)
    if (!found) {
      const all = new Set<Part>()
      const open = [part]
      for (let one = open.pop(); one; one = open.pop()) {
        for (const { other, order } of this.joints.get(one)!) {
          if (order !== 'second' || all.has(other)) continue
          all.add(other)
          open.push(other)
        }
      }
      this.before.set(part, (found = all))
    }
    return found
  }

  private endsOf(part: Part): Point[] {
    return this.joints.get(part)!.flatMap(({ own, its }) => [own.from, own.to, its.from, its.to])
  }

  /** @param met ends of sides that both pieces lie at */
  private isRight(a: Part, ofA: Edge, b: Part, ofB: Edge, distance: number, met: readonly Point[]): boolean {
    const { gap, tolerance } = this
    if (distance <= TOUCH * tolerance) {
      const near = portion(ofA, ofB, 2 * TOUCH * tolerance)
      if (apart(near[0], near[1]) > CORNER) return false
      return met.some((end) => Math.sqrt(pointToSegment(...end, ...near[0], ...near[1])) <= CORNER)
    }
    const [nearA, nearB] = [portion(ofA, ofB, gap), portion(ofB, ofA, gap)]
    if (met.some((end) => areWide(end, nearA, nearB, TOUCH * tolerance))) return true
    if (this.isCovered(a, nearA) || this.isCovered(b, nearB)) return true
    const between = hull([...nearA, ...nearB])
    const around = boundsOf(between)
    const bundle = this.members.get(a)!
    let bare = signedArea(between)
    for (const { rings } of bundle) {
      const { loop, box } = squaredOff(rings[0]!)
      if (!touch(box, around, 0)) continue
      bare -= Math.abs(signedArea(clip(loop, between)))
    }
    const length = between.reduce((sum, at, i) => sum + apart(at, between[(i + 1) % between.length]!), 0)
    return bare <= tolerance * length
  }

  /** Whether others lie edge to edge with all of a stretch of a piece's border, so that no waste lies along it. */
  private isCovered(part: Part, [from, to]: Edge): boolean {
    const length = apart(from, to)
    if (length === 0) return false
    const along = ([x, y]: Point) => ((x - from[0]) * (to[0] - from[0]) + (y - from[1]) * (to[1] - from[1])) / length
    const within = TOUCH * this.tolerance
    const stretches = this.joints.get(part)!.flatMap(({ own, its }) => {
      if (!liesOn([from, to], own, within)) return []
      const ends = [along(its.from), along(its.to)]
      return [[Math.min(...ends), Math.max(...ends)] as const]
    })
    let reached = 0
    for (const [begin, end] of stretches.toSorted((one, other) => one[0] - other[0])) {
      if (begin > reached + within) return false
      reached = Math.max(reached, end)
    }
    return reached >= length - within
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

  /** At a point where sides end: pieces that leave a narrow slit between them. A side that passes by is half a turn of card. */
  private slits(at: Point, near: readonly Part[]): [Part, Part][] {
    const { tolerance } = this
    const sectors = near.flatMap((part) => {
      const sector = sectorAt(squaredOff(part.rings[0]!).loop, at, tolerance)
      return sector ? [{ part, ...sector }] : []
    })
    sectors.sort((a, b) => a.from - b.from)
    return sectors.flatMap(({ part, from, wide }, i): [Part, Part][] => {
      const next = sectors[(i + 1) % sectors.length]!
      const waste = (((next.from - from - wide) % 360) + 360 + ANGLE_SLACK) % 360 - ANGLE_SLACK
      return waste > ANGLE_SLACK && waste < LEAST_WASTE - ANGLE_SLACK ? [[part, next.part]] : []
    })
  }
}

/** A contact as one of its two pieces has it. */
interface Joint {
  readonly other: Part
  readonly own: Side
  readonly its: Side
  /** Which of the two is cut out first, where it matters. */
  readonly order: 'first' | 'second' | undefined
}

/** An end of a cut, and where the knife comes from. */
interface Run {
  readonly from: Point
  readonly at: Point
  /** Whose side it is, if not that of the piece in question. */
  readonly of?: Part
}

function runsOf({ edges }: Side): Run[] {
  const [from, to] = [edges[0]![0], edges.at(-1)![1]]
  return [
    { from, at: to },
    { from: to, at: from },
  ]
}

/** The ends, on a longer side, of the edges beside a shorter one that lies on it. */
function besides(side: Side, longer: Side, of: Part): Run[] {
  const { loop } = squaredOff(of.rings[0]!)
  return [side.from, side.to].flatMap((at): Run[] => {
    if ([longer.from, longer.to].some((end) => apart(end, at) <= CORNER)) return []
    const corner = loop.indexOf(at)
    const around = [loop.at(corner - 1)!, loop[(corner + 1) % loop.length]!]
    return around.flatMap((from) => (from === side.from || from === side.to ? [] : [{ from, at, of }]))
  })
}

type Edge = readonly [Point, Point]

/** Nearer than this many tolerances pieces are taken to touch. */
const TOUCH = 3

/** Two edges that meet at a corner touch along no more than this, mm. */
const CORNER = 0.2

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

/** Seen from a point two stretches lie as far apart as waste has to be wide: nothing on them is nearer to each other than to it. */
function areWide([x, y]: Point, a: Edge, b: Edge, at: number): boolean {
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

function liesOn(edge: Edge, { from, to }: Side, tolerance: number): boolean {
  return edge.every((at) => pointToSegment(...at, ...from, ...to) <= tolerance * tolerance)
}

/** Whether something of another edge lies on the side of an edge where its card is not: what is nearer than that lies beyond the card. */
function faces([a, b]: Edge, other: Edge, within: number): boolean {
  const length = apart(a, b)
  return other.some((at) => cross(a, b, at) <= within * length)
}

/** Whether two edges cross so that both go on past the other by more than a little. */
function crossDeep([a, b]: Edge, [c, d]: Edge, by: number): boolean {
  const over = (p: Point, q: Point, r: Point) => cross(p, q, r) / apart(p, q)
  const [ofC, ofD, ofA, ofB] = [over(a, b, c), over(a, b, d), over(c, d, a), over(c, d, b)]
  return Math.min(-ofC * ofD, -ofA * ofB) > 0 && Math.min(Math.abs(ofC), Math.abs(ofD), Math.abs(ofA), Math.abs(ofB)) > 2 * by
}

/** What of an edge lies within a reach of another: a single stretch, for the distance to a line is convex along another. */
function portion([a, b]: Edge, [c, d]: Edge, reach: number): Edge {
  const [ux, uy] = [b[0] - a[0], b[1] - a[1]]
  const length = Math.hypot(ux, uy)
  let [low, high] = [Infinity, -Infinity]
  const take = (from: number, to: number) => {
    if (to < 0 || from > length || from > to) return
    low = Math.min(low, Math.max(from, 0))
    high = Math.max(high, Math.min(to, length))
  }
  // What is near a segment is near one of its ends, or within a box along it.
  for (const [x, y] of [c, d]) {
    const along = ((x - a[0]) * ux + (y - a[1]) * uy) / length
    const off = ((x - a[0]) * uy - (y - a[1]) * ux) / length
    if (Math.abs(off) > reach) continue
    const half = Math.sqrt(reach * reach - off * off)
    take(along - half, along + half)
  }
  const across = apart(c, d)
  if (across > 0) {
    const [vx, vy] = [(d[0] - c[0]) / across, (d[1] - c[1]) / across]
    const [dx, dy] = [a[0] - c[0], a[1] - c[1]]
    const along = within(dx * vx + dy * vy, (ux * vx + uy * vy) / length, 0, across)
    const off = within(dx * vy - dy * vx, (ux * vy - uy * vx) / length, -reach, reach)
    take(Math.max(along[0], off[0]), Math.min(along[1], off[1]))
  }
  const at = (t: number): Point => (t <= 0 ? a : t >= length ? b : [a[0] + (ux * t) / length, a[1] + (uy * t) / length])
  return [at(low), at(high)]
}

/** For which t a value that begins at `from` and goes on by `by` lies between two others. */
function within(from: number, by: number, least: number, most: number): [number, number] {
  if (by === 0) return from >= least && from <= most ? [-Infinity, Infinity] : [Infinity, -Infinity]
  const [one, other] = [(least - from) / by, (most - from) / by]
  return one < other ? [one, other] : [other, one]
}

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

/** The card of an outline around a point of its border: from which direction on, and how wide, degrees. */
function sectorAt(loop: Loop, at: Point, tolerance: number): { from: number; wide: number } | undefined {
  const count = loop.length
  const angleTo = ([x, y]: Point, [ox, oy]: Point) => (Math.atan2(y - oy, x - ox) * 180) / Math.PI
  const corner = loop.findIndex((point) => apart(point, at) <= 2 * tolerance)
  if (corner >= 0) {
    const here = loop[corner]!
    const from = angleTo(loop[(corner + 1) % count]!, here)
    const to = angleTo(loop[(corner + count - 1) % count]!, here)
    return { from, wide: (((to - from) % 360) + 360) % 360 }
  }
  for (let i = 0, j = count - 1; i < count; j = i++) {
    if (pointToSegment(...at, ...loop[j]!, ...loop[i]!) > (TOUCH * tolerance) ** 2) continue
    return { from: angleTo(loop[i]!, loop[j]!), wide: STRAIGHT_ON }
  }
  return undefined
}
