import { FindingError } from '../finding/finding'
import { frustum } from './develop/cone'
import type { Flat } from './flat'

export interface TaperedTube {
  /** Diameters of the bore, or of the former, at both ends. */
  readonly bottom: number
  readonly top: number
  readonly length: number
  readonly plies: number
  readonly thickness: number
  readonly glueLine: number
  readonly k: number
}

export interface TaperedPly {
  readonly flat: Flat
  /** Where the seam of this ply comes, degrees round from the first ply's. */
  readonly seamAt: number
}

/**
 * A tapered tube of several plies, each its own ring sector wrapped round the one before and butted, its seam turned
 * half-way round from that one's. Ply i keeps its length i(t + g) + K·t outside the bore, at right angles to the cone.
 */
export function taperedTube(spec: TaperedTube): TaperedPly[] {
  const { plies, thickness, glueLine, k } = spec
  if (!(plies >= 1)) {
    throw new FindingError({
      id: 'winding',
      severity: 'error',
      text: `a tapered tube of ${plies} plies, it takes 1`,
      remedy: 'give it 1 ply or more',
      found: plies,
      wanted: 1,
    })
  }
  return Array.from({ length: plies }, (_, i) => {
    const out = i * (thickness + glueLine) + k * thickness
    const flat = frustum({ bottom: spec.bottom / 2, top: spec.top / 2, height: spec.length, out })
    return { flat, seamAt: (180 * i) % 360 }
  })
}
