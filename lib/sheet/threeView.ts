import { type SeenSolid, seenEdges } from '../fit/seen'
import type { Solid } from '../fit/solid'
import { boundsOf } from '../shape/bounds'
import type { Bounds, Point } from '../shape/point'
import type { Pose, Vector } from '../shape/pose'
import { dimension } from './dimension'
import type { Drawing, Mark, PieceGroup, Stroke } from './drawing'
import { fittedDrawing, movedMark } from './fitted'
import { letter } from './lettering'

export interface ThreeViewInput {
  /** `Sandpiper 1:60` */
  readonly title: string
  /** What is drawn: the model, or one of its assemblies. */
  readonly what: string
  readonly solids: readonly Solid[]
  /** Full size over model size. */
  readonly ratio: number
  /** Centre of gravity, where it is known. */
  readonly centre?: Vector
  /** Times model size; 1 unless said. */
  readonly enlarged?: number
}

/**
 * Side, front and plan, hidden lines left out, in first-angle projection (ISO 5456-2): the side from port with the bow
 * to the left, the front to its right, the plan below. Length, breadth and height are given at full size and on the
 * model.
 *
 * @throws Error where there is nothing to draw
 */
export function drawThreeView({ title, what, solids, ratio, centre, enlarged = 1 }: ThreeViewInput): Drawing {
  if (solids.length === 0) throw new Error(`nothing of ${what} has a place in the model`)
  const views = VIEWS.map(({ name, pose }) => viewOf(name, pose, solids, enlarged, centre))
  const [side, front, plan] = views as [View, View, View]
  const below = (view: View) => side.bounds.minY - ROOM - view.bounds.maxY
  const at = [
    [0, 0],
    [side.bounds.maxX + ROOM - front.bounds.minX, 0],
    [0, below(plan)],
  ] as const
  const moved = views.map((view, i) => shifted(view, at[i]!))
  const size = (least: number, most: number) => `${metres(((most - least) / enlarged) * ratio)} (${((most - least) / enlarged).toFixed(1)} mm)`
  const [s, f, p] = moved.map(({ bounds }) => bounds) as [Bounds, Bounds, Bounds]
  const marks: Mark[] = [
    ...moved.flatMap(({ marks, bounds, name }) => [...marks, caption(name, bounds)]),
    ...dimension([s.minX, s.minY], [s.maxX, s.minY], s.minY - STEP, false, size(s.minX, s.maxX)),
    ...dimension([s.minX, s.minY], [s.minX, s.maxY], s.minX - STEP, true, size(s.minY, s.maxY)),
    ...dimension([f.minX, f.minY], [f.maxX, f.minY], f.minY - STEP, false, size(f.minX, f.maxX)),
    ...firstAngle([f.maxX - 24, p.minY + 6]),
  ]
  const around = boundsOf([[s, f, p].flatMap(({ minX, minY, maxX, maxY }): Point[] => [[minX - 12, minY - 14], [maxX + 4, maxY + 8]])])
  return fittedDrawing({
    title: `${title}, ${what}`,
    captions: [
      `${title}, ${what}: side, front and plan`,
      `${enlarged === 1 ? 'model size' : `${enlarged} times model size`}; dimensions at full size, in brackets on the model`,
    ],
    pieces: moved.flatMap(({ pieces }) => pieces),
    marks,
    bounds: around,
  })
}

const VIEWS: readonly { readonly name: string; readonly pose: Pose }[] = [
  { name: 'side, from port', pose: { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 0, 1] } },
  { name: 'front', pose: { origin: [0, 0, 0], right: [0, -1, 0], up: [0, 0, 1] } },
  { name: 'plan', pose: { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 1, 0] } },
]

/** Between views, and from a view to its dimension, mm. */
const ROOM = 26
const STEP = 9

interface View {
  readonly name: string
  readonly pieces: readonly PieceGroup[]
  readonly marks: readonly Mark[]
  readonly bounds: Bounds
}

