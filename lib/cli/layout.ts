import { compareText, type Finding } from '../finding/finding'
import { resolveSite } from '../finding/site'
import { remembered, textOf } from '../memo/remember'
import type { Model } from '../model/model'
import type { Piece } from '../model/piece'
import { DEFAULT_SPACING, type Spacing } from '../model/spacing'
import type { Effort, NestPiece, NestRequest, NestSheet, Placement, Unplaced } from '../nest/nest'
import type { Bounds, Loop } from '../shape/point'
import type { Stock } from '../stock/card'
import { cornersOf, type Offcut, stockOfSheet } from '../stock/offcut'
import { turnsOnSheet } from '../stock/turns'
import { type NestJob, NestThreads } from './nestThread'

/** One piece to cut: a piece of the model in one of its copies and one of its plies. */
export interface Cut {
  /** Unique in the model: `WR-P07`, `WR-P07#2` for the second. */
  readonly id: string
  readonly piece: Piece
}

/** All that is cut from one stock, and where on which sheet. */
export interface Layout {
  readonly stock: Stock
  readonly cuts: readonly Cut[]
  readonly placements: readonly Placement[]
  readonly sheets: number
  /** The first of the sheets, where they are offcuts. */
  readonly offcuts?: readonly Offcut[]
}

export interface LayoutOptions {
  /** The part of a sheet that pieces may lie on. */
  readonly area: (stock: Stock) => Bounds
  /** Where the label of a piece may stand that cannot hold it; one of them is kept free. Hangs on the piece alone. */
  readonly labels: (piece: Piece) => readonly Loop[]
  /** How long the nesting may look for a better layout. */
  readonly effort?: Effort
  /** Places of an earlier build that are to stay, by stock. */
  readonly keep?: ReadonlyMap<string, readonly Placement[]>
  /** Offcuts to be used before whole sheets, by stock. */
  readonly offcuts?: ReadonlyMap<string, readonly Offcut[]>
  readonly onProgress?: (what: string, done: number, total: number) => void
}

/** What is to be nested for each stock, in order of their names. */
export function nestRequests(
  model: Model,
  options: LayoutOptions,
): { stock: Stock; cuts: Cut[]; request: NestRequest }[] {
  return cutsByStock(model).map(({ stock, cuts }) => {
    return { stock, cuts, request: requestFor(stock, cuts, options, model.spacing) }
  })
}

/** Places every piece on a sheet of its stock, stock by stock, in order of their names. */
export function layOut(model: Model, options: LayoutOptions): { layouts: Layout[]; findings: Finding[] } {
  const layouts: Layout[] = []
  const findings: Finding[] = []
  const stocks = cutsByStock(model)
  const jobs = stocks.map(({ stock, cuts }): NestJob => {
    const kept = options.keep?.get(stock.id)?.length ?? 0
    return { fresh: cuts.length - kept, request: () => requestFor(stock, cuts, options, model.spacing) }
  })
  let threads: NestThreads | undefined
  try {
    for (const [i, { stock, pieces, cuts }] of stocks.entries()) {
      const { placements, unplaced, sheets } = remembered(
        'nest',
        () => [JSON.stringify(requestFor(stock, [], options, model.spacing)), JSON.stringify(stock), ...pieces.map(textOf)].join('\n'),
        () => (threads ??= new NestThreads(jobs)).result(i),
      )
      const offcuts = options.offcuts?.get(stock.id)
      layouts.push({ stock, cuts, placements, sheets, ...(offcuts && { offcuts }) })
      const pieceOf = new Map(cuts.map((cut) => [cut.id, cut.piece]))
      findings.push(...unplaced.map((one) => unplacedFinding(one, pieceOf.get(one.id)!, stock)))
    }
  } finally {
    threads?.close()
  }
  return { layouts, findings }
}

function cutsByStock(model: Model): { stock: Stock; pieces: Piece[]; cuts: Cut[] }[] {
  return byStock(model.pieces).map(([id, pieces]) => {
    return { stock: model.stocks.get(id)!, pieces, cuts: pieces.flatMap(cutsOf) }
  })
}

function byStock(pieces: readonly Piece[]): [stock: string, pieces: Piece[]][] {
  const groups = new Map<string, Piece[]>()
  for (const piece of pieces) {
    const group = groups.get(piece.stock)
    if (group) group.push(piece)
    else groups.set(piece.stock, [piece])
  }
  return [...groups].toSorted(([a], [b]) => compareText(a, b))
}

function cutsOf(piece: Piece): Cut[] {
  return Array.from({ length: piece.copies * piece.plies }, (_, i) => ({
    id: i === 0 ? piece.mark : `${piece.mark}#${i + 1}`,
    piece,
  }))
}

function requestFor(
  stock: Stock, cuts: readonly Cut[], options: LayoutOptions, { gap, sharedCuts }: Spacing = DEFAULT_SPACING,
): NestRequest {
  const { area, labels, effort, onProgress } = options
  const { width, height } = stock.sheet
  const keep = options.keep?.get(stock.id)
  const offcuts = options.offcuts?.get(stock.id)
  return {
    pieces: cuts.map(({ id, piece }): NestPiece => ({
      id,
      outline: piece.outline,
      labels: labels(piece),
      openings: piece.openings.map(({ loop }) => loop),
      turns: turnsOnSheet(piece.grain, stock.grain),
      group: piece.family,
    })),
    sheet: { width, height, area: area(stock) },
    ...(offcuts && { offcuts: offcuts.map((_, i) => offcutSheet(stock, offcuts, i, area)) }),
    gap,
    sharedCuts,
    ...(keep && { keep }),
    ...(effort && { effort }),
    ...(onProgress && { onProgress: (done: number, total: number) => onProgress(`nesting ${stock.id}`, done, total) }),
  }
}

function offcutSheet(
  stock: Stock, offcuts: readonly Offcut[], index: number, area: LayoutOptions['area'],
): NestSheet {
  const { width, height, used = [] } = offcuts[index]!
  return { width, height, area: area(stockOfSheet(stock, offcuts, index)), used: used.map(cornersOf) }
}

function unplacedFinding({ reason, excess }: Unplaced, piece: Piece, stock: Stock): Finding {
  const site = resolveSite(piece.site)
  const over = excess ? ` by ${Math.max(excess.x, excess.y).toFixed(2)} mm` : ''
  return {
    id: 'no-place',
    severity: 'error',
    text: `it has no place on a sheet of ${stock.id} (${stock.sheet.name}): ${reason}${over}`,
    remedy: reason === 'gap too large' ? 'give the model a smaller gap' : 'split the piece, or give the stock a larger sheet',
    mark: piece.mark,
    family: piece.family,
    ...(site && { site }),
  }
}
