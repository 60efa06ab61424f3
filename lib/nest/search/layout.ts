import type { Pair } from './pair'
import type { Pairs } from './pairs'
import type { Shape } from './shape'

/** A piece of the layout: which of the shapes it has, and whether it may move. */
export interface Member {
  readonly shape: number
  readonly fixed: boolean
}

/** Everything that a layout can be brought back to. */
export interface Snapshot {
  readonly length: number
  readonly pose: Int32Array
  readonly x: Float64Array
  readonly y: Float64Array
}

/**
 * Pieces on one rectangle from (0, 0) to (length, width), which may overlap each other but not the border. All
 * numbers lie in typed arrays by member; a `pose` is one shape at one of its turns.
 */
export class Layout {
  readonly count: number
  readonly width: number
  length: number

  readonly pose: Int32Array
  readonly x: Float64Array
  readonly y: Float64Array
  /** What the members are weighed with when their overlap is added up: symmetric, count by count. */
  readonly weight: Float64Array
  /** Cost of the overlap of each two members. */
  readonly overlap: Float64Array
  /** Questions asked so far: the step that effort is counted in. */
  asked = 0

  readonly shapeOf: Int32Array
  readonly fixed: Uint8Array
  /** By shape: its first pose and the number of poses. */
  readonly firstPose: Int32Array
  readonly poses: Int32Array

  /** By pose: box of the piece about its middle, to be kept inside the border. */
  private readonly boxMinX: Float64Array
  private readonly boxMinY: Float64Array
  private readonly boxMaxX: Float64Array
  private readonly boxMaxY: Float64Array
  /** By pose: box about its middle in which it can meet others. */
  private readonly reachMinX: Float64Array
  private readonly reachMinY: Float64Array
  private readonly reachMaxX: Float64Array
  private readonly reachMaxY: Float64Array
  private readonly cos: Float64Array
  private readonly sin: Float64Array
  private readonly degrees: Float64Array
  private readonly poseShape: Int32Array
  /** Side of a square of the piece's area, against the mean of all. */
  private readonly size: Float64Array

  /** By member: the box it can be met in where it lies now. */
  private readonly nowMinX: Float64Array
  private readonly nowMinY: Float64Array
  private readonly nowMaxX: Float64Array
  private readonly nowMaxY: Float64Array

  /** The members that can be met from within `margin` of a place, while one member is lifted. */
  private readonly near: Int32Array
  private nearCount = 0
  private nearPose = -1
  private nearX = 0
  private nearY = 0
  private margin = 0

  private readonly pairs: Pairs
  private readonly pairAt: (Pair | undefined)[]
  private readonly totalPoses: number

  constructor(shapes: readonly Shape[], members: readonly Member[], pairs: Pairs, length: number, width: number) {
    this.pairs = pairs
    this.length = length
    this.width = width
    const count = members.length
    this.count = count
    this.pose = new Int32Array(count)
    this.x = new Float64Array(count)
    this.y = new Float64Array(count)
    this.weight = new Float64Array(count * count).fill(1)
    this.overlap = new Float64Array(count * count)
    this.near = new Int32Array(count)
    this.nowMinX = new Float64Array(count).fill(Infinity)
    this.nowMinY = new Float64Array(count)
    this.nowMaxX = new Float64Array(count)
    this.nowMaxY = new Float64Array(count)
    this.shapeOf = Int32Array.from(members, ({ shape }) => shape)
    this.fixed = Uint8Array.from(members, ({ fixed }) => (fixed ? 1 : 0))

    this.firstPose = new Int32Array(shapes.length).fill(-1)
    this.poses = Int32Array.from(shapes, ({ turned }) => turned.length)
    const present = [...new Set(this.shapeOf)]
    let total = 0
    for (const shape of present) {
      this.firstPose[shape] = total
      total += this.poses[shape]!
    }
    const turned = present.flatMap((shape) => shapes[shape]!.turned)
    this.totalPoses = total
    this.poseShape = Int32Array.from(present.flatMap((shape) => shapes[shape]!.turned.map(() => shape)))
    const sides = Array.from(this.poseShape, (shape) => Math.sqrt(shapes[shape]!.area))
    const mean = sides.reduce((sum, side) => sum + side, 0) / sides.length
    this.size = Float64Array.from(sides, (side) => side / mean)
    this.boxMinX = Float64Array.from(turned, ({ box }) => box.minX)
    this.boxMinY = Float64Array.from(turned, ({ box }) => box.minY)
    this.boxMaxX = Float64Array.from(turned, ({ box }) => box.maxX)
    this.boxMaxY = Float64Array.from(turned, ({ box }) => box.maxY)
    this.reachMinX = Float64Array.from(turned, ({ reach }) => reach.minX)
    this.reachMinY = Float64Array.from(turned, ({ reach }) => reach.minY)
    this.reachMaxX = Float64Array.from(turned, ({ reach }) => reach.maxX)
    this.reachMaxY = Float64Array.from(turned, ({ reach }) => reach.maxY)
    this.cos = Float64Array.from(turned, ({ cos }) => cos)
    this.sin = Float64Array.from(turned, ({ sin }) => sin)
    this.degrees = Float64Array.from(turned, ({ turn }) => turn)
    this.pairAt = Array.from({ length: total * total })
    for (let i = 0; i < count; i++) this.pose[i] = this.firstPose[this.shapeOf[i]!]!
  }

