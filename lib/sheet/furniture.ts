import type { Stock } from '../stock/card'
import type { Bounds, Point, Polyline } from '../shape/point'
import type { Mark, Role, Stroke } from './drawing'
import { letter, shorten, textWidth, wrapText } from './lettering'
import { PENS } from './pen'

/** What the frame of one sheet says. */
export interface Furniture {
  readonly title: string
  readonly scale: string
  /** Left out where the source has none. */
  readonly revision?: string
  /** What the sheets hold, where it is not the whole model: `only what changed since 3f2a1bc: 4 of 61 pieces`. */
  readonly patch?: string
  /** On what it has to be printed, where that is no whole sheet: `offcut 150 × 200 mm`. */
  readonly offcut?: string
  /** What was done for the printer: `true on printer den to ±0.10 mm in 200 mm`. */
  readonly print?: string
  readonly stock: Stock
  /** From 1. */
  readonly sheet: number
  readonly sheets: number
  /** What else is to be said: of pieces edge to edge, and of those that carry no label of their own. */
  readonly notes?: readonly string[]
}

/**
 * The part of a sheet that is left for pieces, mm from its lower left corner: inside the printer's margin, above the
 * band with title, key and bar, right of the strip with the upright bar. Without area on a sheet too small for them.
 */
export function printableArea(stock: Stock): Bounds {
  const frame = frameOf(stock)
  const minX = frame.minX + STRIP
  const minY = frame.minY + bandHeight(stock) + BAND_GAP
  return { minX, minY, maxX: Math.max(minX, frame.maxX), maxY: Math.max(minY, frame.maxY) }
}

/**
 * Title line, key of lines, measuring bars, grain arrow and the word of caution, as marks on the sheet. No date and
 * no machine: the same source gives the same sheet.
 */
export function drawFurniture(content: Furniture): Mark[] {
  const { stock } = content
  const frame = frameOf(stock)
  const top = frame.minY + bandHeight(stock)
  const marks: Mark[] = [line('frame', [frame.minX, top], [frame.maxX, top])]
  const rows = bandRows(content)
  let y = top - ROW_GAP
  for (const { height, items } of rows) {
    for (const { x, draw } of items) marks.push(...draw([frame.minX + x, y - height]))
    y -= height + ROW_GAP
  }
  return [...marks, ...strip(content)]
}

/** Length of the measuring bars, mm: 100 wherever the sheet is large enough. */
export function barLength(stock: Stock): number {
  const { minX, minY, maxX, maxY } = frameOf(stock)
  const most = Math.min(maxX - minX, maxY - minY - BAND_GAP - bandLeast(stock)) - 2
  return [100, 50, 20, 10].find((length) => length <= most) ?? 10
}

const CAUTION =
  'Caution: sharp knife. Cut on a mat, along a steel rule, away from your hand; change blunt blades. ' +
  'Glue: follow its maker’s instructions.'

/** Heights of capitals, mm. */
const TITLE_SIZE = 3
const TEXT_SIZE = 1.7
const BAR_TEXT_SIZE = 1.5

const STRIP = 5
const BAND_GAP = 2
const ROW_GAP = 1.9
const TICK = 2.4
const SAMPLE = 10
const SIGN_GAP = 1.2
const ITEM_GAP = 4
const HEAD_HEIGHT = 7
const HEAD_GAP = 8
const LEAST_TITLE = 70

interface Row {
  readonly height: number
  readonly items: readonly Item[]
}

/** Something in the band: `draw` takes its lower left corner. */
interface Item {
  readonly x: number
  readonly draw: (at: Point) => Mark[]
}

function frameOf({ sheet, margin }: Stock): Bounds {
  return {
    minX: margin.left,
    minY: margin.bottom,
    maxX: sheet.width - margin.right,
    maxY: sheet.height - margin.top,
  }
}

/** Depends on the stock alone, so that nesting and drawing agree: a title that is too long is shortened. */
function bandHeight(stock: Stock): number {
  const rows = bandRows({ title: '', scale: '', stock, sheet: 1, sheets: 1 })
  return rows.reduce((sum, { height }) => sum + height + ROW_GAP, ROW_GAP)
}

/** The band with the shortest bar, to find how long an upright bar the rest of the sheet can take. */
function bandLeast(stock: Stock): number {
  const { minX, maxX } = frameOf(stock)
  const rows = keyRows(stock, maxX - minX).length + wrapText(CAUTION, TEXT_SIZE, maxX - minX).length
  return 2 * (HEAD_HEIGHT + ROW_GAP) + rows * (TEXT_SIZE + ROW_GAP) + ROW_GAP
}

