import { buildOrder as orderOf, cycleFinding } from '../model/buildOrder'
import type { Rule } from './rule'

/** Assemblies that each have to be built before the other can never be built. */
export const buildOrder: Rule = {
  id: 'build-order',
  title: 'assemblies that wait for one another',
  check: ({ assemblies, relations }) => {
    const found = orderOf(assemblies, relations)
    return 'cycle' in found ? [cycleFinding(found.cycle)] : []
  },
}
