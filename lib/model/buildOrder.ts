import type { Finding } from '../finding/finding'
import { suggest } from '../finding/nearest'
import { resolveSite } from '../finding/site'
import { isWithin, parentOf } from './assemblyPath'
import type { Relation } from './relation'
import type { Awaited } from './session'

/** Assemblies in the order they are built, or those that wait for one another. */
export type BuildOrder =
  | { readonly order: readonly string[] }
  | { readonly cycle: readonly string[] }

/**
 * The order in which assemblies are finished: those within another before it, else as they are listed, so far as what was
 * said to come first allows. What must come before an assembly comes before all that is within it.
 *
 * @param assemblies paths in the order they are listed, parents first
 */
export function buildOrder(assemblies: readonly string[], relations: readonly Relation[]): BuildOrder {
  const listed = insideOut(assemblies)
  const before = new Map(listed.map((path) => [path, new Set(listed.filter((one) => parentOf(one) === path))]))
  for (const relation of relations) {
    if (relation.kind !== 'sequence') continue
    const { first, second } = relation
    // A part may come before the rest of its own assembly; it does not wait for itself.
    const own = isWithin(first, second)
    const later = listed.filter((path) => isWithin(path, second) && !(own && isWithin(path, first)))
    for (const path of later) before.get(path)!.add(first)
  }
  const order: string[] = []
  const left = new Set(listed)
  while (left.size > 0) {
    const next = listed.find((path) => left.has(path) && [...before.get(path)!].every((one) => !left.has(one)))
    if (next === undefined) return { cycle: cycleIn(left, before) }
    left.delete(next)
    order.push(next)
  }
  return { order }
}

/** Says which assemblies wait for one another, and what to do. */
export function cycleFinding(cycle: readonly string[]): Finding {
  return {
    id: 'build-order',
    severity: 'error',
    text: `assemblies wait for one another: ${[...cycle, cycle[0]].join(', then ')}`,
    remedy: 'take back one of the after(…) that say so',
  }
}

/** What cannot be of all that `after(…)` said: assemblies that there are not, each once, and such as wait for one another. */
export function orderFindings(
  awaited: readonly Awaited[],
  assemblies: readonly string[],
  relations: readonly Relation[],
): Finding[] {
  const found = buildOrder(assemblies, relations)
  if (!('cycle' in found)) return noSuchAssembly(awaited, assemblies)
  const site = resolveSite(awaited.findLast(({ name }) => found.cycle.includes(name))?.site)
  return [...noSuchAssembly(awaited, assemblies), { ...cycleFinding(found.cycle), ...(site && { site }) }]
}

function noSuchAssembly(awaited: readonly Awaited[], assemblies: readonly string[]): Finding[] {
  const unknown = new Map(awaited.filter(({ name }) => !assemblies.includes(name)).map((one) => [one.name, one.site]))
  return [...unknown].map(([name, callSite]): Finding => {
    const site = resolveSite(callSite)
    return {
      id: 'build-order',
      severity: 'error',
      text: `after(…) names the assembly "${name}", which there is not`,
      remedy: suggest(name, assemblies),
      ...(site && { site }),
    }
  })
}

function insideOut(assemblies: readonly string[]): string[] {
  const visit = (path: string): string[] => [...assemblies.filter((one) => parentOf(one) === path && one !== path).flatMap(visit), path]
  return assemblies.filter((path) => parentOf(path) === '').flatMap(visit)
}

/** Every one of those left waits for another of them: followed far enough, one comes round again. */
function cycleIn(left: ReadonlySet<string>, before: ReadonlyMap<string, ReadonlySet<string>>): string[] {
  const path: string[] = []
  let at = left.values().next().value!
  while (!path.includes(at)) {
    path.push(at)
    at = [...before.get(at)!].find((one) => left.has(one))!
  }
  return path.slice(path.indexOf(at)).toReversed()
}
