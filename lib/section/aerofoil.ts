import { type Length, lengthError, mm } from '../length/length'
import type { Loop, Point } from '../shape/point'
import { Shape } from '../shape/shape'
import { type Curve, refine } from './refine'

/**
 * A wing section of unit chord: both surfaces as curves from the leading edge (u = 0), which lies at the origin, to
 * the trailing edge (u = 1); chord along +x, y up.
 */
export interface Aerofoil {
  /** As messages and notes call it: `NACA 2412`. */
  readonly name: string
  readonly upper: Curve
  readonly lower: Curve
}

/** Cosine spacing needs few steps to begin with; halving does the rest where the nose is sharp. */
const FIRST_STEPS = 6

/**
 * Outline of a section in mm: counter-clockwise, from the trailing edge over the upper surface to the leading edge
 * and back along the lower one, chords within the tolerance at this size.
 */
export function aerofoilLoop(section: Aerofoil, chord: number): Loop {
  const { upper, lower } = section
  const above = refine(sized(upper, chord), FIRST_STEPS)
  const below = refine(sized(lower, chord), FIRST_STEPS)
  const loop = above.toReversed()
  for (let i = 1; i < below.length; i++) loop.push(below[i]!)
  return sharp(loop[0]!, loop[loop.length - 1]!) ? loop.slice(0, -1) : loop
}

/**
 * A section as a shape: `aerofoil(blend(nacaSection('2415'), nacaSection('0009'), 0.4), chord)`. Leading edge at the
 * origin, chord along x.
 *
 * @throws FindingError for a chord that is not above 0
 */
export function aerofoil(section: Aerofoil, chord: Length): Shape {
  const size = mm(chord)
  if (!(size > 0)) {
    throw lengthError(`a section ${section.name} with a chord of ${size.toFixed(3)} mm`, 'give it a chord above 0 mm')
  }
  return shapeOf(section, size)
}

/**
 * Ribs share their section, so its outline is worked out once for each class of size, at the largest chord of the class,
 * and scaled down from there. The chord tolerance shrinks with it.
 */
function shapeOf(section: Aerofoil, chord: number): Shape {
  const number = Math.ceil(Math.log2(chord) * SIZES_PER_DOUBLING)
  const largest = 2 ** (number / SIZES_PER_DOUBLING)
  let known = shapes.get(section)
  if (!known) shapes.set(section, (known = new Map()))
  let shape = known.get(number)
  if (!shape) known.set(number, (shape = Shape.of(aerofoilLoop(section, largest))))
  return shape.scaled(chord / largest)
}

const shapes = new WeakMap<Aerofoil, Map<number, Shape>>()

/** With four, an outline has up to a tenth more points than its own size asks for. */
const SIZES_PER_DOUBLING = 4

function sized(curve: Curve, chord: number): Curve {
  return (u) => {
    const [x, y] = curve(u)
    return [x * chord, y * chord]
  }
}

function sharp(a: Point, b: Point): boolean {
  return Math.abs(a[0] - b[0]) < 1e-6 && Math.abs(a[1] - b[1]) < 1e-6
}
