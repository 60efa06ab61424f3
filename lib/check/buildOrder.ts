import type { Finding } from '../finding/finding'
import { suggest } from '../finding/nearest'
import { buildOrder as orderOf, cycleFinding } from '../model/buildOrder'
import type { Rule } from './rule'

/** Assemblies that each have to be built before the other can never be built; ones that there are not, neither. */
export const buildOrder: Rule = {
  id: 'build-order',
  title: 'assemblies that wait for one another, or for one that there is not',
  check: ({ assemblies, relations }) => {
    const known = new Set(assemblies)
    const named = relations.flatMap((relation) => (relation.kind === 'sequence' ? [relation.first, relation.second] : []))
    const unknown = [...new Set(named)].filter((name) => !known.has(name)).map((name) => unknownFinding(name, assemblies))
    const found = orderOf(assemblies, relations)
    return 'cycle' in found ? [...unknown, cycleFinding(found.cycle)] : unknown
  },
}

function unknownFinding(name: string, assemblies: readonly string[]): Finding {
  return {
    id: 'build-order',
    severity: 'error',
    text: `after(…) names the assembly "${name}", which there is not`,
    remedy: suggest(name, assemblies),
  }
}