  /** Where the middle of a piece may lie; least above most where it does not fit at all. */
  leastX(pose: number): number {
    return -this.boxMinX[pose]!
  }

  mostX(pose: number): number {
    return this.length - this.boxMaxX[pose]!
  }

  leastY(pose: number): number {
    return -this.boxMinY[pose]!
  }

  mostY(pose: number): number {
    return this.width - this.boxMaxY[pose]!
  }

  fits(pose: number): boolean {
    return this.leastX(pose) <= this.mostX(pose) + SLIVER && this.leastY(pose) <= this.mostY(pose) + SLIVER
  }

  /** Width and height of a pose's box. */
  spanX(pose: number): number {
    return this.boxMaxX[pose]! - this.boxMinX[pose]!
  }

  spanY(pose: number): number {
    return this.boxMaxY[pose]! - this.boxMinY[pose]!
  }

  /** Takes a piece off: nothing meets it until it is {@link put} again. */
  lift(member: number): void {
    this.nowMinX[member] = Infinity
    this.nearPose = -1
  }

  /** Lays a piece down without reckoning overlaps. */
  put(member: number, pose: number, x: number, y: number): void {
    this.pose[member] = pose
    this.x[member] = x
    this.y[member] = y
    this.nowMinX[member] = x + this.reachMinX[pose]!
    this.nowMaxX[member] = x + this.reachMaxX[pose]!
    this.nowMinY[member] = y + this.reachMinY[pose]!
    this.nowMaxY[member] = y + this.reachMaxY[pose]!
  }

  /**
   * Weighed overlap that the member, itself lifted, would have there; some number of `enough` or more once that is
   * reached.
   */
  weigh(member: number, pose: number, x: number, y: number, enough: number): number {
    const minX = x + this.reachMinX[pose]!
    const maxX = x + this.reachMaxX[pose]!
    const minY = y + this.reachMinY[pose]!
    const maxY = y + this.reachMaxY[pose]!
    const { nowMinX, nowMaxX, nowMinY, nowMaxY, weight, count } = this
    const row = member * count
    let sum = 0
    this.asked++
    for (let other = 0; other < count; other++) {
      if (nowMinX[other]! >= maxX || nowMaxX[other]! <= minX) continue
      if (nowMinY[other]! >= maxY || nowMaxY[other]! <= minY) continue
      const cost = this.cost(pose, x, y, other)
      if (cost > 0) {
        sum += cost * weight[row + other]!
        if (sum >= enough) return sum
      }
    }
    return sum
  }

  /** As {@link weigh}, for many places near each other: looks only at those that can be met from around there. */
  weighNear(member: number, pose: number, x: number, y: number, enough: number, margin: number): number {
    if (pose !== this.nearPose || Math.abs(x - this.nearX) > this.margin || Math.abs(y - this.nearY) > this.margin) {
      this.gather(pose, x, y, margin)
    }
    const { near, nearCount, weight } = this
    const row = member * this.count
    let sum = 0
    this.asked++
    for (let i = 0; i < nearCount; i++) {
      const other = near[i]!
      const cost = this.cost(pose, x, y, other)
      if (cost > 0) {
        sum += cost * weight[row + other]!
        if (sum >= enough) return sum
      }
    }
    return sum
  }

  private gather(pose: number, x: number, y: number, margin: number): void {
    const { near, nowMinX, nowMaxX, nowMinY, nowMaxY, count } = this
    const minX = x + this.reachMinX[pose]! - margin
    const maxX = x + this.reachMaxX[pose]! + margin
    const minY = y + this.reachMinY[pose]! - margin
    const maxY = y + this.reachMaxY[pose]! + margin
    let found = 0
    for (let other = 0; other < count; other++) {
      if (nowMinX[other]! >= maxX || nowMaxX[other]! <= minX) continue
      if (nowMinY[other]! >= maxY || nowMaxY[other]! <= minY) continue
      near[found++] = other
    }
    this.nearCount = found
    this.nearPose = pose
    this.nearX = x
    this.nearY = y
    this.margin = margin
  }

