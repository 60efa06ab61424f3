import type { Solid } from '../fit/solid'

/** What is added in one step of building. */
export interface BuildStep {
  /** `ribs` */
  readonly name: string
  readonly solids: readonly Solid[]
}

/** What of a piece says when it is built. */
interface BuiltPiece {
  readonly mark: string
  readonly family: string
  readonly assembly: string
}

/** Families as they are built, the pieces of each in the order given. */
export function inBuildOrder<Piece extends BuiltPiece>(pieces: readonly Piece[], families: readonly string[] = []): Piece[] {
  const place = new Map(families.map((family, i) => [family, i]))
  return pieces.toSorted((a, b) => (place.get(a.family) ?? 0) - (place.get(b.family) ?? 0))
}

/** The pieces that an assembly is built of, without those of assemblies within it. */
export interface BuiltAssembly<Piece> {
  /** Empty for pieces that belong to none. */
  readonly assembly: string
  readonly pieces: readonly Piece[]
}

/**
 * All of a model as it is built: assemblies in their order, in each its families in theirs, and last what belongs to no
 * assembly, if there is such.
 *
 * @param order of assemblies, as `buildOrder` gives it
 */
export function builtAssemblies<Piece extends BuiltPiece>(
  pieces: readonly Piece[],
  order: readonly string[],
  families?: readonly string[],
): BuiltAssembly<Piece>[] {
  const own = new Map(order.map((assembly): [string, Piece[]] => [assembly, []]))
  const loose: Piece[] = []
  for (const piece of inBuildOrder(pieces, families)) (own.get(piece.assembly) ?? loose).push(piece)
  const built = [...own].map(([assembly, list]) => ({ assembly, pieces: list }))
  return loose.length > 0 ? [...built, { assembly: '', pieces: loose }] : built
}

/**
 * The parts of an assembly, or with an empty path of the model, in the order they are built: assemblies within it, and
 * families of its own.
 *
 * @param pieces in build order
 * @param standing by mark
 */
export function buildSteps(assembly: string, pieces: readonly BuiltPiece[], standing: ReadonlyMap<string, readonly Solid[]>): BuildStep[] {
  const within = assembly === '' ? '' : `${assembly}/`
  const steps = new Map<string, Solid[]>()
  for (const piece of pieces) {
    const solids = standing.get(piece.mark)
    if (!solids) continue
    const name = piece.assembly === assembly ? piece.family : piece.assembly.slice(within.length).split('/')[0]!
    const step = steps.get(name)
    if (step) step.push(...solids)
    else steps.set(name, [...solids])
  }
  return [...steps].map(([name, solids]) => ({ name, solids }))
}
