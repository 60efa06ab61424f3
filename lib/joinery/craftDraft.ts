import { FindingError, type Finding } from '../finding/finding'
import { callSite, resolveSite } from '../finding/site'
import { mm } from '../length/length'
import { bench } from '../length/unit'
import type { Flat } from '../craft/flat'
import { Draft, piece } from '../model/draft'
import type { Form } from '../model/form'
import { session } from '../model/session'
import { Shape } from '../shape/shape'
import type { Stock } from '../stock/card'

/** What an author says of a part besides its shape. */
export interface CraftPart {
  readonly stock: string
  readonly plies?: number
  readonly copies?: number
}

/**
 * A craft step's flat thing as a piece that a family's function can return, go on describing and place; `layer` tells
 * which of several that lie on each other it is.
 */
export function craftDraft(
  flat: Flat,
  part: CraftPart,
  notes: readonly string[] = [],
  findings: readonly Finding[] = [],
  form?: Form,
  layer?: Draft['state']['layer'],
): Draft {
  const { stock, plies = 1, copies = 1 } = part
  const blank = piece({ stock, plies, copies, ...(flat.grain !== undefined && { grain: flat.grain }) })
  const body = Shape.of([flat.outline]).region
  const openings = flat.openings.map(({ loop }) => [loop])
  const { state } = blank
  const site = resolveSite(callSite())
  return new Draft({
    ...state,
    body,
    openings,
    scores: flat.scores,
    lines: flat.lines,
    notes,
    ...(form && { form }),
    ...(layer && { layer }),
    findings: findings.map((finding) => ({ ...(site && { site }), ...finding })),
  })
}

/** The stock by its id, its thickness noted as read. @throws FindingError for a name that is not among the model's */
export function stockOf(id: string): Stock & { readonly measured: number } {
  const measured = mm(bench.plies(id))
  return { ...session().stocks.get(id)!, measured }
}

/** A fault of the author's, with their line. */
export function craftError(finding: Omit<Finding, 'severity'>): FindingError {
  const site = resolveSite(callSite())
  return new FindingError({ severity: 'error', ...(site && { site }), ...finding })
}
