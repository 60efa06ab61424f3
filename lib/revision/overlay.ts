import { boundsOf } from '../shape/bounds'
import type { Bounds, Point, Polyline } from '../shape/point'
import type { Drawing, Mark, Role, Stroke } from '../sheet/drawing'
import { letter, textWidth } from '../sheet/lettering'
import type { PieceChange } from './changes'
import type { Reach } from './hausdorff'
import { type Box, dimension } from './dimension'
import { clipped, type Line } from './clip'
import { areaWords, figure, LEAST_SEEN } from './words'

export interface OverlayInput {
  readonly change: PieceChange
  /** The model and its scale: `Launch 1:24`. */
  readonly title: string
  /** What the two builds are called. */
  readonly before: string
  readonly after: string
}

/**
 * A reshaped piece as it was, grey, under what it is now, with the largest deviation dimensioned: in the picture where
 * it can be seen there, else in a magnified part of it beside. Undefined for a piece with no shape to compare.
 */
export function overlayOf({ change, title, before, after }: OverlayInput): Drawing | undefined {
  const { mark, deviation } = change
  if (!deviation || !change.before || !change.after) return undefined
  const lines = [...linesOf(change.before, deviation.shift, true), ...linesOf(change.after, [0, 0], false)]
  const room = boundsOf(lines.map(({ points }) => points))
  const size = scaleFor(room)
  const reach = reachToShow(deviation)
  const magnified = reach && reach.distance * size < LEAST_DRAWN ? magnification(reach.distance) : undefined
  const head = [
    { text: `${mark}  ${title}`, size: TITLE },
    { text: deviationWords(reach, deviation.refolded), size: TEXT },
    { text: areaWords(deviation.area), size: TEXT },
  ]
  const picture = { width: (room.maxX - room.minX) * size, height: (room.maxY - room.minY) * size }
  const besides = magnified === undefined ? 0 : INSET + GAP
  const key = keyWidth(before) + keyWidth(after)
  const width = 2 * BORDER + Math.max(picture.width + besides, key, LEAST, ...head.map((row) => textWidth(row.text, row.size)))
  const tall = Math.max(picture.height, magnified === undefined ? 0 : INSET + CAPTION)
  const height = 2 * BORDER + headHeight(head) + tall + FOOT
  const floor = BORDER + FOOT
  const at = ([x, y]: Point): Point => [
    BORDER + (x - room.minX) * size,
    floor + tall - picture.height + (y - room.minY) * size,
  ]
  const drawn = lines.map((line) => ({ ...line, points: line.points.map(at) }))
  const frame: Box = { minX: 0, minY: 0, maxX: width, maxY: height }
  const marks: Mark[] = [...strokes(drawn)]
  if (reach && magnified !== undefined) {
    const corner: Point = [BORDER + picture.width + GAP, floor + tall - INSET]
    marks.push(...inset(reach, lines, magnified, corner), ...whereFrom(middleOf(reach, at), magnified, size, corner))
  } else if (reach) {
    marks.push(...dimension(at(reach.ends[0]), at(reach.ends[1]), `${figure(reach.distance)} mm`, drawn, frame))
  }
  return {
    width,
    height,
    title: `${mark} ${title}: ${before}, now ${after}`,
    pieces: [],
    furniture: [...headMarks(head, height), ...keyMarks(before, after), ...bar(size, width), ...marks],
  }
}

/** Heights of capitals, mm. */
const TITLE = 3
const TEXT = 1.8

const BORDER = 5
const GAP = 8
const INSET = 40
const CAPTION = 5
const ROW = 1.7
const FOOT = 14
const LEAST = 80

/** What is smaller than this in the picture is shown magnified, mm. */
const LEAST_DRAWN = 5

/** Sizes a piece is drawn at, and how large the picture gets at most, mm. */
const SIZES = [20, 10, 5, 2, 1, 1 / 2, 1 / 5, 1 / 10, 1 / 20]
const LARGEST = 180
/** A piece of this size is drawn as it is, mm. */
const LARGE_ENOUGH = 50

function scaleFor({ minX, minY, maxX, maxY }: Bounds): number {
  const long = Math.max(maxX - minX, maxY - minY)
  const most = long < LARGE_ENOUGH ? LARGE_ENOUGH * 2 : LARGEST
  return SIZES.find((size) => long * size <= most && (size <= 1 || long < LARGE_ENOUGH)) ?? SIZES.at(-1)!
}

/** The cut lines, or the folds where only these moved. */
function reachToShow({ distance, ends, folds }: NonNullable<PieceChange['deviation']>): Reach | undefined {
  const cut = distance > LEAST_SEEN ? { distance, ends } : undefined
  return cut ?? (folds && folds.distance > LEAST_SEEN ? folds : undefined)
}

function deviationWords(reach: Reach | undefined, refolded: boolean): string {
  const [x, y] = reach?.ends[1] ?? [0, 0]
  const where = reach ? [`largest deviation ${figure(reach.distance)} mm, at ${figure(x)}, ${figure(y)}`] : []
  return [...where, ...(refolded ? ['other folds'] : [])].join(' · ')
}

