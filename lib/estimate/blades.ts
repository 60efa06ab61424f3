/** A number of things with the range it may come out in. */
export interface Count {
  readonly likely: number
  readonly low: number
  readonly high: number
}

/**
 * Knife blades for a length of cut, mm. Common practice, no source: the point of a blade stays keen for some six metres
 * of card, from three in hard board to ten; a fresh one costs less than a torn edge, and a blunt one slips.
 */
export function blades(cut: number): Count {
  const at = (metres: number) => Math.ceil(cut / 1000 / metres)
  return { likely: at(6), low: at(10), high: at(3) }
}