function bandRows(content: Furniture): Row[] {
  const { minX, maxX } = frameOf(content.stock)
  const width = maxX - minX
  const bar = barLength(content.stock)
  const beside = width >= bar + HEAD_GAP + LEAST_TITLE
  const head: Item = { x: 0, draw: (at) => heading(content, beside ? width - bar - HEAD_GAP : width, at) }
  const level: Item = {
    x: width - bar,
    draw: ([x, y]) => measuringBar([x, y + TICK / 2], bar, 0),
  }
  return [
    ...(beside ? [{ height: HEAD_HEIGHT, items: [head, level] }] : [
      { height: HEAD_HEIGHT, items: [head] },
      { height: TICK + 1.2 + BAR_TEXT_SIZE, items: [level] },
    ]),
    ...keyRows(content.stock, width),
    ...wrapText(CAUTION, TEXT_SIZE, width).map((text) => ({
      height: TEXT_SIZE,
      items: [{ x: 0, draw: (at: Point) => [letter(text, { at, size: TEXT_SIZE })] }],
    })),
  ]
}

function heading(content: Furniture, width: number, [x, y]: Point): Mark[] {
  const { title, scale, revision, offcut, patch, print, stock, sheet, sheets, notes = [] } = content
  const count = `${patch ? 'patch ' : ''}sheet ${sheet} of ${sheets}`
  const name = shorten(`${title} ${scale}`, TITLE_SIZE, width - textWidth(count, TITLE_SIZE) - HEAD_GAP)
  const after = textWidth(name, TITLE_SIZE) + HEAD_GAP
  const about = [
    // There is room for one long thing: what a patch holds says more than what the stock is called in full.
    ...(patch ? [patch, `${stock.id}, ${thickness(stock)}`] : [`${stock.title} (${stock.id}), ${thickness(stock)}`]),
    ...(offcut ? [offcut] : []),
    ...(revision ? [`revision ${revision}`] : []),
    ...(print ? [print] : []),
    ...(stripRoom(stock) < LEAST_NOTE ? notes : []),
  ].join(' · ')
  return [
    letter(name, { at: [x, y + HEAD_HEIGHT - TITLE_SIZE], size: TITLE_SIZE, text: `${title} ${scale}` }),
    letter(count, { at: [x + after, y + HEAD_HEIGHT - TITLE_SIZE], size: TITLE_SIZE }),
    letter(shorten(about, TEXT_SIZE, width), { at: [x, y + 0.6], size: TEXT_SIZE, text: about }),
  ]
}

function thickness({ thickness: { value } }: Stock): string {
  return `${Number(value.toFixed(3))} mm`
}

/** A bar from a point, ticked at both ends and every tenth, lying or upright; the middles of the end ticks measure. */
function measuringBar([x, y]: Point, length: number, angle: 0 | 90): Mark[] {
  const place = (along: number, across: number): Point =>
    angle === 0 ? [x + along, y + across] : [x - across, y + along]
  const tick = (along: number, half: number): Polyline => [place(along, -half), place(along, half)]
  const lines: Polyline[] = [[place(0, 0), place(length, 0)], tick(0, TICK / 2), tick(length, TICK / 2)]
  for (let at = length / 10; at < length * 0.99; at += length / 10) lines.push(tick(at, TICK / 5))
  const text = `${length} mm ${angle === 0 ? 'across' : 'up'}: measure, then print at 100 %, not “fit to page”`
  const caption = angle === 0 ? shorten(text, BAR_TEXT_SIZE, length) : `${length} mm`
  const at = angle === 0 ? place(length / 2, TICK / 2 + 1.2 + BAR_TEXT_SIZE / 2) : place(length + 3, 0)
  const anchor = angle === 0 ? 'middle' : 'start'
  const down = angle === 0 ? at : ([at[0] + BAR_TEXT_SIZE / 2, at[1]] as const)
  return [
    { kind: 'stroke', role: 'bar', lines: lines.map((points) => ({ points, closed: false })) },
    letter(caption, { at: down, size: BAR_TEXT_SIZE, angle, anchor }),
  ]
}

/** An entry of the key: what is drawn, how long it is, and what it means. */
interface Entry {
  readonly sign: (at: Point) => Mark
  readonly long: number
  readonly name: string
}

