import { lengthOf } from '../craft/line'
import { sharedCutsAmong } from '../nest/sharedCut'
import { placeLoop } from '../nest/turn'
import type { LogEntry } from '../revision/logbook'
import type { Manifest, ManifestPiece } from '../revision/manifest'
import { progressOf } from '../revision/progress'
import { type Hours, hoursFor, type Rates, WORK, type Work } from '../revision/rate'
import { cutLength, type LoggedShapes } from '../revision/shapes'
import { addTo } from '../shape/lists'
import { area } from '../shape/measure'
import type { Loop } from '../shape/point'
import { blades, type Count } from './blades'

/** What a whole model takes, from the blank sheets to the last piece glued: worked out before, or along the way. */
export interface Estimate {
  readonly model: string
  readonly title: string
  readonly scale: string
  /** By id. */
  readonly stocks: readonly StockNeed[]
  readonly total: Need
  /** Hours of each kind of work, and of all of it; their ranges are of nineteen forecasts in twenty. */
  readonly hours: Readonly<Record<Work, Hours>> & { readonly total: Hours }
  readonly rates: Rates
  readonly blades: Count
  /** What is done of it already, hours entered in the logbook. */
  readonly spent: number
  readonly toGo: Hours
}

/** Every copy and every ply counted. */
export interface Need {
  readonly pieces: number
  readonly sheets: number
  /** Card of the pieces themselves, mm². */
  readonly area: number
  /** Length of knife cuts and of scores, mm; a cut that parts two pieces counts once. */
  readonly cut: number
  readonly score: number
}

export interface StockNeed extends Need {
  readonly id: string
  readonly title: string
  /** mm */
  readonly thickness: number
  /** The sheet to buy or to cut to, by name, and mm². */
  readonly sheet: string
  readonly sheetArea: number
}

/**
 * @param entries of the logbook, for the rates; with none of them rules of thumb stand in, and say so
 * @param shapes that logged pieces were cut to
 */
export function estimateOf(manifest: Manifest, entries: readonly LogEntry[] = [], shapes: LoggedShapes = new Map()): Estimate {
  const stocks = manifest.stocks.map((stock): StockNeed => ({
    id: stock.id,
    title: stock.title,
    thickness: stock.thickness.value,
    sheet: stock.sheet.name,
    sheetArea: stock.sheet.width * stock.sheet.height,
    ...needOf(manifest.pieces.filter((piece) => piece.stock === stock.id)),
    // Offcuts are at hand already.
    sheets: Math.max(0, stock.sheets - (stock.offcuts?.length ?? 0)),
  }))
  const { total, rates, spent, toGo } = progressOf(manifest, entries, { shapes })
  const amounts: Record<Work, number> = { cut: total.mm, formed: total.toForm, glued: total.needed }
  const only = (work: Work) => ({ ...NOTHING, [work]: amounts[work] })
  const sum = (of: keyof Need) => stocks.reduce((all, need) => all + need[of], 0)
  const cut = sum('cut')
  return {
    model: manifest.model,
    title: manifest.title,
    scale: manifest.scale.name,
    stocks,
    total: { pieces: sum('pieces'), sheets: sum('sheets'), area: sum('area'), cut, score: sum('score') },
    hours: {
      ...(Object.fromEntries(WORK.map((work) => [work, hoursFor(only(work), rates)])) as Record<Work, Hours>),
      total: hoursFor(amounts, rates),
    },
    rates,
    blades: blades(cut),
    spent: spent.hours,
    toGo,
  }
}

/** How many pieces of card one entry stands for. */
export function cardsOf({ copies, plies }: Pick<ManifestPiece, 'copies' | 'plies'>): number {
  return copies * plies
}

/** Of one piece of card: mm² of card, mm of cut and of score. */
export function figuresOf({ outline, openings, scores }: Pick<ManifestPiece, 'outline' | 'openings' | 'scores'>): {
  area: number
  cut: number
  score: number
} {
  return {
    area: area([outline, ...openings.map(({ loop }) => loop)]),
    cut: cutLength({ outline, openings }),
    score: scores.reduce((sum, { line }) => sum + lengthOf(line), 0),
  }
}

const NOTHING: Record<Work, number> = { cut: 0, formed: 0, glued: 0 }

function needOf(pieces: readonly ManifestPiece[]): Omit<Need, 'sheets'> {
  let need = { pieces: 0, area: 0, cut: 0, score: 0 }
  for (const piece of pieces) {
    const [cards, each] = [cardsOf(piece), figuresOf(piece)]
    need = {
      pieces: need.pieces + cards,
      area: need.area + cards * each.area,
      cut: need.cut + cards * each.cut,
      score: need.score + cards * each.score,
    }
  }
  return { ...need, cut: need.cut - sharedLength(pieces) }
}

/** Hours go by the length around each piece all the same: that is what rates are reckoned by. */
function sharedLength(pieces: readonly ManifestPiece[]): number {
  const sheets = new Map<number, Loop[]>()
  for (const { outline, placements } of pieces) {
    for (const { sheet, x, y, turn } of placements) {
      addTo(sheets, sheet, placeLoop(outline, turn, x, y))
    }
  }
  const cuts = [...sheets.values()].flatMap((outlines) => sharedCutsAmong(outlines).flatMap(({ contact }) => contact.cuts))
  return cuts.reduce((sum, [from, to]) => sum + Math.hypot(to[0] - from[0], to[1] - from[1]), 0)
}
