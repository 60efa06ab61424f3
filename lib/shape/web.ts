import { boundsOf } from './bounds'
import { type Edges, eachNearPair, edgesOf } from './edges'
import { inscribedCircle, surelyHolds } from './inscribed'
import { type Point, type Region, SAME_POINT } from './point'

/** The narrowest card between two cuts. */
export interface Web {
  /** mm. */
  readonly width: number
  /** The middle of it. */
  readonly at: Point
  /** Where the two cuts come nearest. */
  readonly between: readonly [Point, Point]
}

/**
 * The narrowest web of a region: between two openings, an opening and the outline, or across a neck of the outline.
 *
 * A web is a straight way across the card from cut to cut that gets no shorter when either end is moved a little along
 * its cut: a bottleneck. So a corner is none, however sharp (the way across gets ever shorter towards its point), and
 * neither is a tapered tip such as a trailing edge; a parallel strip is one, and what tapers by less than {@link TAPER}
 * counts as parallel. Where the card has no bottleneck, as in a disc or a triangle, the width of its widest place is
 * returned (twice the radius of the inscribed circle). Undefined for no area, and where `within` mm is given and
 * nothing is narrower than that: a check with a limit is several times faster so.
 *
 * Between straight edges a bottleneck stands at a vertex and an edge or two vertices, or between two parallel edges, so
 * it is enough to look at pairs of edges that come nearer than the best web so far. Limits: of two edges that face
 * each other at less than half their distance the parallel case is passed over; ways that are not straight, round a
 * bend, are not seen.
 */
export function narrowestWeb(region: Region, within = Infinity): Web | undefined {
  if (region.length === 0) return undefined
  const { minX, minY, maxX, maxY } = boundsOf(region)
  // Card is nowhere wider than its bounds; the hair lets a rectangle's own width be found.
  const widest = Math.min(maxX - minX, maxY - minY) * (1 + 1e-9) + SAME_POINT
  const found = new Search(edgesOf(region), Math.min(widest, within)).run()
  if (found || surelyHolds(region, within)) return found
  const { centre, radius } = inscribedCircle(region)
  if (2 * radius >= within) return undefined
  return {
    width: 2 * radius,
    at: centre,
    between: [
      [centre[0] - radius, centre[1]],
      [centre[0] + radius, centre[1]],
    ],
  }
}

/** Sine of the angle, 1°, by which a cut may run towards the other one and still count as parallel to it. */
const TAPER = Math.sin(Math.PI / 180)

/** Two cuts that turn towards each other by 1° each are still parallel. */
const PARALLEL = Math.cos((2 * Math.PI) / 180)

class Search {
  readonly #edges: Edges
  /** Direction and length of each edge. */
  readonly #ux: Float64Array
  readonly #uy: Float64Array
  readonly #length: Float64Array
  /** Whether a web can end at the vertex where edge i begins: not at a corner that sticks out. */
  readonly #open: Uint8Array
  #width: number
  #ends: [number, number, number, number] | undefined

  constructor(edges: Edges, widest: number) {
    this.#edges = edges
    const { count, ax, ay, bx, by, previous } = edges
    this.#ux = new Float64Array(count)
    this.#uy = new Float64Array(count)
    this.#length = new Float64Array(count)
    for (let i = 0; i < count; i++) {
      const [dx, dy] = [bx[i]! - ax[i]!, by[i]! - ay[i]!]
      const length = Math.sqrt(dx * dx + dy * dy)
      this.#length[i] = length
      this.#ux[i] = length === 0 ? 0 : dx / length
      this.#uy[i] = length === 0 ? 0 : dy / length
    }
    this.#open = new Uint8Array(count)
    for (let i = 0; i < count; i++) {
      const p = previous[i]!
      const sine = this.#ux[p]! * this.#uy[i]! - this.#uy[p]! * this.#ux[i]!
      const cosine = this.#ux[p]! * this.#ux[i]! + this.#uy[p]! * this.#uy[i]!
      this.#open[i] = sine < 0 || (cosine > 0 && sine <= 2 * TAPER) ? 1 : 0
    }
    this.#width = widest
  }

