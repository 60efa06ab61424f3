import type { Piece } from '../model/piece'
import { dimensionsAmong } from '../survey/figure'

/** What has to be known of a build to say what hangs on what: a model and a manifest both have it. */
export interface Readers<P extends Pick<Piece, 'reads'>> {
  readonly pieces: readonly P[]
  readonly dimensions: readonly { readonly name: string; readonly from: readonly string[] }[]
}

/**
 * Pieces that hang on a figure, in their order: `span` of the survey, by itself or through what is worked out from it,
 * `folder.thickness` or `scale`.
 */
export function readersOf<P extends Pick<Piece, 'reads'>>({ pieces, dimensions }: Readers<P>, figure: string): P[] {
  const names = readNames(dimensions, figure)
  return pieces.filter(({ reads }) => reads.some((name) => names.has(name)))
}

/** Every figure that can be asked for, sorted: the survey's dimensions, thicknesses that were read, the scale. */
export function figuresOf({ pieces, dimensions }: Readers<Pick<Piece, 'reads'>>): string[] {
  const read = new Set(pieces.flatMap(({ reads }) => reads))
  const stocks = [...read].filter((name) => name.startsWith(STOCK)).map((name) => name.slice(STOCK.length))
  return [...dimensions.map(({ name }) => name), ...dimensionsAmong([...read]), ...stocks, 'scale']
    .filter((name, i, all) => all.indexOf(name) === i)
    .toSorted()
}

/** A dimension and all that is worked out from it. */
export function followers(dimensions: Readers<Piece>['dimensions'], name: string): Set<string> {
  const found = new Set([name])
  for (let size = 0; size < found.size; ) {
    size = found.size
    for (const one of dimensions) if (one.from.some((input) => found.has(input))) found.add(one.name)
  }
  return found
}

const STOCK = 'stock:'

function readNames(dimensions: Readers<Piece>['dimensions'], figure: string): Set<string> {
  if (figure === 'scale') return new Set([figure])
  if (figure.includes('.')) return new Set([`${STOCK}${figure}`])
  return new Set([...followers(dimensions, figure)].map((name) => `dimension:${name}`))
}
