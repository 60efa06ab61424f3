import { type Length, lengthError, mm } from '../length/length'
import { arcAbout } from '../shape/curve'
import type { Loop, Point } from '../shape/point'
import { Shape } from '../shape/shape'
import { sectionError } from './fault'

export interface DoubleLobe {
  /** Radius of the upper lobe, the cabin. */
  readonly upper: Length
  /** Radius of the lower lobe, the hold. */
  readonly lower: Length
  /** Distance of the upper centre above the lower one. */
  readonly apart: Length
}

/**
 * A fuselage section of two circular lobes that meet in a crease on either side, where the floor beam ties them. The
 * floor line lies on y = 0 and runs from crease to crease; its ends are `shape.spanAcross(ZERO)`.
 *
 * @throws FindingError where the circles do not cross
 */
export function doubleLobe({ upper, lower, apart }: DoubleLobe): Shape {
  const [r1, r2, d] = [mm(upper), mm(lower), mm(apart)]
  if (!(r1 > 0 && r2 > 0)) {
    throw lengthError(`double lobe: radii of ${r1.toFixed(3)} and ${r2.toFixed(3)} mm`, 'give lengths above 0')
  }
  if (!(d < r1 + r2 && d > Math.abs(r1 - r2))) {
    throw sectionError(
      `double lobe: centres ${d.toFixed(3)} mm apart, circles of ${r1.toFixed(3)} and ${r2.toFixed(3)} mm cross only ` +
        `between ${Math.abs(r1 - r2).toFixed(3)} and ${(r1 + r2).toFixed(3)} mm`,
      'move the centres, or change a radius',
      { found: d, wanted: d < r1 + r2 ? Math.abs(r1 - r2) : r1 + r2 },
    )
  }
  return Shape.of(doubleLobeLoop(r1, r2, d))
}

/** Outline in mm from the starboard crease over the upper lobe. The crease lies on the circles' common chord. */
export function doubleLobeLoop(upper: number, lower: number, apart: number): Loop {
  const above = (apart * apart + upper * upper - lower * lower) / (2 * apart)
  const below = above - apart
  const crease = Math.sqrt(upper * upper - above * above)
  const [starboard, port]: [Point, Point] = [[crease, 0], [-crease, 0]]
  const over = arcAbout(starboard, [0, above], 180 + 2 * degrees(above, crease)).slice(0, -1)
  const under = arcAbout(port, [0, below], 180 - 2 * degrees(below, crease)).slice(0, -1)
  return [starboard, ...over, port, ...under]
}

function degrees(y: number, x: number): number {
  return (Math.atan2(y, x) * 180) / Math.PI
}
