import type { Layout } from './layout'
import type { Random } from './random'

export interface Sampling {
  /** Places tried all over the rectangle. */
  readonly wide: number
  /** Places tried around where the piece lies. */
  readonly near: number
  /** How many of the best are refined. */
  readonly refined: number
}

/**
 * Looks for the place of least weighed overlap for one piece: many places are tried, the best few go downhill, and
 * the best of these to the end. All buffers are made once.
 */
export class Relocator {
  private readonly layout: Layout
  private readonly random: Random
  private readonly sampling: Sampling
  private readonly bestLoad: Float64Array
  private readonly bestX: Float64Array
  private readonly bestY: Float64Array
  private readonly bestPose: Int32Array
  private kept = 0

  // The place in hand while going downhill.
  private x = 0
  private y = 0
  private load = 0

  constructor(layout: Layout, random: Random, sampling: Sampling) {
    this.layout = layout
    this.random = random
    this.sampling = sampling
    this.bestLoad = new Float64Array(sampling.refined)
    this.bestX = new Float64Array(sampling.refined)
    this.bestY = new Float64Array(sampling.refined)
    this.bestPose = new Int32Array(sampling.refined)
  }

  /** Moves the piece to the best place found, which may be where it lies; overlaps are reckoned anew. */
  relocate(member: number, stays: boolean): void {
    const { layout, sampling, random } = this
    const pose = layout.pose[member]!
    const x = layout.x[member]!
    const y = layout.y[member]!
    layout.lift(member)
    this.kept = 0
    if (stays) this.offer(layout.weigh(member, pose, x, y, Infinity), pose, x, y)
    const first = layout.firstPose[layout.shapeOf[member]!]!
    const poses = layout.poses[layout.shapeOf[member]!]!
    for (let i = 0; i < sampling.wide; i++) {
      const p = first + (poses > 1 ? random.index(poses) : 0)
      if (!layout.fits(p)) continue
      const atX = random.between(layout.leastX(p), layout.mostX(p))
      this.try(member, p, atX, random.between(layout.leastY(p), layout.mostY(p)))
    }
    if (stays) {
      for (let i = 0; i < sampling.near; i++) {
        const p = first + (poses > 1 ? random.index(poses) : 0)
        if (!layout.fits(p)) continue
        const rangeX = 0.5 * layout.spanX(p)
        const rangeY = 0.5 * layout.spanY(p)
        this.try(
          member,
          p,
          clamp(x + random.between(-rangeX, rangeX), layout.leastX(p), layout.mostX(p)),
          clamp(y + random.between(-rangeY, rangeY), layout.leastY(p), layout.mostY(p)),
        )
      }
    }
    let best = -1
    for (let i = 0; i < this.kept; i++) {
      this.refine(member, i, COARSE_FROM, COARSE_TO)
      if (best < 0 || this.bestLoad[i]! < this.bestLoad[best]!) best = i
    }
    if (best >= 0) this.refine(member, best, COARSE_TO * 2, FINE_TO)
    if (best >= 0) layout.put(member, this.bestPose[best]!, this.bestX[best]!, this.bestY[best]!)
    else layout.put(member, pose, x, y)
    layout.measure(member)
  }

  private try(member: number, pose: number, x: number, y: number): void {
    const { kept, bestLoad } = this
    const enough = kept < this.sampling.refined ? Infinity : bestLoad[kept - 1]!
    if (enough === 0) return
    const load = this.layout.weigh(member, pose, x, y, enough)
    if (load < enough) this.offer(load, pose, x, y)
  }

  /** Puts a place among the best, in order. */
  private offer(load: number, pose: number, x: number, y: number): void {
    const { bestLoad, bestX, bestY, bestPose } = this
    if (this.kept < this.sampling.refined) this.kept++
    let at = this.kept - 1
    while (at > 0 && bestLoad[at - 1]! > load) {
      bestLoad[at] = bestLoad[at - 1]!
      bestX[at] = bestX[at - 1]!
      bestY[at] = bestY[at - 1]!
      bestPose[at] = bestPose[at - 1]!
      at--
    }
    bestLoad[at] = load
    bestX[at] = x
    bestY[at] = y
    bestPose[at] = pose
  }

  /** Coordinate descent: along an axis or a diagonal, either way; longer steps after a gain, shorter after none. */
  private refine(member: number, at: number, from: number, to: number): void {
    const { layout, random } = this
    const pose = this.bestPose[at]!
    const size = Math.min(layout.spanX(pose), layout.spanY(pose))
    const least = size * to
    this.x = this.bestX[at]!
    this.y = this.bestY[at]!
    this.load = this.bestLoad[at]!
    const margin = 2 * size * from
    let stepX = size * from
    let stepY = size * from
    while (this.load > 0 && (stepX > least || stepY > least)) {
      const axis = random.bits() >>> 30
      const dx = axis === AXIS_Y ? 0 : stepX
      const dy = axis === AXIS_X ? 0 : axis === DIAGONAL_DOWN ? -stepY : stepY
      const gained = this.step(member, pose, dx, dy, margin)
      const factor = gained ? 1.1 : axis === AXIS_X || axis === AXIS_Y ? 0.5 : Math.SQRT1_2
      if (axis !== AXIS_Y) stepX *= factor
      if (axis !== AXIS_X) stepY *= factor
    }
    this.bestX[at] = this.x
    this.bestY[at] = this.y
    this.bestLoad[at] = this.load
  }

  private step(member: number, pose: number, dx: number, dy: number, margin: number): boolean {
    const { layout } = this
    const fromX = this.x
    const fromY = this.y
    const before = this.load
    for (let sign = -1; sign <= 1; sign += 2) {
      const x = clamp(fromX + sign * dx, layout.leastX(pose), layout.mostX(pose))
      const y = clamp(fromY + sign * dy, layout.leastY(pose), layout.mostY(pose))
      const load = layout.weighNear(member, pose, x, y, this.load, margin)
      if (load < this.load) {
        this.load = load
        this.x = x
        this.y = y
      }
    }
    return this.load < before
  }
}

function clamp(value: number, least: number, most: number): number {
  return value < least ? least : value > most ? most : value
}

const AXIS_X = 0
const AXIS_Y = 1
const DIAGONAL_DOWN = 3

/** Step lengths of the descent as shares of the piece's smaller side. */
const COARSE_FROM = 0.25
const COARSE_TO = 0.02
const FINE_TO = 0.0005
