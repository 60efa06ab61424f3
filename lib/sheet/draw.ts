import { compareText } from '../finding/finding'
import { textOf } from '../memo/remember'
import type { LineKind, Piece } from '../model/piece'
import type { Placement } from '../nest/nest'
import { outlineWithout } from '../nest/openOutline'
import { type SharedCut, sharedCutsAmong } from '../nest/sharedCut'
import { turning } from '../nest/turn'
import type { Point, Polyline } from '../shape/point'
import type { Stock } from '../stock/card'
import { cornersOf, isWhole, type Offcut, type Rectangle, sizeText, stockOfSheet } from '../stock/offcut'
import { correctionOf } from './calibration'
import type { Drawing, Lettering, Mark, PieceGroup, Role, Stroke } from './drawing'
import { arrow, drawFurniture, printableArea } from './furniture'
import { keepClear, type Label, labelInside, labelText, letters } from './label'
import { letter } from './lettering'
import { FreeRoom, type Lying, type OutsideLabel } from './outside'
import { labelPlaces } from './places'
import { type Printer, printNote } from './printers'
import { addObstacle, findRoom } from './room'
import { drawUsed } from './usedPart'

/** All pieces of one stock with their places. */
export interface SheetInput {
  /** The model as sheets print it: `Sandpiper`. */
  readonly title: string
  /** `1:60` */
  readonly scale: string
  readonly revision?: string
  /** What the sheets hold, where it is not the whole model. */
  readonly patch?: string
  /** Whose faults are to be made up for. */
  readonly printer?: Printer
  readonly stock: Stock
  readonly pieces: readonly Piece[]
  /** Ids are marks, with `#2`, `#3`… for further copies and layers. */
  readonly placements: readonly Placement[]
  readonly sheets: number
  /** The first of the sheets, where they are not whole ones. */
  readonly offcuts?: readonly Offcut[]
  /** By mark. */
  readonly fingerprints: ReadonlyMap<string, string>
}

/**
 * One drawing a sheet. Every piece carries its label: inside where it fits, else beside it on a leader; what finds no
 * free room at all is listed at the edge of the sheet with its place.
 *
 * @throws Error for a placement of a piece or sheet that there is not
 */
export function drawSheets(input: SheetInput): Drawing[] {
  return sheetsOf(input).map(({ draw }) => draw())
}

/** One sheet that is yet to be drawn: a drawing takes more memory than its SVG, so that of many none should be kept. */
export interface Sheet {
  readonly draw: () => Drawing
  /** Says all that the drawing shows. */
  readonly content: () => string
}

