import type { Bounds, Loop } from '../../shape/point'
import { admit, firstWholeSheet, sheetAt, tooLarge } from '../admit'
import type { NestPiece, NestRequest, NestStrategy, Placement, Unplaced } from '../nest'
import { boundsOf, placeLoop } from '../turn'
import { TOLERANCE } from '../verify'
import { emptyRooms, findSpot, occupy, type Rooms } from '../search/rooms'

/**
 * Packs the upright boxes around the pieces, largest first, each into the tightest free room of the sheets that are
 * open. Near linear in the number of pieces: a sheet with no room left for the smallest piece is closed, and no
 * more than {@link OPEN_SHEETS} stay open.
 */
export const packBoxes: NestStrategy = (request) => {
  const { pieces, kept, unplaced: refused } = admit(request)
  const unplaced = new Map<string, Unplaced>(refused.map((entry) => [entry.id, entry]))
  const places = new Map<string, Placement>(kept.map(({ placement }) => [placement.id, placement]))
  const boxed = inPackingOrder(pieces.map((piece) => boxPiece(piece)))
  const sides = boxed.flatMap(({ boxes }) => boxes.map(({ width, height }) => Math.min(width, height)))
  const least = sides.reduce((a, b) => Math.min(a, b), Infinity)
  const sheets = new OpenSheets(request, kept, least)
  boxed.forEach(({ piece, boxes }, done) => {
    const placement = sheets.place(piece.id, boxes)
    if (placement) places.set(piece.id, placement)
    else unplaced.set(piece.id, tooLarge(piece, request.sheet))
    if (done % 100 === 99) request.onProgress?.(done + 1, boxed.length)
  })
  request.onProgress?.(boxed.length, boxed.length)
  const placements = request.pieces.flatMap(({ id }) => places.get(id) ?? [])
  return {
    placements,
    unplaced: request.pieces.flatMap(({ id }) => unplaced.get(id) ?? []),
    sheets: placements.reduce((most, { sheet }) => Math.max(most, sheet + 1), 0),
  }
}

/** The box around a piece at one turn; the piece's origin is at (-minX, -minY) from its lower left corner. */
interface TurnedBox {
  readonly turn: number
  readonly minX: number
  readonly minY: number
  readonly width: number
  readonly height: number
}

interface BoxedPiece {
  readonly piece: NestPiece
  /** Smallest area first, then in the order the turns are offered. */
  readonly boxes: readonly TurnedBox[]
}

function boxPiece(piece: NestPiece): BoxedPiece {
  const boxes: TurnedBox[] = []
  const footprint = withLabel(piece)
  for (const turn of piece.turns) {
    const { minX, minY, maxX, maxY } = boundsOf(placeLoop(footprint, turn))
    const box = { turn, minX, minY, width: maxX - minX, height: maxY - minY }
    const same = (other: TurnedBox) => near(other.width, box.width) && near(other.height, box.height)
    if (!boxes.some(same)) boxes.push(box)
  }
  return { piece, boxes: boxes.toSorted((a, b) => a.width * a.height - b.width * b.height) }
}

/** The outline and the label at the place where the box around both is smallest. */
function withLabel({ outline, labels = [] }: NestPiece): Loop {
  let [least, best] = [Infinity, outline]
  for (const label of labels) {
    const both = [...outline, ...label]
    const { minX, minY, maxX, maxY } = boundsOf(both)
    const area = (maxX - minX) * (maxY - minY)
    if (area < least) [least, best] = [area, both]
  }
  return best
}

function near(a: number, b: number): boolean {
  return Math.abs(a - b) < TOLERANCE / 2
}

/**
 * Longest first by size classes a sixth apart; in a class by group, so that what is glued together is printed
 * together, and in a group those with the fewest turns first.
 */
function inPackingOrder(pieces: BoxedPiece[]): BoxedPiece[] {
  const groups = new Map<string, number>()
  for (const { piece } of pieces) if (!groups.has(piece.group)) groups.set(piece.group, groups.size)
  return pieces
    .map((entry, index) => {
      const { width, height } = entry.boxes[0]!
      const long = Math.max(width, height)
      const group = groups.get(entry.piece.group)!
      return { entry, index, long, group, level: Math.round(Math.log(long) / Math.log(7 / 6)) }
    })
    .toSorted(
      (a, b) =>
        b.level - a.level ||
        a.group - b.group ||
        a.entry.piece.turns.length - b.entry.piece.turns.length ||
        b.long - a.long ||
        a.index - b.index,
    )
    .map(({ entry }) => entry)
}

/**
 * The sheets that may still take something. Boxes carry the gap on their right and upper side, and the area is wider
 * by one gap, so that the gap lies between pieces but not along the border.
 */
class OpenSheets {
  private readonly request: NestRequest
  private readonly kept = new Map<number, Bounds[]>()
  private readonly least: number
  private readonly open: { readonly index: number; readonly rooms: Rooms }[] = []
  private next = 0

