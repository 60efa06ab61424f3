/** A mean line of unit chord. */
export interface Camber {
  readonly height: (x: number) => number
  readonly slope: (x: number) => number
}

export const STRAIGHT: Camber = Object.freeze({ height: () => 0, slope: () => 0 })

/**
 * Mean line of the four-digit sections: two parabolas that meet level at the highest point, `height` above the chord
 * at the share `at` of it.
 *
 * NACA Report 460 (1933); NASA TM 4741 (1996).
 */
export function fourDigitCamber(height: number, at: number): Camber {
  const front = height / at ** 2
  const rear = height / (1 - at) ** 2
  return {
    height: (x) => (x < at ? front * (2 * at * x - x * x) : rear * (1 - 2 * at + 2 * at * x - x * x)),
    slope: (x) => 2 * (x < at ? front : rear) * (at - x),
  }
}

/**
 * Mean line of the five-digit sections: a cubic as far as r, then straight to the trailing edge.
 *
 * NACA Report 537; NASA TM 4741 (1996). `lift` is the design lift coefficient, which the tabled k₁ have at 0.3.
 */
export function fiveDigitCamber(position: string, lift: number): Camber | undefined {
  if (!Object.hasOwn(STANDARD, position)) return undefined
  const { r, k1 } = STANDARD[position]!
  const k = (k1 * lift) / 0.3 / 6
  return {
    height: (x) => (x < r ? k * (x ** 3 - 3 * r * x * x + r * r * (3 - r) * x) : k * r ** 3 * (1 - x)),
    slope: (x) => (x < r ? k * (3 * x * x - 6 * r * x + r * r * (3 - r)) : -k * r ** 3),
  }
}

/**
 * Mean line of the five-digit sections with reflex: two cubics that turn up towards the trailing edge so that the
 * section has no pitching moment.
 *
 * NACA Report 537; NASA TM 4741 (1996).
 */
export function reflexCamber(position: string, lift: number): Camber | undefined {
  if (!Object.hasOwn(REFLEX, position)) return undefined
  const { r, k1, ratio } = REFLEX[position]!
  const k = (k1 * lift) / 0.3 / 6
  const straight = -ratio * (1 - r) ** 3 - r ** 3
  return {
    height: (x) => k * ((x < r ? 1 : ratio) * (x - r) ** 3 + straight * x + r ** 3),
    slope: (x) => k * (3 * (x < r ? 1 : ratio) * (x - r) ** 2 + straight),
  }
}

/** By second digit, twice the place of most camber in tenths of the chord. NACA Report 537 as tabled by TM 4741. */
const STANDARD: Readonly<Record<string, { readonly r: number; readonly k1: number }>> = {
  '1': { r: 0.058, k1: 361.4 },
  '2': { r: 0.126, k1: 51.64 },
  '3': { r: 0.2025, k1: 15.957 },
  '4': { r: 0.29, k1: 6.643 },
  '5': { r: 0.391, k1: 3.23 },
}

/** `ratio` is k₂/k₁. */
const REFLEX: Readonly<Record<string, { readonly r: number; readonly k1: number; readonly ratio: number }>> = {
  '2': { r: 0.13, k1: 51.99, ratio: 0.000764 },
  '3': { r: 0.217, k1: 15.793, ratio: 0.00677 },
  '4': { r: 0.318, k1: 6.52, ratio: 0.0303 },
  '5': { r: 0.441, k1: 3.191, ratio: 0.1355 },
}
