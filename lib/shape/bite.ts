import { type Path64, type Point64, PointInPolygonResult, pointInPolygon } from 'clipper2-ts'

/** A body on the grid after its plain cuts, and the tools that have still to be taken from it. */
export interface Bitten {
  readonly body: Path64[]
  readonly left: Path64[]
}

/**
 * Takes from a region, on the grid, the tools that need no sweep: notches and slots open at the edge, and holes. What is
 * not plainly one of these is left for the sweep, so that this only ever saves time: a rib's cuts take a tenth of it.
 *
 * A notch crosses an outline just twice. Two simple closed curves that do so part each other into two runs each, and
 * what is left of the card goes along the outline as far as the notch, back round that run of the notch's edge that lies
 * in the card, and on along the outline. A hole crosses nothing and lies in the card. In both cases no other loop and no
 * other tool may come near; the loop that does is an outline, since an opening has one round it.
 *
 * Crossings are rounded to the grid, which moves the edges by less than a step: so all other pairs of edges must keep
 * {@link CLEAR} of each other, or the tool is left.
 */
export function bite(body: readonly Path64[], tools: readonly Path64[]): Bitten {
  const loops = body.map((path) => ({ path, box: boxOf(path), bites: [] as Bite[] }))
  const boxes = tools.map(boxOf)
  const holes: Path64[] = []
  const left = tools.filter((tool, i) => {
    const box = boxes[i]!
    const near = loops.filter((loop) => boxesMeet(box, loop.box))
    if (near.length !== 1 || boxes.some((other, j) => j !== i && boxesMeet(box, other))) return true
    const { path, bites } = near[0]!
    const crossings = crossingsOf(path, tool, box)
    if (crossings?.length === 2) bites.push(biteBetween(crossings[0]!, crossings[1]!, tool))
    else if (crossings?.length === 0 && isInside(tool[0]!, path)) holes.push(tool.toReversed())
    else return true
    return false
  })
  return { body: [...loops.map(({ path, bites }) => withBites(path, bites)), ...holes], left }
}

/** Steps of the grid that edges keep from each other, so that rounding cannot make them meet. */
const CLEAR = 2

/** A place on a loop: the number of an edge and the share of it that lies before. */
type Along = number

interface Crossing {
  readonly at: Point64
  readonly onBody: Along
  readonly onTool: Along
  /** Whether the body's edge goes into the tool here, or comes out. */
  readonly into: boolean
}

/** What takes the place of the stretch of a loop between two places. */
interface Bite {
  readonly from: Along
  readonly to: Along
  readonly path: Path64
}

/** The tool's edge from where the body's goes into it backwards to where it comes out: with the card on its left. */
function biteBetween(a: Crossing, b: Crossing, tool: Path64): Bite {
  const [start, end] = a.into ? [a, b] : [b, a]
  const path = [start.at]
  const stop = end.onTool < start.onTool ? end.onTool : end.onTool - tool.length
  for (let i = Math.floor(start.onTool); i > stop; i--) path.push(tool[(i + tool.length) % tool.length]!)
  path.push(end.at)
  return { from: start.onBody, to: end.onBody, path }
}

/** The loop with all its bites taken: from the end of each along its own edge to the beginning of the next. */
function withBites(path: Path64, bites: Bite[]): Path64 {
  if (bites.length === 0) return path
  bites.sort((a, b) => a.from - b.from)
  const count = path.length
  const bitten: Path64 = []
  for (let k = 0; k < bites.length; k++) {
    const { to, path: edge } = bites[k]!
    for (const point of edge) bitten.push(point)
    let next = bites[(k + 1) % bites.length]!.from
    if (next < to) next += count
    for (let i = Math.floor(to) + 1; i < next; i++) bitten.push(path[i % count]!)
  }
  return bitten
}

/** Where a loop crosses the tool; undefined where an edge of one comes too near the other to be sure. */
function crossingsOf(path: Path64, tool: Path64, box: Box): Crossing[] | undefined {
  const crossings: Crossing[] = []
  for (let i = 0; i < path.length; i++) {
    const a = path[i]!
    const b = after(path, i)
    if (!edgeMeets(a, b, box)) continue
    for (let j = 0; j < tool.length; j++) {
      const c = tool[j]!
      const d = after(tool, j)
      const sides = sidesOf(a, b, c, d)
      if (sides === SAME) continue
      const toolSides = sidesOf(c, d, a, b)
      if (toolSides === SAME) continue
      if (sides === UNCLEAR || toolSides === UNCLEAR) return undefined
      const share = shareAt(a, b, c, d)
      crossings.push({
        at: { x: Math.round(a.x + share * (b.x - a.x)), y: Math.round(a.y + share * (b.y - a.y)) },
        onBody: i + share,
        onTool: j + shareAt(c, d, a, b),
        into: side(c, d, b) > 0,
      })
    }
  }
  return crossings
}

function isInside(point: Point64, path: Path64): boolean {
  return pointInPolygon(point, path) === PointInPolygonResult.IsInside
}

const SAME = 1
const OPPOSITE = -1
const UNCLEAR = 0

/** Whether a and b lie on the same side of the line c–d, or one of them too near it to say. */
function sidesOf(a: Point64, b: Point64, c: Point64, d: Point64): typeof SAME | typeof OPPOSITE | typeof UNCLEAR {
  const sa = side(c, d, a)
  const sb = side(c, d, b)
  const clear = CLEAR * Math.sqrt((d.x - c.x) ** 2 + (d.y - c.y) ** 2)
  if (Math.abs(sa) <= clear || Math.abs(sb) <= clear) return UNCLEAR
  return sa > 0 === sb > 0 ? SAME : OPPOSITE
}

/** Above 0 where p lies to the left of the line c–d: its distance, times the length from c to d. */
function side(c: Point64, d: Point64, p: Point64): number {
  return (d.x - c.x) * (p.y - c.y) - (d.y - c.y) * (p.x - c.x)
}

/** The share of the edge a–b that lies before the line c–d. */
function shareAt(a: Point64, b: Point64, c: Point64, d: Point64): number {
  const sa = side(c, d, a)
  return sa / (sa - side(c, d, b))
}

function after(path: Path64, i: number): Point64 {
  return path[i + 1 < path.length ? i + 1 : 0]!
}

interface Box {
  readonly minX: number
  readonly minY: number
  readonly maxX: number
  readonly maxY: number
}

function boxOf(path: Path64): Box {
  let minX = Infinity
  let minY = Infinity
  let maxX = -Infinity
  let maxY = -Infinity
  for (let i = 0; i < path.length; i++) {
    const { x, y } = path[i]!
    if (x < minX) minX = x
    if (x > maxX) maxX = x
    if (y < minY) minY = y
    if (y > maxY) maxY = y
  }
  return { minX, minY, maxX, maxY }
}

function boxesMeet(a: Box, b: Box): boolean {
  return (
    a.minX <= b.maxX + CLEAR && b.minX <= a.maxX + CLEAR && a.minY <= b.maxY + CLEAR && b.minY <= a.maxY + CLEAR
  )
}

function edgeMeets(a: Point64, b: Point64, { minX, minY, maxX, maxY }: Box): boolean {
  if ((a.x < minX - CLEAR && b.x < minX - CLEAR) || (a.x > maxX + CLEAR && b.x > maxX + CLEAR)) return false
  return !((a.y < minY - CLEAR && b.y < minY - CLEAR) || (a.y > maxY + CLEAR && b.y > maxY + CLEAR))
}
