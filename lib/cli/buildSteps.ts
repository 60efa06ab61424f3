import type { BuildStep } from '../sheet/explodedView'
import type { Standing } from './standing'

/** The parts of the model, or of an assembly, in the order they are built: its assemblies, or in a plain one its families. */
export function buildSteps({ model, pieces, solids }: Standing, assembly: string | undefined): BuildStep[] {
  const path = assembly === undefined ? '' : `${assembly}/`
  const depth = path === '' ? 0 : path.split('/').length - 1
  const parts = [...new Set(model.assemblies.filter((one) => one.startsWith(path)).map((one) => one.split('/')[depth]!))]
  const stepOf = new Map<string, string>()
  const order = new Map(parts.map((part, i) => [part, i]))
  for (const piece of pieces) {
    const below = piece.assembly.startsWith(path) ? piece.assembly.slice(path.length).split('/')[0]! : ''
    stepOf.set(piece.mark, order.has(below) ? below : piece.family)
  }
  // Pieces that lie in the assembly itself go by family, before its own assemblies.
  const families = new Map(model.families?.map((family, i) => [family, i - model.families!.length]))
  const rank = (name: string) => order.get(name) ?? families.get(name) ?? -1
  const names = [...new Set(stepOf.values())].toSorted((a, b) => rank(a) - rank(b))
  return names.map((name) => ({ name, solids: solids.filter(({ mark }) => stepOf.get(mark) === name) }))
}
