import { bendAllowance } from '../craft/fold'
import { add, along, distance, faceNormal, radians, scale, toModel } from '../craft/space'
import type { Blank, Folded } from '../model/form'
import type { Score } from '../model/piece'
import { contains } from '../shape/measure'
import type { Point } from '../shape/point'
import type { Pose, Vector } from '../shape/pose'
import type { Stock } from '../stock/card'
import { type Body, type Carried, MODEL, thickened } from './body'
import { type Cut, type FlatMesh, ON_CUT, divide, eachEdge, triangulate } from './flatMesh'
import type { SolidPiece } from './solid'

/** Folds through more than this are rounded by two flats: their faces would meet far off, or not at all. */
const SHARPEST = 120

type FoldCard = Omit<Stock['fold'], 'leastCurlAlong' | 'leastCurlAcross'> & { readonly thickness: number }

export interface FoldedBody {
  readonly body: Body
  /** Where each panel stands, in the piece's axes; the first is the one that is placed. */
  readonly panels: readonly Pose[]
  /** Scores whose two sides come to stand apart, because the piece goes round in a ring that does not close. */
  readonly open: readonly { readonly at: Point; readonly apart: number }[]
}

/**
 * A piece folded up along its scores, its panels where bends round the stock's own radius put them:
 * {@link bendAllowance} in the flat, an arc at R + t/2 in the middle of the card.
 */
export function foldedUp(piece: SolidPiece, form: Folded, card: FoldCard): FoldedBody {
  const openings = piece.openings.map(({ loop }) => loop)
  const flat = { outline: piece.outline, openings, scores: piece.scores }
  const { folds, mesh, sides } = panelled(flat, card)
  const base = baseOf(mesh, sides, form.base)
  const from = form.of ? placeIn(form.of, pointOf(mesh, sides, base), card) : MODEL
  const { poses, open } = standUp(sides, folds, base, from)
  const carry = carrier(mesh, sides, folds, poses, card.thickness / 2)
  return {
    body: thickened(mesh, (_, index) => carry(index)),
    panels: [poses.get(base)!, ...[...poses].filter(([panel]) => panel !== base).map(([, pose]) => pose)],
    open,
  }
}

interface Panelled {
  readonly folds: readonly Fold[]
  readonly mesh: FlatMesh
  readonly sides: Sides
}

/** A flat thing divided into its panels. */
function panelled({ outline, openings, scores }: Pick<Blank, 'outline' | 'openings' | 'scores'>, card: FoldCard): Panelled {
  const folds = scores.flatMap((score) => foldsOf(score, card))
  const mesh = divide(triangulate(outline, openings), folds.flatMap(({ cuts }) => cuts))
  return { folds, mesh, sides: panelsOf(mesh, folds, 2 * card.thickness) }
}

/** Where the panel of a folded whole stands that a point of its flat is on; of the whole's base panel where it is on none. */
function placeIn(whole: Blank, point: Point, card: FoldCard): Pose {
  const { folds, mesh, sides } = panelled(whole, card)
  const base = baseOf(mesh, sides, whole.base)
  const { poses } = standUp(sides, folds, base, MODEL)
  const pose = poses.get(panelUnder(mesh, sides, point) ?? base) ?? MODEL
  return { ...pose, origin: along(pose.origin, faceNormal(pose), whole.out) }
}

/** The middle of the largest triangle of a panel. */
function pointOf({ points, triangles }: FlatMesh, { panel }: Sides, of: number): Point {
  let best = { area: -1, middle: [0, 0] as Point }
  for (const [i, owner] of panel.entries()) {
    if (owner !== of) continue
    const corners = [0, 1, 2].map((k) => points[triangles[3 * i + k]!]!) as [Point, Point, Point]
    const size = areaOf(corners)
    const [x, y] = [0, 1].map((k) => corners.reduce((sum, corner) => sum + corner[k]!, 0) / 3) as [number, number]
    if (size > best.area) best = { area: size, middle: [x, y] }
  }
  return best.middle
}

interface Fold {
  readonly from: Point
  readonly way: Point
  readonly length: number
  readonly angle: number
  readonly sense: 1 | -1
  /** Flat strip that the bend takes up, and its radius in the middle of the card. */
  readonly allowance: number
  readonly radius: number
  readonly cuts: readonly Cut[]
}

/** A fold goes on beyond its score by so many thicknesses: blanks leave slivers of card beside corners, which give. */
const MORE = 1.5

