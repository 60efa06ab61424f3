import { FindingError } from '../finding/finding'
import type { Point, Polyline } from '../shape/point'
import type { Margin, SheetSize } from '../stock/card'
import type { Drawing, Mark, Role } from './drawing'
import { letter, LINE_PITCH, wrapText } from './lettering'

/**
 * The rectangle that the target's marks stand at the corners of, mm, and the tick that calipers can reach. In the
 * proportion 3 to 4, so that the diagonals are 275 mm: short enough for a 300 mm rule read from its 10 mm mark.
 */
export const TARGET = { width: 165, height: 220, tick: 100 } as const

/**
 * A page to print and to measure: bars across and up, crosses at the corners, the ends of the diagonals, and how to go
 * about it, about the middle of the page.
 *
 * @throws FindingError for a page that it does not fit on
 */
export function drawTarget(sheet: SheetSize, margin: Margin): Drawing {
  checkRoom(sheet, margin)
  const { width, height } = sheet
  const [left, low] = [(width - TARGET.width) / 2, (height - TARGET.height) / 2]
  const at = (x: number, y: number): Point => [left + x, low + y]
  const furniture = [...bar(at, 'across'), ...bar(at, 'up'), ...corners(at), ...diagonals(at), ...words(at)]
  return { width, height, title: `Printer target, ${sheet.name}`, pieces: [], furniture }
}

type Place = (x: number, y: number) => Point

const TITLE_SIZE = 4
const TEXT_SIZE = 2.3
const LABEL_SIZE = 3
const LONG_TICK = 3
const SHORT_TICK = 0.8
const CROSS = 4

function checkRoom(sheet: SheetSize, margin: Margin): void {
  const [across, up] = [TARGET.width + 2 * CROSS, TARGET.height + 2 * CROSS]
  // It stands about the middle, so that the wider margin counts on both sides.
  const room = [sheet.width - 2 * Math.max(margin.left, margin.right), sheet.height - 2 * Math.max(margin.top, margin.bottom)]
  if (room[0]! >= across && room[1]! >= up) return
  const inside = room.map((size) => Math.max(0, size).toFixed(1)).join(' × ')
  throw new FindingError({
    id: 'calibration',
    severity: 'error',
    text: `the target is ${across} × ${up} mm, between its margins ${sheet.name} has ${inside} mm`,
    remedy: 'print it on a larger sheet: --sheet A4 or --sheet letter',
  })
}

function bar(at: Place, way: 'across' | 'up'): Mark[] {
  const length = way === 'across' ? TARGET.width : TARGET.height
  const place = (along: number, aside: number) => (way === 'across' ? at(along, aside) : at(aside, along))
  const tick = (along: number, half: number): Polyline => [place(along, -half), place(along, half)]
  const ticks: Polyline[] = [tick(0, LONG_TICK), tick(TARGET.tick, LONG_TICK), tick(length, LONG_TICK)]
  for (let along = 10; along < length; along += 10) if (along !== TARGET.tick) ticks.push(tick(along, SHORT_TICK))
  const angle = way === 'across' ? 0 : 90
  const label = (text: string, along: number) =>
    letter(text, { at: place(along, 4.5), size: TEXT_SIZE, angle, anchor: 'middle' })
  const name = letter(way === 'across' ? 'A' : 'B', { at: place(length / 2 - 30, 5), size: LABEL_SIZE, anchor: 'middle' })
  return [
    strokes('bar', [[place(0, 0), place(length, 0)], ...ticks]),
    name,
    label(`${TARGET.tick} mm`, TARGET.tick + 9),
    label(`${length} mm in all`, length - 20),
  ]
}

function corners(at: Place): Mark[] {
  const places = [0, TARGET.width].flatMap((x) => [0, TARGET.height].map((y): Point => [x, y]))
  const cross = ([x, y]: Point): Polyline[] => [
    [at(x - CROSS, y), at(x + CROSS, y)],
    [at(x, y - CROSS), at(x, y + CROSS)],
  ]
  return [strokes('bar', places.flatMap(cross))]
}

/** Only near the corners: a rule is laid across, and the words have room in between. */
function diagonals(at: Place): Mark[] {
  const { width, height } = TARGET
  const long = Math.hypot(width, height)
  const [x, y] = [width / long, height / long]
  const [from, to] = [6, 28]
  const ends = [
    [at(from * x, from * y), at(to * x, to * y)],
    [at(width - from * x, height - from * y), at(width - to * x, height - to * y)],
    [at(from * x, height - from * y), at(to * x, height - to * y)],
    [at(width - from * x, from * y), at(width - to * x, to * y)],
  ]
  const name = (text: string, px: number, py: number) => letter(text, { at: at(px, py), size: LABEL_SIZE, anchor: 'middle' })
  const [far, up] = [to * x + 3, to * y + 2]
  return [strokes('bar', ends), name('C', far, up), name('C', width - far, height - up), name('D', far, height - up), name('D', width - far, up)]
}

function words(at: Place): Mark[] {
  const [left, top] = [32, TARGET.height - 38]
  const marks: Mark[] = [letter('Printer target', { at: at(left, top), size: TITLE_SIZE })]
  let y = top - 2 * TITLE_SIZE
  for (const paragraph of INSTRUCTIONS) {
    for (const line of wrapText(paragraph, TEXT_SIZE, TARGET.width - 2 * left)) {
      marks.push(letter(line, { at: at(left, y), size: TEXT_SIZE }))
      y -= LINE_PITCH * TEXT_SIZE
    }
    y -= TEXT_SIZE
  }
  return marks
}

/** Letting card rest, reading from an inner mark and reading often are common practice, no source. */
const INSTRUCTIONS = [
  '1. Print this page at 100 % (“actual size”, not “fit to page”) on the card and from the tray that the sheets will be ' +
    'printed from.',
  '2. Let it lie flat for ten minutes: card comes out of the printer warm, dry and a little small.',
  '3. Measure bar A and bar B from the middle of one long tick to the middle of another: the whole bar, or the first 100 mm.',
  '4. Measure the diagonals from cross to cross: C rises to the right, D falls.',
  '5. With a steel rule begin at its 10 mm mark, not at its worn end, look straight down and judge quarters of a ' +
    'millimetre: it reads to ±0.25 mm. Calipers with fine points read to ±0.05 mm and will do for the 100 mm: say so with ' +
    '--instrument calipers. Mind their points.',
  '6. Measure each two or three times, lifting the rule in between, and give all readings:',
  'cardwright calibrate --printer NAME --x 164.5mm,164.75mm',
  '--y 219.5mm,219.5mm --diagonals 274.25mm,274.75mm',
  '7. Then build for that printer, and measure the bars on its first sheet: cardwright build --pdf --printer NAME',
]

function strokes(role: Role, lines: readonly Polyline[]): Mark {
  return { kind: 'stroke', role, lines: lines.map((points) => ({ points, closed: false })) }
}
