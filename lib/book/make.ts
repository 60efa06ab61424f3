import { buildSteps, builtAssemblies, inBuildOrder } from '../sheet/buildSteps'
import { drawExploded } from '../sheet/explodedView'
import { drawPictorial } from '../sheet/pictorial'
import type { Solid } from '../fit/solid'
import { byMark } from '../fit/standAll'
import { isWithin, parentOf } from '../model/assemblyPath'
import { buildOrder, cycleFinding } from '../model/buildOrder'
import { FindingError } from '../finding/finding'
import { hoursFor, type Rates } from '../revision/rate'
import type { Manifest, ManifestPiece } from '../revision/manifest'
import { cutLength } from '../revision/shapes'
import { cardsOf } from '../estimate/estimate'
import type { Book } from './book'
import { assemblyChapter, type ChapterInput } from './chapter'
import type { AssemblySize } from './checks'
import { generalChapter } from './general'

export interface BookInput {
  readonly manifest: Manifest
  /** Pieces that have a place, as they stand. */
  readonly solids: readonly Solid[]
  readonly rates: Rates
}

/**
 * The build book of a model: what holds for all of it, then a chapter for each assembly in the order they are built, and
 * one for pieces that belong to none.
 *
 * @throws FindingError where assemblies wait for one another
 */
export function bookOf({ manifest, solids, rates }: BookInput): Book {
  const { title, scale, assemblies, relations, stocks } = manifest
  const pieces = inBuildOrder(manifest.pieces, manifest.families)
  const found = buildOrder(assemblies, relations)
  if ('cycle' in found) throw new FindingError(cycleFinding(found.cycle))
  const standing = byMark(solids)
  const name = `${title} ${scale.name}`
  const chapters = builtAssemblies(manifest.pieces, found.order, manifest.families).map(({ assembly, pieces: own }) => {
    const all = pieces.filter((piece) => isWithin(piece.assembly, assembly))
    const stand = all.flatMap(({ mark }) => standing.get(mark) ?? [])
    const size = stand.length > 0 && assembly !== '' ? sizeOf(stand) : undefined
    const input: ChapterInput = {
      manifest,
      assembly: assembly === '' ? 'Other pieces' : assembly,
      pieces: own,
      parts: found.order.filter((path) => parentOf(path) === assembly && assembly !== ''),
      drawings: assembly === '' || stand.length === 0 ? [] : drawingsOf(name, assembly, all, standing),
      hours: hoursOf(own, rates),
      ...(size && { size }),
    }
    return assemblyChapter(input)
  })
  return {
    title: `${name}: build book`,
    subject: 'What to cut, fold, glue and check, assembly by assembly',
    chapters: [generalChapter(stocks), ...chapters],
  }
}

/** So that they go on a page without being made smaller, letters and all, mm. */
const BREADTH = 105
const EXPLODED = 96

function drawingsOf(
  title: string,
  assembly: string,
  pieces: readonly ManifestPiece[],
  standing: ReadonlyMap<string, readonly Solid[]>,
): ChapterInput['drawings'] {
  const solids = pieces.flatMap(({ mark }) => standing.get(mark) ?? [])
  const steps = buildSteps(assembly, pieces, standing)
  return [
    { drawing: drawPictorial({ title, what: assembly, solids, breadth: BREADTH }), caption: `${assembly}, built; not to scale` },
    ...(steps.length > 1
      ? [{ drawing: drawExploded({ title, what: assembly, steps, breadth: EXPLODED, bare: true }), caption: `${assembly}, built from the bottom up in the order of the numbers; not to scale` }]
      : []),
  ]
}

function hoursOf(pieces: readonly ManifestPiece[], rates: Rates): [number, number, number] {
  const sum = (amount: (piece: ManifestPiece) => number) => pieces.reduce((total, piece) => total + cardsOf(piece) * amount(piece), 0)
  const { likely, low, high } = hoursFor(
    { cut: sum(cutLength), formed: sum(({ scores, form }) => (scores.length > 0 || form ? 1 : 0)), glued: sum(() => 1) },
    rates,
  )
  return [likely, low, high]
}

function sizeOf(solids: readonly Solid[]): AssemblySize {
  const span = (k: 0 | 1 | 2) =>
    solids.reduce((most, { bounds }) => Math.max(most, bounds.max[k]), -Infinity) -
    solids.reduce((least, { bounds }) => Math.min(least, bounds.min[k]), Infinity)
  return { length: span(0), breadth: span(1), height: span(2) }
}