function foldsOf({ line, angle, fold }: Score, { insideRadius, k, thickness }: FoldCard): Fold[] {
  const radius = insideRadius.value
  const allowance = bendAllowance(angle, { radius, k: k.value, thickness })
  return line.slice(1).flatMap((to, i): Fold[] => {
    const from = line[i]!
    const length = Math.hypot(to[0] - from[0], to[1] - from[1])
    if (length < ON_CUT || angle === 0) return []
    const way: Point = [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
    const more = MORE * thickness
    const first: Point = [from[0] - way[0] * more, from[1] - way[1] * more]
    const reach = length + 2 * more
    const beside = (off: number): Cut => {
      const move = (s: number): Point => [first[0] + way[0] * s - way[1] * off, first[1] + way[1] * s + way[0] * off]
      return { from: move(0), to: move(reach) }
    }
    const cuts = angle > SHARPEST ? [0, -allowance / 2, allowance / 2].map(beside) : [beside(0)]
    return [{ from: first, way, length: reach, angle: radians(angle), sense: fold === 'valley' ? 1 : -1, allowance, radius: radius + thickness / 2, cuts }]
  })
}

/** Panel of each triangle, and what joins them. */
interface Sides {
  readonly panel: readonly number[]
  readonly count: number
  readonly hinges: readonly Hinge[]
}

/** What joins the panel to the left of a fold's way to the one to its right. */
interface Hinge {
  readonly left: number
  readonly right: number
  readonly fold: number
}

function panelsOf({ points, triangles }: FlatMesh, folds: readonly Fold[], sliver: number): Sides {
  const byEdge = new Map<string, number>()
  eachEdge(triangles, (from, to, triangle) => byEdge.set(`${from} ${to}`, triangle))
  const neighbours: number[][] = Array.from({ length: triangles.length / 3 }, () => [])
  const across: { triangle: number; other: number; fold: number; length: number }[] = []
  const on = folds.map((fold) => points.map((point) => lies(fold, point)))
  eachEdge(triangles, (from, to, triangle) => {
    const other = byEdge.get(`${to} ${from}`)
    if (other === undefined) return
    const fold = folds.findIndex((_, i) => on[i]![from] && on[i]![to])
    if (fold < 0) neighbours[triangle]!.push(other)
    else {
      const { way } = folds[fold]!
      const [p, q] = [points[from]!, points[to]!]
      const length = way[0] * (q[0] - p[0]) + way[1] * (q[1] - p[1])
      if (length > 0) across.push({ triangle, other, fold, length })
    }
  })
  const panel = Array.from({ length: neighbours.length }, () => -1)
  let count = 0
  for (const start of panel.keys()) {
    if (panel[start] !== -1) continue
    const reached = [start]
    panel[start] = count
    for (let next = reached.pop(); next !== undefined; next = reached.pop()) {
      for (const other of neighbours[next]!) {
        if (panel[other] !== -1) continue
        panel[other] = count
        reached.push(other)
      }
    }
    count++
  }
  const hinges = new Map<string, Hinge & { length: number }>()
  for (const { triangle, other, fold, length } of across) {
    const [left, right] = [panel[triangle]!, panel[other]!]
    const key = `${left} ${right} ${fold}`
    if (left !== right) hinges.set(key, { left, right, fold, length: length + (hinges.get(key)?.length ?? 0) })
  }
  // Folds go on a little, so that of neighbours in one line two may join the same panels: the longer one is meant.
  const all = [...hinges.values()].filter((hinge) => hinge.length > sliver)
  const joins = (one: Hinge, other: Hinge): boolean =>
    Math.min(one.left, one.right) === Math.min(other.left, other.right) &&
    Math.max(one.left, one.right) === Math.max(other.left, other.right)
  const longest = all.filter((one) => !all.some((other) => joins(one, other) && other.length > one.length))
  return { panel, count, hinges: longest }
}

function lies({ from, way, length }: Fold, [x, y]: Point): boolean {
  const [dx, dy] = [x - from[0], y - from[1]]
  const forward = way[0] * dx + way[1] * dy
  return Math.abs(way[0] * dy - way[1] * dx) < 2 * ON_CUT && forward > -2 * ON_CUT && forward < length + 2 * ON_CUT
}

/** The panel under a point of the flat, or the largest. */
function baseOf({ points, triangles }: FlatMesh, { panel, count }: Sides, base: Point | undefined): number {
  const under = base && panelUnder({ points, triangles }, { panel }, base)
  if (under !== undefined) return under
  const areas = Array.from({ length: count }, () => 0)
  for (const [i, owner] of panel.entries()) {
    areas[owner]! += areaOf([0, 1, 2].map((k) => points[triangles[3 * i + k]!]!) as [Point, Point, Point])
  }
  // Of panels alike the first one counts, whatever the last digits say.
  return areas.reduce((best, area, i) => (area > areas[best]! * (1 + 1e-6) ? i : best), 0)
}

function panelUnder({ points, triangles }: FlatMesh, { panel }: Pick<Sides, 'panel'>, at: Point): number | undefined {
  return panel.find((_, i) => contains([[0, 1, 2].map((k) => points[triangles[3 * i + k]!]!)], at))
}

function areaOf([p, q, r]: readonly [Point, Point, Point]): number {
  return ((q[0] - p[0]) * (r[1] - p[1]) - (r[0] - p[0]) * (q[1] - p[1])) / 2
}

function standUp(sides: Sides, folds: readonly Fold[], base: number, from: Pose): { poses: Map<number, Pose>; open: FoldedBody['open'] } {
  const poses = new Map<number, Pose>([[base, from]])
  const waiting = [base]
  const used = new Set<Hinge>()
  for (let panel = waiting.shift(); panel !== undefined; panel = waiting.shift()) {
    for (const hinge of sides.hinges) {
      if (hinge.left !== panel && hinge.right !== panel) continue
      const other = hinge.left === panel ? hinge.right : hinge.left
      if (poses.has(other)) continue
      used.add(hinge)
      poses.set(other, beyondFold(poses.get(panel)!, folds[hinge.fold]!, hinge.right === panel ? 1 : -1))
      waiting.push(other)
    }
  }
  const open = sides.hinges.flatMap((hinge) => {
    if (used.has(hinge) || !poses.has(hinge.left)) return []
    const fold = folds[hinge.fold]!
    const at: Point = [fold.from[0] + (fold.way[0] * fold.length) / 2, fold.from[1] + (fold.way[1] * fold.length) / 2]
    const meant = beyondFold(poses.get(hinge.right)!, fold, 1)
    const apart = distance(toModel(meant, at), toModel(poses.get(hinge.left)!, at))
    return apart > OPEN ? [{ at, apart }] : []
  })
  return { poses, open }
}

/** A ring of panels that closes but for rounding, mm. */
const OPEN = 0.05

/** Pose of the panel on the other side of a fold; `side` 1 where that lies to the left of its way. */
function beyondFold(pose: Pose, fold: Fold, side: 1 | -1): Pose {
  const { from, way, angle, sense, allowance, radius } = fold
  const out: Point = [-way[1] * side, way[0] * side]
  const { begin, outwards, face } = bendOf(pose, fold, side)
  const end = along(along(begin, outwards, radius * Math.sin(angle)), face, sense * radius * (1 - Math.cos(angle)))
  const onwards = add(scale(outwards, Math.cos(angle)), scale(face, sense * Math.sin(angle)))
  const line = add(scale(pose.right, way[0]), scale(pose.up, way[1]))
  const right = add(scale(onwards, out[0]), scale(line, way[0]))
  const up = add(scale(onwards, out[1]), scale(line, way[1]))
  // `from` lies half the allowance short of where the bend ends.
  const start = along(end, onwards, -allowance / 2)
  return { origin: along(along(start, right, -from[0]), up, -from[1]), right, up }
}

/** Where the bend begins beside the fold's first point, the way it goes on from there, and the printed side. */
function bendOf(pose: Pose, { from, way, allowance }: Fold, side: 1 | -1): { begin: Vector; outwards: Vector; face: Vector } {
  const outwards = add(scale(pose.right, -way[1] * side), scale(pose.up, way[0] * side))
  return { begin: along(toModel(pose, from), outwards, -allowance / 2), outwards, face: faceNormal(pose) }
}

/** Corners inside a panel go with it; those on a fold go where the middles of the card of its two sides meet. */
function carrier(
  { points, triangles }: FlatMesh,
  { panel, hinges }: Sides,
  folds: readonly Fold[],
  poses: ReadonlyMap<number, Pose>,
  half: number,
): (index: number) => Carried {
  const owner = new Map<number, Set<number>>()
  for (const [i, index] of triangles.entries()) {
    const owners = owner.get(index) ?? new Set()
    owner.set(index, owners.add(panel[Math.floor(i / 3)]!))
  }
  return (index) => {
    const point = points[index]!
    const owners = owner.get(index)!
    const meets = hinges.filter(({ left, right, fold }) => owners.has(left) && owners.has(right) && lies(folds[fold]!, point))
    const all = meets.flatMap(({ right, fold }) => {
      const pose = poses.get(right)
      return pose ? [onFold(pose, folds[fold]!, point, half)] : []
    })
    if (all.length > 0) return middleOf(all)
    const pose = poses.get([...owners][0]!) ?? MODEL
    return { at: toModel(pose, point), out: scale(faceNormal(pose), half) }
  }
}

function onFold(pose: Pose, fold: Fold, point: Point, half: number): Carried {
  const { begin, outwards, face } = bendOf(pose, fold, 1)
  const { angle, sense, radius, from, way } = fold
  const forward = way[0] * (point[0] - from[0]) + way[1] * (point[1] - from[1])
  const start = along(begin, add(scale(pose.right, way[0]), scale(pose.up, way[1])), forward)
  const bisector = add(scale(face, Math.cos(angle / 2)), scale(outwards, -sense * Math.sin(angle / 2)))
  if (angle <= radians(SHARPEST)) {
    return { at: along(start, outwards, radius * Math.tan(angle / 2)), out: scale(bisector, half / Math.cos(angle / 2)) }
  }
  const round = along(along(start, outwards, radius * Math.sin(angle / 2)), face, sense * radius * (1 - Math.cos(angle / 2)))
  return { at: round, out: scale(bisector, half) }
}

function middleOf(all: readonly Carried[]): Carried {
  const share = 1 / all.length
  const sum = (part: 'at' | 'out'): Vector => scale(all.map((one) => one[part]).reduce(add), share)
  return { at: sum('at'), out: sum('out') }
}
