import { type Length, lengthError, mm } from '../length/length'
import type { Loop, Point } from '../shape/point'
import { Shape } from '../shape/shape'
import { sectionError } from './fault'
import { refine } from './refine'

/**
 * An ellipse about the origin, full width along x and full height along y.
 *
 * @throws FindingError for a size that is not above 0
 */
export function ellipse(width: Length, height: Length): Shape {
  return Shape.of(superellipseLoop(half(width, 'width', 'ellipse'), half(height, 'height', 'ellipse'), 2))
}

/**
 * A superellipse |x/a|ⁿ + |y/b|ⁿ = 1 about the origin (Lamé's curve), full width and height: n = 2 is an ellipse,
 * 2.5 a full-bodied cabin section, 4 nearly a rounded box, 1 a diamond.
 *
 * @throws FindingError for a size that is not above 0, and an exponent outside 0.5 to 50
 */
export function superellipse(width: Length, height: Length, exponent: number): Shape {
  if (!(exponent >= LEAST_EXPONENT && exponent <= GREATEST_EXPONENT)) {
    throw sectionError(
      `superellipse: an exponent of ${exponent}, it lies from ${LEAST_EXPONENT} to ${GREATEST_EXPONENT}`,
      'give 2 for an ellipse, more for a fuller section',
    )
  }
  const [a, b] = [half(width, 'width', 'superellipse'), half(height, 'height', 'superellipse')]
  return Shape.of(superellipseLoop(a, b, exponent))
}

/** Below, the sides are blades; above, the corners are sharper than a knife turns. */
const LEAST_EXPONENT = 0.5
const GREATEST_EXPONENT = 50

/** Outline in mm from the half axes; exactly symmetric about both, since only a quarter is worked out. */
export function superellipseLoop(a: number, b: number, exponent: number): Loop {
  const power = 2 / exponent
  const quarter = refine((u) => {
    const angle = (u * Math.PI) / 2
    return [u === 1 ? 0 : a * Math.cos(angle) ** power, b * Math.sin(angle) ** power]
  }, 2)
  const upper = [...quarter, ...quarter.toReversed().slice(1).map(([x, y]): Point => [-x, y])]
  return [...upper, ...upper.slice(1, -1).toReversed().map(([x, y]): Point => [x, -y])]
}

function half(length: Length, what: string, word: string): number {
  const size = mm(length)
  if (size > 0) return size / 2
  throw lengthError(`${word}: a ${what} of ${size.toFixed(3)} mm`, 'give a length above 0')
}
