import { remembered, textOf } from '../memo/remember'
import type { Piece, Text } from '../model/piece'
import type { Loop, Point } from '../shape/point'
import { boundsOf } from '../nest/turn'
import type { Lettering } from './drawing'
import { LINE_PITCH, letter, lettering, measureText, shorten } from './lettering'
import { type Box, filled, findRoom, obstacles, type Obstacles } from './room'

/** A label set in one or two lines; `box` is what has to stay clear, the air around the letters included. */
export interface Label {
  readonly lines: readonly string[]
  /** Height of a capital, mm. */
  readonly size: number
  readonly box: Box
}

/**
 * The label inside the piece, clear of every cut, fold, drawn line and text, as large as goes in; undefined where the
 * smallest legible does not. In the piece's axes.
 */
export function labelInside(piece: Piece): Label | undefined {
  let found = insides.get(piece)
  if (found === undefined) {
    found = remembered('label', () => textOf(piece), () => searchInside(piece) ?? null)
    insides.set(piece, found)
  }
  return found ?? undefined
}

/** What a piece is labelled with: its mark, and the number of layers where there is more than one. */
export function labelText(piece: Piece): string {
  return piece.plies > 1 ? `${piece.mark} ×${piece.plies}` : piece.mark
}

/** The ways of setting a text: in one line, or broken near the middle where a mark can be broken. */
export function settings(text: string): string[][] {
  const line = shorten(text, 1, LONGEST)
  const ways = [[line]]
  const breaks = [...line.matchAll(/[-–_/. ](?=[^-–_/. ])/g)].map(({ index }) => index + 1)
  if (breaks.length > 0 && line.length >= SHORTEST_BROKEN) {
    const at = breaks.reduce((best, place) =>
      Math.abs(place - line.length / 2) <= Math.abs(best - line.length / 2) ? place : best,
    )
    ways.push([line.slice(0, at).trimEnd(), line.slice(at)])
  }
  return ways
}

/** Width and height of a label with the air around it, mm. */
export function extentOf(lines: readonly string[], size: number): { readonly width: number; readonly height: number } {
  const air = 2 * clearance(size)
  let [width, beyond] = [0, 0]
  for (const line of lines) {
    const measure = measureText(line)
    width = Math.max(width, measure.width)
    // As much above as below, so that the capitals stand in the middle.
    beyond = Math.max(beyond, measure.above - 1, measure.below)
  }
  return { width: size * width + air, height: size * (1 + LINE_PITCH * (lines.length - 1) + 2 * beyond) + air }
}

/** The letters of a label; `text` is the whole text, of which the lines may show a part. */
export function letters({ lines, size, box }: Label, text: string): Lettering {
  const { centre, angle } = upright(box)
  const radians = (angle * Math.PI) / 180
  const glyphs = lines.flatMap((line, i) => {
    const up = size * LINE_PITCH * ((lines.length - 1) / 2 - i)
    const at: Point = [centre[0] - up * Math.sin(radians), centre[1] + up * Math.cos(radians)]
    return letter(line, { at, size, angle, anchor: 'middle' }).glyphs
  })
  return lettering(text, glyphs)
}

/** Lines, folds, openings and texts of a piece that a label must not touch. */
export function keepClear({ outline, openings, scores, lines, texts }: Piece): Obstacles {
  return obstacles(
    [outline, ...openings.map(({ loop }) => loop)],
    [
      ...scores.map(({ line }) => ({ points: line, closed: false })),
      ...lines.map(({ line, closed }) => ({ points: line, closed })),
      ...texts.flatMap((text) => filled(boxOf(text))),
    ],
  )
}

/** Heights of capitals tried, largest first; 2.5 and 1.8 are of ISO 3098-1, the least still reads at arm's length. */
export const LABEL_SIZES = [2.5, 2.1, 1.8, 1.6, 1.4] as const

/** Height of a label that stands beside its piece. */
export const OUTSIDE_SIZE = 1.6

/** Length of the leader between a piece and the label beside it. */
export const LEADER = 1.2

/** Air between letters and any line, mm. */
function clearance(size: number): number {
  return 0.3 + 0.2 * size
}

/** Longest line of a label in heights of its capitals; about 40 letters. */
const LONGEST = 32
const SHORTEST_BROKEN = 6

const insides = new WeakMap<Piece, Label | null>()

function searchInside(piece: Piece): Label | undefined {
  const clear = keepClear(piece)
  const { minX, minY, maxX, maxY } = boundsOf(piece.outline)
  const [long, short] = [Math.max(maxX - minX, maxY - minY), Math.min(maxX - minX, maxY - minY)]
  const axis = longAxis(piece.outline)
  const straight = maxX - minX >= maxY - minY ? [0, 90] : [90, 0]
  const oblique = straight.some((angle) => Math.abs(((axis - angle + 270) % 180) - 90) < OBLIQUE) ? [] : [axis]
  const ways = settings(labelText(piece))
  const ofSize = (size: number, ease = 0): Label | undefined => {
    for (const lines of ways) {
      const { width, height } = extentOf(lines, size)
      const [wide, high] = [width + ease * size, height + ease * size]
      // The diagonal of the bounds is the longest that goes in at any angle.
      if (Math.hypot(long, short) < wide || long < high) continue
      for (const angle of [...straight, ...oblique]) {
        const room = findRoom(clear, wide, high, angle)
        if (room) return { lines, size, box: { ...room, width, height } }
      }
    }
    return undefined
  }
  const [largest, ...smaller] = LABEL_SIZES
  const large = ofSize(largest, EASE) ?? ofSize(largest)
  if (large) return large
  // Where the smallest does not go in none does, and most that cannot hold the largest can hold none.
  const smallest = ofSize(smaller.pop()!)
  if (!smallest) return undefined
  for (const size of smaller) {
    const label = ofSize(size)
    if (label) return label
  }
  return smallest
}

/** Where there is a choice, this many heights of a capital more than the label needs are looked for. */
const EASE = 1.5

function boxOf({ text, at, size, angle }: Text): Box {
  const { width, height } = extentOf([text], size)
  return { centre: at, width, height, angle }
}

/** Turned by half where it would stand on its head: to be read from below or from the right, as drawings are. */
function upright({ centre, angle }: Box): { centre: Point; angle: number } {
  const turned = (((angle + 89.999) % 180) + 180) % 180
  return { centre, angle: Math.round((turned - 89.999) * 1e6) / 1e6 }
}

/** Nearer to a side of the piece's axes than this, degrees, a label is set straight. */
const OBLIQUE = 4

/** Direction of the longest extent of a loop, degrees from 0 up to 180: the main axis of its corners' spread. */
function longAxis(loop: Loop): number {
  let [x, y, weight] = [0, 0, 0]
  let [xx, yy, xy] = [0, 0, 0]
  for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
    const [[ax, ay], [bx, by]] = [loop[j]!, loop[i]!]
    const length = Math.hypot(bx - ax, by - ay)
    const [mx, my] = [(ax + bx) / 2, (ay + by) / 2]
    x += mx * length
    y += my * length
    xx += mx * mx * length
    yy += my * my * length
    xy += mx * my * length
    weight += length
  }
  if (!(weight > 0)) return 0
  const [cx, cy] = [x / weight, y / weight]
  const angle = Math.atan2(2 * (xy / weight - cx * cy), xx / weight - cx * cx - (yy / weight - cy * cy)) / 2
  return (((angle * 180) / Math.PI) % 180 + 180) % 180
}
