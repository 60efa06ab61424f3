import { remembered, textOf } from '../memo/remember'
import type { Piece } from '../model/piece'
import { boundsOf } from '../nest/turn'
import type { Bounds, Loop, Point } from '../shape/point'
import { extentOf, type Label, labelInside, labelText, LEADER, OUTSIDE_SIZE, settings } from './label'
import { type Box, corners, findRoom, isCard, obstacles, type Obstacles, touches } from './room'

/**
 * Where the label of a piece that is too small to hold it may stand, in the piece's axes: in its openings, and close to
 * the outline on each side, along it and square to it, in one line and in two. What spreads the piece least comes
 * first. Empty where the label goes inside. Nesting keeps one of them free, the drawing takes the one it finds free.
 */
export function labelPlaces(piece: Piece): readonly Label[] {
  let found = places.get(piece)
  if (!found) places.set(piece, (found = labelInside(piece) ? [] : placesFor(piece)))
  return found
}

/** What of a label's box nothing but its own piece may come into: the air around it may be shared with other labels. */
export function labelFootprint({ box }: Label): Loop {
  return corners(core(box))
}

/** A label's box without the air that two labels may share. */
export function core({ centre, width, height, angle }: Box): Box {
  return { centre, width: width - 2 * SHARED_AIR, height: height - 2 * SHARED_AIR, angle }
}

/** Of the 0.62 mm around the letters; so two labels are still more than half a millimetre apart. */
const SHARED_AIR = 0.3

const places = new WeakMap<Piece, readonly Label[]>()

function placesFor(piece: Piece): Label[] {
  return remembered('label places', () => textOf(piece), () => searchPlaces(piece))
}

function searchPlaces(piece: Piece): Label[] {
  const around = boundsOf(piece.outline)
  const own = obstacles([piece.outline], [])
  const ways = settings(labelText(piece)).map((lines) => {
    const { width, height } = extentOf(lines, OUTSIDE_SIZE)
    return { lines, width: Math.ceil(width / WIDTH_STEP) * WIDTH_STEP, height }
  })
  const within = ways.flatMap(({ lines, width, height }) =>
    piece.openings.flatMap(({ loop }) => inOpening(loop, width, height).map((box) => ({ lines, box }))),
  )
  const beside = ways.flatMap(({ lines, width, height }) =>
    [0, 90].flatMap((angle) => {
      const [across, up] = angle === 0 ? [width, height] : [height, width]
      return centres(around, across, up).flatMap(([centre, inward]): { lines: readonly string[]; box: Box }[] => {
        const box = drawnNear({ centre, width, height, angle }, inward, own)
        return box && !isCard(own.segments, own.cuts, box.centre[0], box.centre[1]) ? [{ lines, box }] : []
      })
    }),
  )
  const spread = ({ box }: { box: Box }) => {
    const { minX, minY, maxX, maxY } = boundsOf(corners(box))
    const width = Math.max(maxX, around.maxX) - Math.min(minX, around.minX)
    return width * (Math.max(maxY, around.maxY) - Math.min(minY, around.minY))
  }
  const sorted = beside
    .map((place) => ({ place, area: spread(place) }))
    .toSorted((a, b) => a.area - b.area)
    .map(({ place }) => place)
  return [...within, ...sorted].slice(0, MOST_PLACES).map((place) => ({ ...place, size: OUTSIDE_SIZE }))
}

/** In an opening, moved out of its middle to the edges: what is left of it is room for others. */
function inOpening(loop: Loop, width: number, height: number): Box[] {
  const edge = obstacles([loop], [])
  for (const angle of [0, 90]) {
    const room = findRoom(edge, width + 2 * OPENING_AIR, height + 2 * OPENING_AIR, angle)
    if (room) return WAYS.flatMap((way) => drawnNear({ ...room, width, height }, way, edge) ?? [])
  }
  return []
}

const WAYS: readonly Point[] = [[0, -1], [0, 1], [-1, 0], [1, 0]]

/** Middles of a box a leader's length away from another, on each side in its middle and at both ends; and the way in. */
function centres({ minX, minY, maxX, maxY }: Bounds, across: number, up: number): [centre: Point, inward: Point][] {
  const [left, right] = [minX - LEADER - across / 2, maxX + LEADER + across / 2]
  const [low, high] = [minY - LEADER - up / 2, maxY + LEADER + up / 2]
  const xs = ends(minX, maxX, across)
  const ys = ends(minY, maxY, up)
  return [
    ...xs.flatMap((x): [Point, Point][] => [[[x, low], [0, 1]], [[x, high], [0, -1]]]),
    ...ys.flatMap((y): [Point, Point][] => [[[left, y], [1, 0]], [[right, y], [-1, 0]]]),
  ]
}

/** In the middle of a side and flush with its ends. */
function ends(from: number, to: number, length: number): number[] {
  return [(from + to) / 2, from + length / 2, to - length / 2]
}

/** Moved until it stands a leader's length from a cut; undefined where it would pass by. */
function drawnNear(box: Box, [dx, dy]: Point, cuts: Obstacles): Box | undefined {
  const at = (way: number): Box => ({ ...box, centre: [box.centre[0] + way * dx, box.centre[1] + way * dy] })
  const meets = (way: number, air: number) => {
    const { centre, width, height, angle } = at(way)
    return touches({ centre, width: width + 2 * air, height: height + 2 * air, angle }, cuts.segments)
  }
  let way = 0
  while (!meets(way + STEP, LEADER - STEP)) if ((way += STEP) > MOST_WAY) return undefined
  return meets(way, 0) ? undefined : at(way)
}

/** Of one piece: enough to choose from, and few enough to try at every place. */
const MOST_PLACES = 24

/** Widths are rounded up to steps of this, mm: so pieces that differ in a letter only are alike to nesting. */
const WIDTH_STEP = 0.25

const OPENING_AIR = 0.6

const STEP = 0.2
const MOST_WAY = 40
