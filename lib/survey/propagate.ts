/** How far a figure may be off that is worked out from others. */
export interface Spread {
  /** Root sum of squares of what each input contributes: how far off it is as likely as the inputs are. */
  readonly likely: number
  /** With every input off at once, each the way that hurts. */
  readonly worst: number
  /** What each input contributes, those that contribute nothing left out. */
  readonly shares: ReadonlyMap<string, number>
}

/**
 * Carries tolerances through any function of independent inputs: the law of propagation of uncertainty (JCGM 100:2008,
 * 5.1.2, equation 10), with each contribution worked out as half the change between the input raised and lowered by its
 * tolerance (5.1.3, note 2). It holds for tolerances as for standard uncertainties, so long as all are of one kind.
 *
 * An input moves everywhere at once, however often and through whatever others the function uses it, so that what
 * hangs on one input twice is correlated as it should be: x - x has no spread, and ten times x ten times that of x.
 * The worst case adds up the greater change of the two directions of each input (5.2.2, note 1, for a straight one).
 *
 * @param tolerances by input, 0 or more
 * @param at the function, given by how much each input is moved
 */
export function propagate(
  tolerances: ReadonlyMap<string, number>,
  at: (moved: ReadonlyMap<string, number>) => number,
): Spread {
  const value = at(new Map())
  const shares = new Map<string, number>()
  let squares = 0
  let worst = 0
  for (const [input, tolerance] of tolerances) {
    if (tolerance === 0) continue
    const [raised, lowered] = [at(new Map([[input, tolerance]])), at(new Map([[input, -tolerance]]))]
    const share = Math.abs(raised - lowered) / 2
    squares += share * share
    worst += Math.max(Math.abs(raised - value), Math.abs(lowered - value))
    if (share > 0) shares.set(input, share)
  }
  return { likely: Math.sqrt(squares), worst, shares }
}
