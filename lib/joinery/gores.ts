import { type Length, mm } from '../length/length'
import { type GoreFit, type GoreSet, gores as goreSet, petalCrown } from '../craft/gore'
import { Draft } from '../model/draft'
import type { Form, Ruling } from '../model/form'
import { type CraftPart, craftDraft, stockOf } from './craftDraft'
import { shell } from './round'

export interface GoresOptions extends CraftPart {
  /** Meridian from the tip to the base: places along the axis and radii. */
  readonly profile: readonly (readonly [axial: Length, radius: Length])[]
  /** `round`: pulled round by hand. `over`: middles lie on the body. `under`: seams lie on it. */
  readonly fit?: GoreFit
  readonly count?: number
  /** Largest gap, for which the fewest petals are taken; 0.2 mm unless said. */
  readonly gap?: Length
  /** Height of the plain ring by which the petals hang together; without it there is one petal, so many times. */
  readonly skirt?: Length
  /** Which face of the card the profile describes, outside unless said. */
  readonly face?: 'inside' | 'outside'
}

const GAP = 0.2

/**
 * Petals for a round end, such as a spinner or a cowling: a crown of petals on a ring, or a petal to be cut n times.
 * Both stand about the axis of their pose, the profile's places along the axis counted from the pose; single petals all
 * round it, seam to seam.
 */
export function gores(options: GoresOptions): Draft {
  const stock = stockOf(options.stock)
  const { fit = 'round', count, gap, skirt, face = 'outside', copies = 1 } = options
  const k = stock.fold.k.value
  const set = goreSet({
    profile: options.profile.map(([axial, radius]) => [mm(axial), mm(radius)] as const),
    fit,
    count: count ?? { gap: gap ? mm(gap) : GAP },
    out: face === 'outside' ? (k - 1) * stock.measured : k * stock.measured,
  })
  const note = `${set.count} petals; ${MISSES[fit]} ${set.gap.toFixed(2)} mm at most.`
  const flat = skirt ? petalCrown(set, mm(skirt)) : set.petal
  const part = { ...options, copies: skirt ? copies : copies * set.count }
  if (skirt) return craftDraft(flat, part, [note], set.findings, crownOf(options, mm(skirt), face, stock.measured))
  const petal = craftDraft(flat, part, [note], set.findings, petalOf(set))
  return new Draft({ ...petal.state, round: set.count })
}

/** One petal, straight across, beside the axis that it closes over; its printed side looks away from it. */
function petalOf({ lines }: GoreSet): Form {
  const way = lines.at(-1)!.axial < lines[0]!.axial ? 1 : -1
  const rulings = lines.map(({ half, rise, axial, radius }): Ruling => ({
    flat: [[-half, rise], [half, rise]],
    model: [[radius, way * half, axial], [radius, -way * half, axial]],
  }))
  return { kind: 'curved', rulings }
}

/** All petals drawn in, as the one round shell with its ring that they come to under the ball: their seams and flats are left out. */
function crownOf({ profile }: GoresOptions, skirt: number, face: 'inside' | 'outside', thickness: number): Form {
  const meridian = profile.map(([axial, radius]) => [mm(axial), mm(radius)] as const)
  const [[first], [last, base]] = [meridian[0]!, meridian.at(-1)!]
  const below = last + Math.sign(last - first) * skirt
  return shell([...meridian, [below, base]], face === 'outside' ? thickness : -thickness)
}

const MISSES: Record<GoreFit, string> = {
  round: 'left straight across, seams stay open by',
  over: 'seams stand over the body by',
  under: 'middles lie under the body by',
}
