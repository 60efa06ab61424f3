import { FindingError } from '../finding/finding'
import { type CallSite, resolveSite } from '../finding/site'
import { type Length, mm } from '../length/length'

/** How near to each other pieces may lie on a sheet. */
export interface Spacing {
  /** Least distance between two pieces, mm. */
  readonly gap: number
  /** Whether pieces may lie edge to edge where one straight cut parts both. */
  readonly sharedCuts: boolean
  /** Where the author set it. */
  readonly site?: CallSite
}

/** Room for the knife to run past a corner on both pieces, where the author asks for no other; common practice. */
export const DEFAULT_SPACING: Spacing = { gap: 2, sharedCuts: true }

/**
 * What the author asked for, on the bench that is being built for.
 *
 * @throws FindingError for a gap below 0 mm
 */
export function spacingOf({ gap, sharedCuts = DEFAULT_SPACING.sharedCuts, site }: Asked): Spacing {
  if (gap === undefined) return { ...DEFAULT_SPACING, sharedCuts }
  const wide = mm(gap)
  if (wide >= 0) return { gap: wide, sharedCuts, site }
  const place = resolveSite(site)
  throw new FindingError({
    id: 'gap',
    severity: 'error',
    text: `the gap between pieces is ${wide} mm, 0 mm is the least that can be kept`,
    remedy: `give 0 mm or more, or leave it out: it is ${DEFAULT_SPACING.gap} mm then`,
    found: wide,
    wanted: 0,
    ...(place && { site: place }),
  })
}

interface Asked {
  readonly gap?: Length | undefined
  readonly sharedCuts?: boolean | undefined
  readonly site: CallSite
}
