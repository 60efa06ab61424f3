/**
 * The Archimedean spiral r = a + bθ that a strip wound on itself follows; b = pitch / 2π. Angles in radians, as the
 * curve's own parameter.
 */
export interface Spiral {
  readonly a: number
  readonly b: number
}

/**
 * Arc length from θ₁ to θ₂: F(r₂) − F(r₁) with F(r) = [r·√(r² + b²) + b²·asinh(r/|b|)] / 2b, the integral of
 * √(r² + r′²) dθ (any calculus text; tabulated at codingace.net). For b = 0 it is a circle.
 */
export function spiralLength({ a, b }: Spiral, from: number, to: number): number {
  if (b === 0) return a * (to - from)
  const antiderivative = (r: number): number =>
    (r * Math.sqrt(r * r + b * b) + b * b * Math.asinh(r / Math.abs(b))) / (2 * b)
  return antiderivative(a + b * to) - antiderivative(a + b * from)
}

/** The angle at which the spiral has run a length from θ = 0, by Newton's iteration from the area formula. */
export function spiralAngle(spiral: Spiral, length: number): number {
  const { a, b } = spiral
  if (b === 0) return length / a
  let angle = (Math.sqrt(a * a + 2 * b * length) - a) / b
  for (let i = 0; i < 20; i++) {
    const r = a + b * angle
    const step = (spiralLength(spiral, 0, angle) - length) / Math.sqrt(r * r + b * b)
    angle -= step
    if (Math.abs(step) < 1e-13 * Math.max(1, angle)) break
  }
  return angle
}
