import { inscribedCircle, narrowestWeb, surelyHolds } from '../shape/measure'
import type { Point } from '../shape/point'
import { remembered, textOf } from '../memo/remember'
import type { Finding } from '../finding/finding'
import type { Model } from '../model/model'
import type { Opening, Piece } from '../model/piece'
import type { KnifeLimits } from '../stock/card'
import { type Rule, inMm, pieceFinding } from './rule'

/** A width on a piece, measured where it is least. */
interface Measured {
  readonly width: number
  readonly at: Point
}

/** What a knife must manage: how it is measured, against which limit, and what to say where it is too fine. */
interface Fineness {
  readonly id: string
  readonly title: string
  readonly limit: keyof Pick<KnifeLimits, 'web' | 'opening' | 'slot'>
  /** Given `within` mm, a width that is not less need not be found: looking only so far may be several times quicker. */
  readonly measure: (piece: Piece, within?: number) => Measured | undefined
  readonly text: (width: string, limit: string) => string
  readonly remedy: (found: Measured) => string
}

export const narrowWeb = finenessRule({
  id: 'narrow-web',
  title: 'a web of card narrower than stays whole under the knife',
  limit: 'web',
  measure: (piece, within) => {
    const web = narrowestWeb([piece.outline, ...piece.openings.map(({ loop }) => loop)], within)
    return web && { width: web.width, at: web.at }
  },
  text: (width, limit) => `a web of ${width} is left, the knife needs ${limit}`,
  remedy: () => 'move the cuts apart, or make the openings smaller',
})

export const smallOpening = finenessRule({
  id: 'small-opening',
  title: 'an opening too small to cut by hand',
  limit: 'opening',
  measure: (piece, within) => smallest(piece, 'opening', within),
  text: (width, limit) => `an opening is ${width} across, the knife needs ${limit}`,
  remedy: ({ width }) => `make it larger, or use a punch of ${punchFor(width).toFixed(1)} mm`,
})

export const narrowSlot = finenessRule({
  id: 'narrow-slot',
  title: 'a slot too narrow to cut and clear',
  limit: 'slot',
  measure: (piece, within) => smallest(piece, 'slot', within),
  text: (width, limit) => `a slot is ${width} wide, the knife needs ${limit}`,
  remedy: () => 'widen it, or use a thicker stock for the piece that goes through',
})

function finenessRule(fineness: Fineness): Rule {
  return {
    id: fineness.id,
    title: fineness.title,
    check: (model, context) => {
      const tooFine = model.pieces.flatMap((piece) => {
        const wanted = model.stocks.get(piece.stock)!.knife[fineness.limit].value
        const found = remembered(fineness.id, () => `${wanted} ${textOf(piece)}`, () => fineness.measure(piece, wanted))
        return found && found.width < wanted - TOLERANCE ? [{ piece, found, wanted }] : []
      })
      const larger = tooFine.length > 0 ? context.atRatio?.(model.scale.ratio / 2) : undefined
      const byMark = new Map(larger?.pieces.map((piece) => [piece.mark, piece]))
      return tooFine.map(({ piece, found, wanted }): Finding => {
        const twin = byMark.get(piece.mark)
        const ratio = twin && largestWorkingRatio(model, fineness.measure(twin), found, wanted)
        const scale = ratio ? `; as drawn it works up to 1:${ratio}` : ''
        return pieceFinding(piece, {
          id: fineness.id,
          severity: 'warning',
          text: fineness.text(inMm(found.width), inMm(wanted)),
          remedy: fineness.remedy(found) + scale,
          at: found.at,
          found: found.width,
          wanted,
        })
      })
    },
  }
}

/** Sheets are rounded to a thousandth; a figure short by less is not short. */
const TOLERANCE = 0.002

/**
 * The smallest model (largest ratio) at which the detail still reaches its limit. A width is full/ratio + bench; the
 * same detail measured at two scales gives both parts. Undefined where the detail does not grow with the model.
 */
function largestWorkingRatio(
  model: Model,
  atHalf: Measured | undefined,
  here: Measured,
  wanted: number,
): number | undefined {
  if (!atHalf) return undefined
  const { ratio } = model.scale
  const full = (atHalf.width - here.width) * ratio
  const bench = here.width - full / ratio
  if (full <= 0 || wanted - bench <= 0) return undefined
  const works = full / (wanted - bench)
  return works >= 1 ? Math.floor(works * 10) / 10 : undefined
}

function smallest(piece: Piece, kind: Opening['kind'], within = Infinity): Measured | undefined {
  let least: Measured | undefined
  for (const opening of piece.openings) {
    if (opening.kind !== kind) continue
    const region = [opening.loop.toReversed()]
    if (surelyHolds(region, within)) continue
    const { centre, radius } = inscribedCircle(region)
    if (!least || 2 * radius < least.width) least = { width: 2 * radius, at: centre }
  }
  return least
}

/** Punches come in tenths of a millimetre at best. */
function punchFor(width: number): number {
  return Math.max(0.1, Math.round(width * 10) / 10)
}

