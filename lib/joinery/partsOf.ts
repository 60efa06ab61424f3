import { FindingError } from '../finding/finding'
import { suggest } from '../finding/nearest'
import { callSite, resolveSite } from '../finding/site'
import { PieceSet } from '../model/assembly'
import { type Pieces, allPieces } from './standing'

/**
 * Those of a family's pieces that are certain parts of their stations, by name: `partsOf(seats, 'PAN', 'BACK')`.
 *
 * @throws FindingError for a name that none of them has
 */
export function partsOf(given: Pieces, ...names: string[]): PieceSet {
  const site = callSite()
  const pieces = allPieces(given, 'partsOf', site)
  for (const name of names.length > 0 ? names : ['']) {
    if (name !== '' && pieces.some(({ mark }) => isPart(mark, name))) continue
    const where = resolveSite(site)
    const known = [...new Set(pieces.map(({ mark }) => mark.slice(mark.lastIndexOf('-') + 1)))]
    const families = [...new Set(pieces.map(({ family }) => family))].join(', ')
    throw new FindingError({
      id: 'parts-of',
      severity: 'error',
      text: name === '' ? `partsOf was given no names, 1 or more are needed` : `no piece of ${families || 'what was given'} is a part "${name}"`,
      remedy: known.length > 0 ? suggest(name, known) : 'give it a family that makes several pieces a station',
      ...(where && { site: where }),
    })
  }
  return new PieceSet(pieces.filter(({ mark }) => names.some((name) => isPart(mark, name))))
}

function isPart(mark: string, name: string): boolean {
  return mark.endsWith(`-${name}`)
}