  run(): Web | undefined {
    eachNearPair(
      this.#edges,
      () => this.#width,
      (i, j) => {
        this.#acrossVertices(i, j)
        if (this.#open[i] === 1) this.#acrossVertexEdge(i, j)
        if (this.#open[j] === 1) this.#acrossVertexEdge(j, i)
        this.#acrossParallels(i, j)
        return false
      },
    )
    if (!this.#ends) return undefined
    const [px, py, qx, qy] = this.#ends
    return {
      width: this.#width,
      at: [(px + qx) / 2, (py + qy) / 2],
      between: [
        [px, py],
        [qx, qy],
      ],
    }
  }

  #acrossVertices(i: number, j: number): void {
    if (this.#open[i] === 0 || this.#open[j] === 0) return
    const { ax, ay, next } = this.#edges
    const [dx, dy] = [ax[j]! - ax[i]!, ay[j]! - ay[i]!]
    const width = Math.sqrt(dx * dx + dy * dy)
    if (width >= this.#width || next[i] === j || next[j] === i) return
    if (width > SAME_POINT) {
      const [x, y] = [dx / width, dy / width]
      if (!this.#endsAtVertex(i, x, y) || !this.#endsAtVertex(j, -x, -y)) return
    }
    this.#take(width, ax[i]!, ay[i]!, ax[j]!, ay[j]!)
  }

  #acrossVertexEdge(v: number, e: number): void {
    const { ax, ay, previous } = this.#edges
    if (e === v || e === previous[v]) return
    const [x, y] = [ax[v]! - ax[e]!, ay[v]! - ay[e]!]
    const along = x * this.#ux[e]! + y * this.#uy[e]!
    if (along <= 0 || along >= this.#length[e]!) return
    // Above 0 where the vertex stands on the edge's left, which is the card's side.
    const width = y * this.#ux[e]! - x * this.#uy[e]!
    if (width >= this.#width || width < -SAME_POINT) return
    if (width > SAME_POINT && !this.#endsAtVertex(v, this.#uy[e]!, -this.#ux[e]!)) return
    this.#take(
      Math.max(width, 0),
      ax[v]!,
      ay[v]!,
      ax[e]! + along * this.#ux[e]!,
      ay[e]! + along * this.#uy[e]!,
    )
  }

  #acrossParallels(i: number, j: number): void {
    const { ax, ay, bx, by } = this.#edges
    const [ux, uy] = [this.#ux[i]!, this.#uy[i]!]
    if (ux * this.#ux[j]! + uy * this.#uy[j]! > -PARALLEL) return
    // Edge j in the axes of edge i; it runs the other way, so its end comes first.
    const [s1, s0] = [this.#alongEdge(i, ax[j]!, ay[j]!), this.#alongEdge(i, bx[j]!, by[j]!)]
    const from = Math.max(0, s0)
    const to = Math.min(this.#length[i]!, s1)
    if (to <= from) return
    const [h1, h0] = [this.#offEdge(i, ax[j]!, ay[j]!), this.#offEdge(i, bx[j]!, by[j]!)]
    const slope = (h1 - h0) / (s1 - s0)
    const at = slope >= 0 ? from : to
    const width = h0 + slope * (at - s0)
    if (width <= SAME_POINT || width >= this.#width || to - from < width / 2) return
    // Shown in the middle, where there is card on both sides: the place hardly matters to a parallel strip.
    const shown = (from + to) / 2
    const height = h0 + slope * (shown - s0)
    const [px, py] = [ax[i]! + shown * ux, ay[i]! + shown * uy]
    this.#take(width, px, py, px - height * uy, py + height * ux)
  }

  /** Whether a web leaving vertex v along (x, y) starts into the card and gets no shorter along either cut. */
  #endsAtVertex(v: number, x: number, y: number): boolean {
    const p = this.#edges.previous[v]!
    const [nx, ny] = [this.#ux[v]!, this.#uy[v]!]
    const [px, py] = [-this.#ux[p]!, -this.#uy[p]!]
    if (nx * x + ny * y > TAPER || px * x + py * y > TAPER) return false
    const leftOfNext = nx * y - ny * x > 0
    const rightOfPrevious = x * py - y * px > 0
    const reflex = nx * py - ny * px < 0
    return reflex ? leftOfNext || rightOfPrevious : leftOfNext && rightOfPrevious
  }

  #alongEdge(i: number, x: number, y: number): number {
    return (x - this.#edges.ax[i]!) * this.#ux[i]! + (y - this.#edges.ay[i]!) * this.#uy[i]!
  }

  #offEdge(i: number, x: number, y: number): number {
    return (y - this.#edges.ay[i]!) * this.#ux[i]! - (x - this.#edges.ax[i]!) * this.#uy[i]!
  }

  #take(width: number, px: number, py: number, qx: number, qy: number): void {
    if (this.#cutBetween(px, py, qx, qy)) return
    this.#width = width
    this.#ends = [px, py, qx, qy]
  }

  /** Whether another cut runs between the ends: then the way across is not all card. */
  #cutBetween(px: number, py: number, qx: number, qy: number): boolean {
    const [dx, dy] = [qx - px, qy - py]
    const length = Math.sqrt(dx * dx + dy * dy)
    if (length <= 4 * SAME_POINT) return false
    // The ends stand on their own cuts, give or take rounding, so a hair is left off at both.
    const [hx, hy] = [(dx / length) * SAME_POINT, (dy / length) * SAME_POINT]
    const [x0, y0, x1, y1] = [px + hx, py + hy, qx - hx, qy - hy]
    const [minX, maxX] = [Math.min(x0, x1), Math.max(x0, x1)]
    const [minY, maxY] = [Math.min(y0, y1), Math.max(y0, y1)]
    const { ax, ay, bx, by, runs, boxes } = this.#edges
    for (let r = 0; r + 1 < runs.length; r++) {
      if (boxes[4 * r]! > maxX || boxes[4 * r + 2]! < minX) continue
      if (boxes[4 * r + 1]! > maxY || boxes[4 * r + 3]! < minY) continue
      for (let k = runs[r]!; k < runs[r + 1]!; k++) {
        const s1 = dx * (ay[k]! - py) - dy * (ax[k]! - px)
        const s2 = dx * (by[k]! - py) - dy * (bx[k]! - px)
        if (s1 < 0 === s2 < 0) continue
        const s3 = this.#offEdge(k, x0, y0)
        const s4 = this.#offEdge(k, x1, y1)
        if (s3 < 0 !== s4 < 0) return true
      }
    }
    return false
  }
}
