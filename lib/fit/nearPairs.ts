import type { Bounds3 } from './solid'

/**
 * Pairs, by their places in the list, whose boxes come within a distance of each other: a sweep along the axis on which
 * the boxes spread furthest (J. D. Cohen and others, "I-COLLIDE", 1995, along one axis).
 */
export function nearPairs(all: readonly { readonly bounds: Bounds3 }[], within: number): [number, number][] {
  const spread = ([0, 1, 2] as const).map((k) => {
    const middles = all.map(({ bounds }) => (bounds.min[k] + bounds.max[k]) / 2)
    return middles.reduce((most, one) => Math.max(most, one), -Infinity) - middles.reduce((least, one) => Math.min(least, one), Infinity)
  })
  const axis = ([0, 1, 2] as const).reduce((best, k) => (spread[k]! > spread[best]! ? k : best), 0 as 0 | 1 | 2)
  const order = all.map((_, i) => i).toSorted((i, j) => all[i]!.bounds.min[axis] - all[j]!.bounds.min[axis] || i - j)
  const pairs: [number, number][] = []
  let open: number[] = []
  for (const i of order) {
    const { bounds } = all[i]!
    open = open.filter((j) => all[j]!.bounds.max[axis] + within >= bounds.min[axis])
    for (const j of open) if (boxesApart(bounds, all[j]!.bounds) <= within) pairs.push(i < j ? [i, j] : [j, i])
    open.push(i)
  }
  return pairs.toSorted((a, b) => a[0] - b[0] || a[1] - b[1])
}

/** The greatest distance between two boxes along any axis; below 0 where they overlap. */
export function boxesApart(a: Bounds3, b: Bounds3): number {
  return Math.max(...([0, 1, 2] as const).map((k) => Math.max(a.min[k] - b.max[k], b.min[k] - a.max[k])))
}
