import type { Piece } from '../../lib/model/piece'
import type { Placement } from '../../lib/nest/nest'
import { boundsOf } from '../../lib/nest/turn'
import type { Bounds } from '../../lib/shape/point'
import { drawSheets, type Drawing, type Mark, printableArea, type SheetInput } from '../../lib/sheet/index'
import { builtInStock } from '../../lib/stock/catalogue'

export const stock = builtInStock('folder')

/** The drawings of pieces with places given or, without, in rows with a gap between them. */
export function drawn(pieces: readonly Piece[], rest: Partial<SheetInput> = {}): Drawing[] {
  const placements = rest.placements ?? inRows(pieces, printableArea(rest.stock ?? stock))
  return drawSheets({
    title: 'Sandpiper',
    scale: '1:60',
    stock,
    pieces,
    placements,
    sheets: placements.reduce((most, { sheet }) => Math.max(most, sheet + 1), 1),
    fingerprints: new Map(),
    ...rest,
  })
}

/** One piece after another from the lower left, a new sheet where they no longer fit. */
export function inRows(pieces: readonly Piece[], area: Bounds, gap = 2): Placement[] {
  let [x, y, height, sheet] = [area.minX, area.minY, 0, 0]
  return pieces.map(({ mark, outline }) => {
    const box = boundsOf(outline)
    const [w, h] = [box.maxX - box.minX, box.maxY - box.minY]
    if (x + w > area.maxX) [x, y, height] = [area.minX, y + height + gap, 0]
    if (y + h > area.maxY) [x, y, height, sheet] = [area.minX, area.minY, 0, sheet + 1]
    const placement = { id: mark, sheet, x: x - box.minX, y: y - box.minY, turn: 0 }
    x += w + gap
    height = Math.max(height, h)
    return placement
  })
}

/** Every segment of the marks with one of the roles, as ax, ay, bx, by. */
export function segmentsOf(marks: readonly Mark[], roles: readonly string[]): [number, number, number, number][] {
  return marks.flatMap((mark) =>
    mark.kind === 'stroke' && roles.includes(mark.role)
      ? mark.lines.flatMap(({ points, closed }) => segments(points, closed))
      : [],
  )
}

/** Every segment of the outlines of letters. */
export function letterSegments(marks: readonly Mark[]): [number, number, number, number][] {
  return marks.flatMap((mark) => (mark.kind === 'lettering' ? mark.loops.flatMap((loop) => segments(loop, true)) : []))
}

export function segments(
  points: readonly (readonly [number, number])[],
  closed: boolean,
): [number, number, number, number][] {
  return points.slice(closed ? 0 : 1).map((to, i) => {
    const from = points[closed ? (i + points.length - 1) % points.length : i]!
    return [from[0], from[1], to[0], to[1]]
  })
}

/** Whether two segments have a point in common, by the signs of the four triangles. */
export function cross(a: readonly number[], b: readonly number[]): boolean {
  const side = (p: readonly number[], x: number, y: number) =>
    Math.sign((p[2]! - p[0]!) * (y - p[1]!) - (p[3]! - p[1]!) * (x - p[0]!))
  // Their boxes too, for segments in one line.
  const boxesMeet = [0, 1].every((axis) => {
    const [low, high] = [a, b].map((one) => Math.min(one[axis]!, one[axis + 2]!)) as [number, number]
    const [far, near] = [a, b].map((one) => Math.max(one[axis]!, one[axis + 2]!)) as [number, number]
    return Math.max(low, high) <= Math.min(far, near)
  })
  return (
    boxesMeet &&
    side(a, b[0]!, b[1]!) * side(a, b[2]!, b[3]!) <= 0 &&
    side(b, a[0]!, a[1]!) * side(b, a[2]!, a[3]!) <= 0
  )
}