function viewOf(name: string, pose: Pose, solids: readonly Solid[], enlarged: number, centre?: Vector): View {
  const seen = seenEdges(solids, pose)
  const pieces = seen.filter(({ lines }) => lines.length > 0).map((one) => groupOf(one, name, enlarged))
  const points = solids.flatMap(({ vertices }) => extremes(vertices, pose)).map(([x, y]): Point => [x * enlarged, y * enlarged])
  const marks: Mark[] = []
  if (centre) {
    const along = (axis: Vector) => (centre[0] * axis[0] + centre[1] * axis[1] + centre[2] * axis[2]) * enlarged
    marks.push(...gravity([along(pose.right), along(pose.up)]))
  }
  return { name, pieces, marks, bounds: boundsOf([points]) }
}

/** Edges of a solid seen, as a group of its mark. */
export function groupOf({ mark, copy, lines }: SeenSolid, view: string, enlarged: number): PieceGroup {
  const stroke: Stroke = {
    kind: 'stroke',
    role: 'edge',
    lines: lines.map((line) => ({ points: line.map(([x, y]): Point => [x * enlarged, y * enlarged]), closed: false })),
  }
  return { id: `${view} ${mark}${copy === 1 ? '' : `#${copy}`}`, mark, assembly: '', stock: '', plies: 1, fingerprint: '', marks: [stroke] }
}

/** Corners of the box a solid takes up in a view. */
export function extremes(vertices: Float64Array, { right, up }: Pose): Point[] {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity]
  for (let i = 0; i < vertices.length; i += 3) {
    const x = vertices[i]! * right[0] + vertices[i + 1]! * right[1] + vertices[i + 2]! * right[2]
    const y = vertices[i]! * up[0] + vertices[i + 1]! * up[1] + vertices[i + 2]! * up[2]
    if (x < minX) minX = x
    if (x > maxX) maxX = x
    if (y < minY) minY = y
    if (y > maxY) maxY = y
  }
  return [[minX, minY], [maxX, maxY]]
}

function shifted(view: View, [dx, dy]: Point): View {
  const move = ([x, y]: Point): Point => [x + dx, y + dy]
  const { minX, minY, maxX, maxY } = view.bounds
  return {
    name: view.name,
    pieces: view.pieces.map((piece) => ({ ...piece, marks: piece.marks.map((mark) => movedMark(mark, move)) })),
    marks: view.marks.map((mark) => movedMark(mark, move)),
    bounds: { minX: minX + dx, minY: minY + dy, maxX: maxX + dx, maxY: maxY + dy },
  }
}

function caption(name: string, { minX, maxY }: Bounds): Mark {
  return letter(name, { at: [minX, maxY + 4], size: 2 })
}

/** A circle quartered by centre lines, and its name. */
function gravity([x, y]: Point): Mark[] {
  const circle = Array.from({ length: 24 }, (_, i): Point => {
    const angle = (2 * Math.PI * i) / 24
    return [x + 2 * Math.cos(angle), y + 2 * Math.sin(angle)]
  })
  const lines = [
    { points: circle, closed: true },
    { points: [[x - 4, y], [x + 4, y]] as const, closed: false },
    { points: [[x, y - 4], [x, y + 4]] as const, closed: false },
  ]
  return [{ kind: 'stroke', role: 'section', lines }, letter('CG', { at: [x + 3, y + 2], size: 2 })]
}

/** The sign of first-angle projection: a cut cone from the side, and to its right the same from its smaller end. */
function firstAngle([x, y]: Point): Mark[] {
  const circle = (radius: number) =>
    Array.from({ length: 32 }, (_, i): Point => {
      const angle = (2 * Math.PI * i) / 32
      return [x + 15 + radius * Math.cos(angle), y + radius * Math.sin(angle)]
    })
  const cone: Point[] = [[x, y - 1.5], [x + 7, y - 3], [x + 7, y + 3], [x, y + 1.5]]
  return [
    { kind: 'stroke', role: 'edge', lines: [cone, circle(3), circle(1.5)].map((points) => ({ points, closed: true })) },
    {
      kind: 'stroke',
      role: 'centre',
      lines: [
        { points: [[x - 2, y], [x + 9, y]], closed: false },
        { points: [[x + 10.5, y], [x + 19.5, y]], closed: false },
        { points: [[x + 15, y - 4.5], [x + 15, y + 4.5]], closed: false },
      ],
    },
  ]
}

function metres(length: number): string {
  return `${(length / 1000).toFixed(2)} m`
}