/** Samples of every pen that has a name, and what the signs on the pieces mean. */
function keyRows(stock: Stock, width: number): Row[] {
  const rows: { height: number; items: Item[] }[] = []
  let x = Infinity
  for (const { sign, long, name } of keyEntries(stock)) {
    const whole = long + SIGN_GAP + textWidth(name, TEXT_SIZE)
    if (x + whole > width) {
      rows.push({ height: TEXT_SIZE, items: [] })
      x = 0
    }
    const draw = ([left, low]: Point) => [
      sign([left, low + TEXT_SIZE / 2]),
      letter(name, { at: [left + long + SIGN_GAP, low], size: TEXT_SIZE }),
    ]
    rows[rows.length - 1]!.items.push({ x, draw })
    x += whole + ITEM_GAP
  }
  return rows
}

function keyEntries(stock: Stock): Entry[] {
  const pens = (Object.keys(PENS) as Role[]).flatMap((role): Entry[] => {
    const { name } = PENS[role]
    return name === undefined ? [] : [{ sign: (at) => line(role, at, [at[0] + SAMPLE, at[1]]), long: SAMPLE, name }]
  })
  const layers: Entry = {
    sign: ([x, y]) => letter('×2', { at: [x, y - TEXT_SIZE / 2], size: TEXT_SIZE }),
    long: textWidth('×2', TEXT_SIZE),
    name: 'layers to laminate',
  }
  const grain: Entry = { sign: (at) => arrow(at, [at[0] + SAMPLE, at[1]]), long: SAMPLE, name: 'grain' }
  return [...pens, layers, ...(grainRunsUp(stock) ? [] : [grain])]
}

/** The strip at the left, from the band up: the upright bar, the grain where it runs up, and the notes. */
function strip({ stock, notes = [] }: Furniture): Mark[] {
  const { minX, maxY } = frameOf(stock)
  const { foot, grain, notes: noted } = stripFeet(stock)
  const x = minX + TICK / 2
  const upright = (text: string, y: number, whole = text) =>
    letter(text, { at: [x + BAR_TEXT_SIZE / 2, y], size: BAR_TEXT_SIZE, angle: 90, text: whole })
  const marks = measuringBar([x, foot], barLength(stock), 90)
  if (grain !== undefined) {
    marks.push(arrow([x, grain], [x, grain + GRAIN_ARROW]), upright('grain', grain + GRAIN_ARROW + SIGN_GAP))
  }
  if (notes.length > 0 && stripRoom(stock) >= LEAST_NOTE) {
    const text = notes.join('; ')
    marks.push(upright(shorten(text, BAR_TEXT_SIZE, maxY - noted), noted, text))
  }
  return marks
}

/** Where in the strip bar, grain arrow and notes begin; no arrow where the grain runs across, or it does not fit. */
function stripFeet(stock: Stock): { foot: number; grain?: number; notes: number } {
  const { minY, maxY } = frameOf(stock)
  const foot = minY + bandHeight(stock) + BAND_GAP
  const length = barLength(stock)
  const above = foot + length + 3 + textWidth(`${length} mm`, BAR_TEXT_SIZE) + ITEM_GAP
  const grain = GRAIN_ARROW + SIGN_GAP + textWidth('grain', BAR_TEXT_SIZE)
  if (!grainRunsUp(stock) || above + grain > maxY) return { foot, notes: above }
  return { foot, grain: above, notes: above + grain + ITEM_GAP }
}

/** Height of the strip that is left for notes, mm. */
function stripRoom(stock: Stock): number {
  return frameOf(stock).maxY - stripFeet(stock).notes
}

/** A strip with less than this left, mm, says too little: the notes go into the line under the title. */
const LEAST_NOTE = 45

const GRAIN_ARROW = 22

/** Whether the grain runs along the sheet's height. */
function grainRunsUp({ grain, sheet }: Stock): boolean {
  return sheet.height >= sheet.width === (grain === 'long')
}

/** A line with a head at both ends: grain has a direction but no sense. */
export function arrow(from: Point, to: Point): Stroke {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1])
  const [ux, uy] = [(to[0] - from[0]) / length, (to[1] - from[1]) / length]
  const head = (tip: Point, way: number): Polyline =>
    [HEAD_HALF, -HEAD_HALF].flatMap((side, i): Point[] => {
      const back: Point = [
        tip[0] - way * HEAD * ux - side * uy,
        tip[1] - way * HEAD * uy + side * ux,
      ]
      return i === 0 ? [back, tip] : [back]
    })
  const lines = [[from, to], head(from, -1), head(to, 1)]
  return { kind: 'stroke', role: 'arrow', lines: lines.map((points) => ({ points, closed: false })) }
}

const HEAD = 1.5
const HEAD_HALF = 0.5

function line(role: Role, from: Point, to: Point): Stroke {
  return { kind: 'stroke', role, lines: [{ points: [from, to], closed: false }] }
}
