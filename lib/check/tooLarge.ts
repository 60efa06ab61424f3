import { dot, faceNormal, radians, subtract } from '../craft/space'
import type { Model } from '../model/model'
import type { Piece } from '../model/piece'
import { boundsOf } from '../shape/measure'
import { turnRegion } from '../shape/transform'
import { turnsOnSheet } from '../stock/turns'
import { type Rule, eachPiece, inMm, pieceFinding } from './rule'

/** A piece that fits on no sheet of its stock must be split, as `split` does, best where something stands behind the joint. */
export const tooLarge: Rule = {
  id: 'too-large',
  title: 'a piece larger than the printable area',
  check: (model, context) =>
    eachPiece(model, (piece, stock) => {
      const bounds = boundsOf([piece.outline])
      const size = [bounds.maxX - bounds.minX, bounds.maxY - bounds.minY] as const
      const area = context.area(stock)
      const room = [area.maxX - area.minX, area.maxY - area.minY] as const
      const turns = turnsOnSheet(piece.grain, stock.grain)
      if (turns.some((turn) => fits(sizeAt(piece, turn), room))) return []
      const over = leastExcess(size, room)
      const [across, up] = fewestTiles(size, room, turns)
      return [
        pieceFinding(piece, {
          id: 'too-large',
          severity: 'error',
          text:
            `the piece is ${size[0].toFixed(1)} × ${size[1].toFixed(1)} mm, the printable area of ${stock.sheet.name} ` +
            `${room[0].toFixed(1)} × ${room[1].toFixed(1)} mm: ${inMm(over)} too large`,
          remedy: across * up === 1 ? 'use a larger sheet' : `split it ${splitWords(model, piece, across, up)}, or use a larger sheet`,
          found: Math.max(size[0], size[1]),
          wanted: Math.max(room[0], room[1]),
        }),
      ]
    }),
}

function fits(size: readonly [number, number], room: readonly [number, number]): boolean {
  return size[0] <= room[0] + 1e-6 && size[1] <= room[1] + 1e-6
}

function sizeAt({ outline }: Piece, degrees: number): readonly [number, number] {
  const { minX, minY, maxX, maxY } = boundsOf(turnRegion([outline], degrees))
  return [maxX - minX, maxY - minY]
}

function leastExcess(size: readonly [number, number], room: readonly [number, number]): number {
  const excess = (w: number, h: number) => Math.max(size[0] - w, size[1] - h)
  return Math.min(excess(room[0], room[1]), excess(room[1], room[0]))
}

/** Into how many equal tiles, along x and along y, so that each fits: as few as can be, the first cuts across the length. */
function fewestTiles(size: Size, room: Size, turns: readonly number[]): Size {
  let best: Size = [1, 1]
  for (let across = 1; across <= MOST_TILES; across++) {
    for (let up = 1; up <= MOST_TILES; up++) {
      const tiles = across * up
      const fewest = best[0] * best[1]
      if (tiles === 1 || (fewest > 1 && tiles > fewest)) continue
      const lengthwise = size[0] >= size[1] ? across >= best[0] : up >= best[1]
      if (fewest > 1 && tiles === fewest && !lengthwise) continue
      if (turns.some((turn) => fits(turned([size[0] / across, size[1] / up], turn), room))) best = [across, up]
    }
  }
  return best
}

type Size = readonly [number, number]

/** Beyond so many either way it is no longer a piece to split. */
const MOST_TILES = 40

/** The box round a box that is turned. */
function turned([width, height]: Size, degrees: number): Size {
  const [c, s] = [Math.abs(Math.cos(radians(degrees))), Math.abs(Math.sin(radians(degrees)))]
  return [width * c + height * s, width * s + height * c]
}

/** `into 2: at 150.00 mm from its left end`; both ways where one is not enough. */
function splitWords(model: Model, piece: Piece, across: number, up: number): string {
  const ways = [...(across > 1 ? [splitPlaces(model, piece, across, true)] : []), ...(up > 1 ? [splitPlaces(model, piece, up, false)] : [])]
  return ways.length === 1 ? ways[0]! : `both ways, ${ways.join(', and ')}`
}

/** Where to cut: in equal lengths, moved to the nearest station of a family that stands across the piece. */
function splitPlaces(model: Model, piece: Piece, parts: number, alongX: boolean): string {
  const bounds = boundsOf([piece.outline])
  const [from, to] = alongX ? [bounds.minX, bounds.maxX] : [bounds.minY, bounds.maxY]
  const standing = crossingStations(model, piece, alongX)
  const places = Array.from({ length: parts - 1 }, (_, i) => from + ((to - from) * (i + 1)) / parts).map((place) => {
    const near = nearest(standing, place, (to - from) / parts / 4)
    return near ? `at ${near.mark} (${inMm(near.place - from)})` : `at ${inMm(place - from)}`
  })
  return `into ${parts}: ${places.join(', ')} from its ${alongX ? 'left' : 'lower'} end`
}

interface Standing {
  readonly mark: string
  readonly place: number
}

function crossingStations(model: Model, piece: Piece, alongX: boolean): Standing[] {
  const { pose } = piece
  if (!pose) return []
  const axis = alongX ? pose.right : pose.up
  return model.pieces.flatMap((other) => {
    if (!other.pose || other.family === piece.family) return []
    if (Math.abs(dot(faceNormal(other.pose), axis)) < STANDS_ACROSS) return []
    const place = dot(subtract(other.pose.origin, pose.origin), axis)
    return [{ mark: other.mark, place }]
  })
}

const STANDS_ACROSS = 0.95

function nearest(standing: readonly Standing[], place: number, reach: number): Standing | undefined {
  let best: Standing | undefined
  for (const one of standing) {
    if (Math.abs(one.place - place) <= (best ? Math.abs(best.place - place) : reach)) best = one
  }
  return best
}