  constructor(request: NestRequest, kept: ReturnType<typeof admit>['kept'], least: number) {
    this.request = request
    this.least = least
    let last = firstWholeSheet(request) - 1
    for (const { piece, placement } of kept) {
      const box = boundsOf(placeLoop(piece.outline, placement.turn, placement.x, placement.y))
      this.kept.set(placement.sheet, [...(this.kept.get(placement.sheet) ?? []), box])
      last = Math.max(last, placement.sheet)
    }
    // Offcuts and begun sheets are filled before a fresh one is taken.
    while (this.next <= last) this.openNext()
  }

  place(id: string, boxes: readonly TurnedBox[]): Placement | undefined {
    const compact = boxes.filter((box) => box.width * box.height <= SPARE * boxes[0]!.width * boxes[0]!.height)
    return this.placeOnOpen(id, compact) ?? this.placeOnFresh(id, compact) ?? this.placeAnyhow(id, boxes)
  }

  private placeOnOpen(id: string, boxes: readonly TurnedBox[]): Placement | undefined {
    for (let i = 0; i < this.open.length; i++) {
      const placement = this.placeOn(this.open[i]!, id, boxes)
      if (placement) return placement
    }
    return undefined
  }

  private placeOnFresh(id: string, boxes: readonly TurnedBox[]): Placement | undefined {
    const { area, used } = this.request.sheet
    const fits = ({ width, height }: TurnedBox) =>
      width <= area.maxX - area.minX + TOLERANCE / 2 && height <= area.maxY - area.minY + TOLERANCE / 2
    if (!boxes.some(fits)) return undefined
    if (used?.length && !this.fitsBesideUsed(boxes)) return undefined
    return this.placeOn(this.openNext(), id, boxes)
  }

  private placeAnyhow(id: string, boxes: readonly TurnedBox[]): Placement | undefined {
    return this.placeOnOpen(id, boxes) ?? this.placeOnFresh(id, boxes)
  }

  private placeOn(sheet: (typeof this.open)[number], id: string, boxes: readonly TurnedBox[]): Placement | undefined {
    const { gap } = this.request
    let best: { box: TurnedBox; spot: NonNullable<ReturnType<typeof findSpot>> } | undefined
    for (const box of boxes) {
      const spot = findSpot(sheet.rooms, box.width + gap, box.height + gap, TOLERANCE / 2)
      if (spot && (!best || spot.tight < best.spot.tight)) best = { box, spot }
    }
    if (!best) return undefined
    const { box, spot } = best
    const x = onGrid(spot.x - box.minX)
    const y = onGrid(spot.y - box.minY)
    const { minX, minY } = { minX: x + box.minX, minY: y + box.minY }
    occupy(sheet.rooms, { minX, minY, maxX: minX + box.width + gap, maxY: minY + box.height + gap })
    if (!this.hasRoom(sheet.rooms)) this.open.splice(this.open.indexOf(sheet), 1)
    return { id, sheet: sheet.index, x, y, turn: box.turn }
  }

  private openNext(): (typeof this.open)[number] {
    const index = this.next++
    const sheet = { index, rooms: this.freshRooms(index) }
    for (const box of this.kept.get(index) ?? []) occupy(sheet.rooms, this.withGap(box))
    this.open.push(sheet)
    if (this.open.length > OPEN_SHEETS + firstWholeSheet(this.request)) this.open.shift()
    return sheet
  }

  private freshRooms(index: number): Rooms {
    const { gap } = this.request
    const { area, used } = sheetAt(this.request, index)
    const rooms = emptyRooms({ ...area, maxX: area.maxX + gap, maxY: area.maxY + gap })
    for (const loop of used ?? []) occupy(rooms, this.withGap(boundsOf(loop)))
    return rooms
  }

  private fitsBesideUsed(boxes: readonly TurnedBox[]): boolean {
    const rooms = this.freshRooms(firstWholeSheet(this.request))
    const { gap } = this.request
    return boxes.some(({ width, height }) => findSpot(rooms, width + gap, height + gap, TOLERANCE / 2))
  }

  private withGap(box: Bounds): Bounds {
    return { ...box, maxX: box.maxX + this.request.gap, maxY: box.maxY + this.request.gap }
  }

  private hasRoom(rooms: Rooms): boolean {
    const side = this.least + this.request.gap
    return rooms.list.some(({ minX, minY, maxX, maxY }) => maxX - minX >= side && maxY - minY >= side)
  }
}

/** Placements are written to 0.001 mm, so they are made there and not moved afterwards. */
function onGrid(value: number): number {
  return Math.round(value * 1000) / 1000
}

const OPEN_SHEETS = 8

/** A turn that costs up to this much more area may be chosen for a tighter spot. */
const SPARE = 1.02
