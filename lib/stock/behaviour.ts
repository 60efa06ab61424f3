import type { Figure, FoldFigures, KnifeLimits } from './card'

/**
 * Figures that follow from a card's thickness where the author gives none. Apart from the geometry they are the
 * rules of thumb of the bench, and say so: a test strip of the card at hand knows better.
 */
export interface Behaviour {
  readonly knife: KnifeLimits
  readonly fold: FoldFigures
}

/**
 * What card of a thickness in mm can be expected to take. One place holds the rules, so that a measured thickness
 * changes all that depends on it.
 */
export function behaviourOf(thickness: number): Behaviour {
  return {
    knife: {
      web: nominal(atLeast(0.6, 2 * thickness), 'common practice: twice the thickness, 0.6 mm or more'),
      opening: nominal(atLeast(1, 2.5 * thickness), 'common practice: 2.5 times the thickness, 1 mm or more'),
      slot: nominal(atLeast(0.25, 0.6 * thickness), 'common practice: 0.6 times the thickness, 0.25 mm or more'),
      scoreToCut: nominal(atLeast(1, 3 * thickness), 'common practice: three times the thickness, 1 mm or more'),
    },
    fold: {
      k: nominal(0.5, 'neutral layer taken in the middle: no factor is published for card'),
      insideRadius: nominal(0.5 * thickness, 'common practice: half the thickness along a score'),
      leastCurlAlong: nominal(
        leastRadius(thickness, STRAIN_ACROSS_GRAIN),
        `outer fibre strained ${percent(STRAIN_ACROSS_GRAIN)} across the grain, common practice`,
      ),
      leastCurlAcross: nominal(
        leastRadius(thickness, STRAIN_ALONG_GRAIN),
        `outer fibre strained ${percent(STRAIN_ALONG_GRAIN)} along the grain, common practice`,
      ),
    },
  }
}

/**
 * Inside radius at which the outer fibre of card bent without a crease is strained by `strain`, the neutral layer in
 * the middle: ε = t / (2R + t), so R = t·(1/ε − 1) / 2. Elementary bending of a plate.
 */
export function leastRadius(thickness: number, strain: number): number {
  return (thickness * (1 / strain - 1)) / 2
}

/**
 * Strain at which card begins to crease instead of curling. No limit is published; these are common practice for
 * card drawn over an edge and rolled by hand, below what the fibres break at. An axis along the grain bends the card
 * across the fibres, where it gives more.
 */
export const STRAIN_ACROSS_GRAIN = 0.025
export const STRAIN_ALONG_GRAIN = 0.015

export function nominal(value: number, source: string): Figure {
  return Object.freeze({ value, source, nominal: true })
}

export function published(value: number, source: string): Figure {
  return Object.freeze({ value, source, nominal: false })
}

function atLeast(floor: number, value: number): number {
  return Math.max(floor, Number(value.toFixed(3)))
}

function percent(share: number): string {
  return `${Number((share * 100).toFixed(1))} %`
}
