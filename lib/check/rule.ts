import type { Finding, Severity } from '../finding/finding'
import { resolveSite } from '../finding/site'
import type { Model } from '../model/model'
import type { Piece } from '../model/piece'
import type { Bounds, Point } from '../shape/point'
import type { Stock } from '../stock/card'

/** One thing that is looked at. Each rule has a file of its own and this signature; `rules.ts` lists them. */
export interface Rule {
  readonly id: string
  /** For the documentation: what the rule looks for. */
  readonly title: string
  readonly check: (model: Model, context: CheckContext) => Finding[]
}

export interface CheckContext {
  /** The part of a sheet of this stock that pieces may lie on, mm. */
  readonly area: (stock: Stock) => Bounds
  /** The same model at another scale, where that can be had: lets a rule say at which scale a detail would work. */
  readonly atRatio?: (ratio: number) => Model | undefined
}

/** Findings of a rule that looks at each piece for itself. */
export function eachPiece(model: Model, look: (piece: Piece, stock: Stock) => Finding[]): Finding[] {
  return model.pieces.flatMap((piece) => look(piece, model.stocks.get(piece.stock)!))
}

export interface PieceFinding {
  readonly id: string
  readonly severity: Severity
  readonly text: string
  readonly remedy: string
  readonly at?: Point
  readonly found?: number
  readonly wanted?: number
}

/** A finding about a piece, with its mark and the author's line. */
export function pieceFinding(piece: Piece, finding: PieceFinding): Finding {
  const site = resolveSite(piece.site)
  return { mark: piece.mark, family: piece.family, ...finding, ...(site && { site }) }
}

export { inMm } from '../craft/figure'
