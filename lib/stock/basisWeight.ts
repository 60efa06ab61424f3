import { FindingError } from '../finding/finding'
import { suggest } from '../finding/nearest'

/** Grams in an avoirdupois pound, exact (international yard and pound, 1959). */
const GRAMS_IN_POUND = 453.59237
const SHEETS_IN_REAM = 500
const METRES_IN_INCH = 0.0254

/**
 * Basic size of each grade, inches: a ream of 500 sheets of this size weighs the basis weight. Common practice of the
 * US trade, as printed in the US Government Paper Specification Standards (tag, index) and by paper mills. A vellum
 * bristol is sometimes sold on 22.5 × 30.5 in: then its grammage is the safer figure.
 */
export const BASIC_SIZES = Object.freeze({
  bond: [17, 22],
  cover: [20, 26],
  bristol: [22.5, 28.5],
  index: [25.5, 30.5],
  tag: [24, 36],
  book: [25, 38],
} as const)

export type Grade = keyof typeof BASIC_SIZES

export interface BasisWeight {
  /** Pounds a ream. */
  readonly lb: number
  readonly grade: Grade
}

/**
 * Grammage of a basis weight, g/m²: lb · 453.59237 / (500 · 0.0254² · basic size in in²). Trade tables that print the
 * numerator as 1406.5 rather than 1406.139 are 0.026 % high.
 *
 * @throws FindingError for an unknown grade and for a weight that is not above 0
 */
export function grammage({ lb, grade }: BasisWeight): number {
  if (!(lb > 0 && Number.isFinite(lb))) {
    throw weightError(`a basis weight of ${lb} lb`, 'give the pounds a ream, above 0')
  }
  return lb * factor(grade)
}

/** Basis weight in pounds that a grammage in g/m² makes in a grade. */
export function basisWeight(gramsPerSquareMetre: number, grade: Grade): number {
  if (!(gramsPerSquareMetre > 0 && Number.isFinite(gramsPerSquareMetre))) {
    throw weightError(`a grammage of ${gramsPerSquareMetre} g/m²`, 'give the grams a square metre, above 0')
  }
  return gramsPerSquareMetre / factor(grade)
}

function factor(grade: Grade): number {
  if (!Object.hasOwn(BASIC_SIZES, grade)) {
    throw weightError(`there is no grade "${String(grade)}"`, suggest(String(grade), Object.keys(BASIC_SIZES)))
  }
  const [width, height] = BASIC_SIZES[grade]
  return GRAMS_IN_POUND / (SHEETS_IN_REAM * METRES_IN_INCH ** 2 * width * height)
}

function weightError(text: string, remedy: string): FindingError {
  return new FindingError({ id: 'basis-weight', severity: 'error', text, remedy })
}