export function sheetsOf(input: SheetInput): Sheet[] {
  const marks = new Map(input.pieces.map((piece) => [piece.mark, piece]))
  const sheets: { piece: Piece; placement: Placement }[][] = Array.from({ length: input.sheets }, () => [])
  for (const placement of input.placements) {
    const piece = marks.get(placement.id) ?? marks.get(placement.id.replace(/#\d+$/, ''))
    if (!piece) throw new Error(`placement of "${placement.id}", a piece that was not given`)
    const sheet = sheets[placement.sheet]
    if (!sheet) throw new Error(`"${placement.id}" is placed on sheet ${placement.sheet + 1} of ${input.sheets}`)
    sheet.push({ piece, placement })
  }
  return sheets.map((entries, index) => ({
    draw() {
      const placed = entries.map(({ piece, placement }) => place(piece, placement))
      return drawSheet(input, placed.toSorted(byMark), index)
    },
    content() {
      const { pieces: _pieces, placements: _placements, fingerprints, ...whole } = input
      const shown = entries.flatMap(({ piece, placement }) => [
        fingerprints.get(piece.mark) ?? '',
        JSON.stringify(placement),
        textOf(piece),
      ])
      return [JSON.stringify(whole), index, ...shown].join('\n')
    },
  }))
}

interface Placed extends Lying {
  readonly id: string
  readonly copy: number
  readonly turn: number
  readonly at: (point: Point) => Point
}

function place(piece: Piece, { id, x, y, turn }: Placement): Placed {
  const { cos, sin } = turning(turn)
  const at = ([px, py]: Point): Point => [cos * px - sin * py + x, sin * px + cos * py + y]
  const copy = id === piece.mark ? 1 : Number(id.slice(piece.mark.length + 1))
  const openings = piece.openings.map(({ loop }) => loop.map(at))
  return { piece, id, copy, turn, at, outline: piece.outline.map(at), openings }
}

function byMark(a: Placed, b: Placed): number {
  return compareText(a.piece.mark, b.piece.mark) || a.copy - b.copy
}

function drawSheet(input: SheetInput, pieces: readonly Placed[], index: number): Drawing {
  const { title, scale, revision, patch, printer, offcuts, sheets, fingerprints } = input
  const stock = stockOfSheet(input.stock, offcuts, index)
  const offcut = offcuts?.[index]
  const notes: string[] = []
  const beside = labelsBeside(stock, pieces, offcut?.used ?? [], notes)
  const drawn = drawnWithOthers(pieces)
  if (drawn.size > 0) notes.unshift(EDGE_TO_EDGE)
  const groups = pieces.map((placed, i): PieceGroup => {
    const { piece, id } = placed
    return {
      id,
      mark: piece.mark,
      assembly: piece.assembly,
      stock: piece.stock,
      plies: piece.plies,
      fingerprint: fingerprints.get(piece.mark) ?? '',
      marks: [...linesOf(placed, drawn.get(i) ?? []), ...wordsOf(placed, beside.get(i))],
    }
  })
  const print = printer && { print: printNote(printer) }
  const cut = offcut && { offcut: offcutText(offcut, input.stock) }
  const said = { ...(revision && { revision }), ...(patch && { patch }), ...cut, ...print }
  const about = { title, scale, ...said, stock, sheet: index + 1, sheets, notes }
  const { width, height } = stock.sheet
  return {
    width,
    height,
    title: `${title} ${scale}, ${stock.title}, ${patch ? `${patch}, ` : ''}sheet ${index + 1} of ${sheets}`,
    pieces: groups,
    furniture: [...drawFurniture(about), ...(offcut?.used ?? []).flatMap(drawUsed)],
    ...(printer && { correction: correctionOf(printer.calibration, width, height) }),
  }
}

function offcutText(offcut: Offcut, stock: Stock): string {
  return isWhole(stock, offcut) ? 'sheet used in part' : `offcut ${sizeText(offcut)}`
}

/** Labels of the pieces that cannot hold theirs, by the piece's number; the rest gets a note. */
function labelsBeside(
  stock: Stock, pieces: readonly Placed[], used: readonly Rectangle[], notes: string[],
): Map<number, OutsideLabel> {
  const small = pieces.flatMap((placed, i) => (labelInside(placed.piece) ? [] : [i]))
  if (small.length === 0) return new Map()
  const room = new FreeRoom(printableArea(stock), [...pieces, ...used.map((part) => ({ outline: cornersOf(part), openings: [] }))])
  const wanted = new Map(
    small.map((i) => [i, labelPlaces(pieces[i]!.piece).map((label) => turned(label, pieces[i]!))]),
  )
  const found = room.keep(wanted, pieces)
  for (const i of small) {
    if (found.has(i)) continue
    const placed = pieces[i]!
    const label = room.search(i, placed)
    if (label) found.set(i, label)
    else notes.push(`${labelText(placed.piece)} at ${placed.outline[0]!.map((v) => v.toFixed(0)).join(', ')}`)
  }
  if (notes.length > 0) notes.unshift('no room for labels; mm from the lower left corner of the sheet:')
  return found
}

/** Common practice: what is parted first can run past no corner of the other afterwards. */
const EDGE_TO_EDGE = 'pieces edge to edge: one cut parts both, right through; take the longer one out first'

/** Cuts that serve two pieces are drawn with the first of them: by the number of the second. */
function drawnWithOthers(pieces: readonly Placed[]): Map<number, SharedCut[]> {
  const drawn = new Map<number, SharedCut[]>()
  for (const { second, contact } of sharedCutsAmong(pieces.map(({ outline }) => outline))) {
    const list = drawn.get(second)
    if (list) list.push(...contact.cuts)
    else drawn.set(second, [...contact.cuts])
  }
  return drawn
}

/** @param there edges that are drawn already */
function linesOf({ piece, outline, openings, at }: Placed, there: readonly SharedCut[]): Mark[] {
  const cuts = [...outlineWithout(outline, there), ...openings.map((points) => ({ points, closed: true }))]
  const strokes: Stroke[] = []
  const add = (role: Role, lines: Stroke['lines']) => {
    if (lines.length > 0) strokes.push({ kind: 'stroke', role, lines })
  }
  const drawn = (kind: LineKind) =>
    piece.lines.flatMap(({ kind: its, line, closed }) => (its === kind ? [{ points: line.map(at), closed }] : []))
  const folded = (fold: 'valley' | 'mountain') =>
    piece.scores.flatMap((score) => (score.fold === fold ? [{ points: score.line.map(at), closed: false }] : []))
  for (const kind of ['glue', 'align', 'datum'] as const) add(kind, drawn(kind))
  for (const fold of ['valley', 'mountain'] as const) add(fold, folded(fold))
  add('cut', cuts)
  return strokes
}

function wordsOf(placed: Placed, beside: OutsideLabel | undefined): Mark[] {
  const { piece, turn, at } = placed
  const words = piece.texts.map((text): Lettering => {
    return letter(text.text, { at: at(text.at), size: text.size, angle: text.angle + turn, anchor: 'middle' })
  })
  const inside = labelInside(piece)
  if (inside) return [...words, letters(turned(inside, placed), labelText(piece)), ...grainArrow(placed, inside)]
  if (!beside) return words
  return [...words, leader(beside), letters(beside.label, labelText(piece))]
}

/** In pieces with room to spare, so that the grain can still be told once they are cut out. */
function grainArrow({ piece, at }: Placed, label: Label): Mark[] {
  if (piece.grain === undefined) return []
  let arrowAt = grainArrows.get(piece)
  if (arrowAt === undefined) {
    const clear = addObstacle(keepClear(piece), label.box)
    const box = findRoom(clear, GRAIN_LENGTH + 4, GRAIN_WIDTH + 2.5, piece.grain)
    grainArrows.set(piece, (arrowAt = box?.centre ?? null))
  }
  if (!arrowAt) return []
  const radians = (piece.grain * Math.PI) / 180
  const [dx, dy] = [(Math.cos(radians) * GRAIN_LENGTH) / 2, (Math.sin(radians) * GRAIN_LENGTH) / 2]
  const [x, y] = arrowAt
  return [arrow(at([x - dx, y - dy]), at([x + dx, y + dy]))]
}

const grainArrows = new WeakMap<Piece, Point | null>()
const GRAIN_LENGTH = 7
const GRAIN_WIDTH = 1

function turned(label: Label, { turn, at }: Placed): Label {
  return { ...label, box: { ...label.box, centre: at(label.box.centre), angle: label.box.angle + turn } }
}

/** An arrow on the outline, after ISO 128-22 (from memory): a leader that ends on an edge ends in an arrow. */
function leader({ leader: [tip, tail] }: OutsideLabel): Stroke {
  const length = Math.hypot(tail[0] - tip[0], tail[1] - tip[1])
  const [ux, uy] = [(tail[0] - tip[0]) / length, (tail[1] - tip[1]) / length]
  const head = Math.min(HEAD, length * 0.6)
  const wing = (side: number): Point => [tip[0] + head * (ux - side * uy), tip[1] + head * (uy + side * ux)]
  const lines: Polyline[] = [
    [tip, tail],
    [wing(0.3), tip, wing(-0.3)],
  ]
  return { kind: 'stroke', role: 'leader', lines: lines.map((points) => ({ points, closed: false })) }
}

const HEAD = 0.9