function linesOf(piece: NonNullable<PieceChange['before']>, [dx, dy]: Point, former: boolean): Line[] {
  const moved = (line: Polyline) => (dx === 0 && dy === 0 ? line : line.map(([x, y]): Point => [x + dx, y + dy]))
  const line = (role: Role, points: Polyline, closed: boolean): Line => ({
    role: former ? 'former' : role,
    points: moved(points),
    closed,
  })
  return [
    ...piece.scores.map((score) => line(score.fold, score.line, false)),
    line('cut', piece.outline, true),
    ...piece.openings.map(({ loop }) => line('cut', loop, true)),
  ]
}

/** Lines of one role as one stroke, the old under the new. */
function strokes(lines: readonly Line[]): Stroke[] {
  return (['former', 'valley', 'mountain', 'cut'] as const).flatMap((role) => {
    const own = lines.filter((line) => line.role === role)
    return own.length === 0 ? [] : [{ kind: 'stroke', role, lines: own }]
  })
}

/** By a round figure that makes a deviation of 5 mm at least. */
function magnification(distance: number): number {
  for (let decade = 1; ; decade *= 10) {
    for (const step of [1, 2, 5]) if (distance * step * decade >= LEAST_DRAWN) return step * decade
  }
}

/** What is round the place, magnified, in a frame with its lower left corner at a point. */
function inset({ ends, distance }: Reach, lines: readonly Line[], by: number, corner: Point): Mark[] {
  const middle: Point = [(ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2]
  const at = ([x, y]: Point): Point => [
    corner[0] + INSET / 2 + (x - middle[0]) * by,
    corner[1] + INSET / 2 + (y - middle[1]) * by,
  ]
  const frame: Box = { minX: corner[0], minY: corner[1], maxX: corner[0] + INSET, maxY: corner[1] + INSET }
  const shown = clipped(lines.map((line) => ({ ...line, points: line.points.map(at) })), frame)
  return [
    ...strokes(shown),
    square(frame),
    ...dimension(at(ends[0]), at(ends[1]), `${figure(distance)} mm`, shown, frame),
    letter(`× ${by}`, { at: [frame.maxX, frame.minY - 1.5 - TEXT], size: TEXT, anchor: 'end' }),
  ]
}

/** A frame round the place in the picture, and a line from it to the magnified part. */
function whereFrom([x, y]: Point, by: number, size: number, corner: Point): Mark[] {
  const half = Math.max((INSET * size) / by, 3) / 2
  const tip: Point = [x + half, y + half]
  return [
    square({ minX: x - half, minY: y - half, maxX: x + half, maxY: y + half }),
    line('frame', tip, [corner[0], Math.min(Math.max(tip[1], corner[1]), corner[1] + INSET)]),
  ]
}

function middleOf({ ends: [a, b] }: Reach, at: (point: Point) => Point): Point {
  return at([(a[0] + b[0]) / 2, (a[1] + b[1]) / 2])
}

interface Row {
  readonly text: string
  readonly size: number
}

function headHeight(rows: readonly Row[]): number {
  return rows.reduce((sum, { size }) => sum + size * ROW, 0) + 4
}

function headMarks(rows: readonly Row[], height: number): Mark[] {
  let y = height - BORDER
  return rows.map(({ text, size }) => {
    const mark = letter(text, { at: [BORDER, y - size], size })
    y -= size * ROW
    return mark
  })
}

const SAMPLE = 8

function keyWidth(label: string): number {
  return SAMPLE + 2 + textWidth(label, TEXT) + GAP
}

function keyMarks(before: string, after: string): Mark[] {
  const entry = (role: Role, x: number, label: string): Mark[] => [
    line(role, [x, BORDER + TEXT / 2], [x + SAMPLE, BORDER + TEXT / 2]),
    letter(label, { at: [x + SAMPLE + 2, BORDER], size: TEXT }),
  ]
  return [...entry('former', BORDER, before), ...entry('cut', BORDER + keyWidth(before), after)]
}

/** A bar of a round length of the piece, above the key. */
function bar(size: number, width: number): Mark[] {
  const length = [100, 50, 20, 10, 5, 2].find((mm) => mm * size <= Math.min(60, width - 2 * BORDER - 20)) ?? 1
  const [x, y] = [BORDER, BORDER + TEXT + 4]
  const end = x + length * size
  const ticks: Polyline[] = [[[x, y], [end, y]], [[x, y - 1], [x, y + 1]], [[end, y - 1], [end, y + 1]]]
  return [
    { kind: 'stroke', role: 'bar', lines: ticks.map((points) => ({ points, closed: false })) },
    letter(`${length} mm of the piece`, { at: [end + 2, y - TEXT / 2], size: TEXT }),
  ]
}

function square({ minX, minY, maxX, maxY }: Box): Stroke {
  const points: Point[] = [[minX, minY], [maxX, minY], [maxX, maxY], [minX, maxY]]
  return { kind: 'stroke', role: 'frame', lines: [{ points, closed: true }] }
}

function line(role: Role, from: Point, to: Point): Stroke {
  return { kind: 'stroke', role, lines: [{ points: [from, to], closed: false }] }
}
