import { buildOrder as orderOf } from '../model/buildOrder'
import type { Rule } from './rule'

/** Assemblies that each have to be built before the other can never be built. */
export const buildOrder: Rule = {
  id: 'build-order',
  title: 'assemblies that wait for one another',
  check: ({ assemblies, relations }) => {
    const found = orderOf(assemblies, relations)
    if (!('cycle' in found)) return []
    const [first] = found.cycle
    return [
      {
        id: 'build-order',
        severity: 'error',
        text: `assemblies wait for one another: ${[...found.cycle, first].join(', then ')}`,
        remedy: 'take back one of the after(…) that say so',
      },
    ]
  },
}