  /** Reckons the overlaps of one member with all others anew. */
  measure(member: number): void {
    const { overlap, count, fixed, nowMinX, nowMaxX, nowMinY, nowMaxY } = this
    const pose = this.pose[member]!
    const x = this.x[member]!
    const y = this.y[member]!
    const minX = nowMinX[member]!
    const maxX = nowMaxX[member]!
    const minY = nowMinY[member]!
    const maxY = nowMaxY[member]!
    for (let other = 0; other < count; other++) {
      const apart =
        other === member ||
        (fixed[member] === 1 && fixed[other] === 1) ||
        nowMinX[other]! >= maxX ||
        nowMaxX[other]! <= minX ||
        nowMinY[other]! >= maxY ||
        nowMaxY[other]! <= minY
      const cost = apart ? 0 : this.cost(pose, x, y, other)
      overlap[member * count + other] = cost
      overlap[other * count + member] = cost
    }
  }

  measureAll(): void {
    for (let member = 0; member < this.count; member++) this.measure(member)
  }

  /** Weighed overlap of one member where it lies. */
  load(member: number): number {
    const { overlap, weight, count } = this
    let sum = 0
    for (let at = member * count, end = at + count; at < end; at++) sum += overlap[at]! * weight[at]!
    return sum
  }

  /** Overlap of all, unweighed, every two members counted once. */
  total(): number {
    const { overlap } = this
    let sum = 0
    for (let at = 0; at < overlap.length; at++) sum += overlap[at]!
    return sum / 2
  }

  take(): Snapshot {
    return { length: this.length, pose: this.pose.slice(), x: this.x.slice(), y: this.y.slice() }
  }

  /** Brings a layout back; pieces beyond the border, if it is shorter now, are moved in. */
  restore(snapshot: Snapshot, length = snapshot.length): void {
    this.length = length
    for (let member = 0; member < this.count; member++) {
      const pose = snapshot.pose[member]!
      this.put(member, pose, snapshot.x[member]!, snapshot.y[member]!)
    }
    this.moveIn()
    this.measureAll()
  }

  /** Moves what stands over the border back in. */
  moveIn(): void {
    for (let member = 0; member < this.count; member++) {
      if (this.fixed[member]) continue
      const pose = this.pose[member]!
      const x = Math.max(this.leastX(pose), Math.min(this.mostX(pose), this.x[member]!))
      const y = Math.max(this.leastY(pose), Math.min(this.mostY(pose), this.y[member]!))
      this.put(member, pose, x, y)
    }
  }

  /**
   * What an overlap costs: the root of its depth, so that it pays to part a pair altogether rather than to share an
   * overlap among many; times the size of both, so that small pieces give way to large ones.
   */
  private cost(pose: number, x: number, y: number, other: number): number {
    const otherPose = this.pose[other]!
    const depth = this.depth(pose, x, y, other, otherPose)
    return depth > 0 ? this.size[pose]! * this.size[otherPose]! * Math.sqrt(depth) : 0
  }

  private depth(pose: number, x: number, y: number, other: number, otherPose: number): number {
    const pair = this.pairAt[pose * this.totalPoses + otherPose] ?? this.makePair(pose, otherPose)
    const dx = this.x[other]! - x
    const dy = this.y[other]! - y
    // A pair is known for the lower shape at rest: the offset is turned back into its axes.
    if (this.poseShape[pose]! <= this.poseShape[otherPose]!) {
      const cos = this.cos[pose]!
      const sin = this.sin[pose]!
      return pair.depth(cos * dx + sin * dy, cos * dy - sin * dx)
    }
    const cos = this.cos[otherPose]!
    const sin = this.sin[otherPose]!
    return pair.depth(-cos * dx - sin * dy, sin * dx - cos * dy)
  }

  private makePair(pose: number, other: number): Pair {
    const turn = this.degrees[other]! - this.degrees[pose]!
    const a = this.poseShape[pose]!
    const b = this.poseShape[other]!
    const pair = a <= b ? this.pairs.between(a, b, turn) : this.pairs.between(b, a, -turn)
    this.pairAt[pose * this.totalPoses + other] = pair
    this.asked += PAIR_STEPS
    return pair
  }
}

/** What making a pair costs, in questions. */
const PAIR_STEPS = 2000

/** Lengths that are equal but for rounding. */
const SLIVER = 1e-9
