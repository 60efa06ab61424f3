import type { Length } from '../length/length'
import { behaviourOf, published } from './behaviour'
import type { Figure, Stock } from './card'
import { lengthOnCard } from './cardLength'
import { validateStock } from './validate'

/**
 * The same card with the thickness that was measured. Fold, curl and knife figures that were derived from the
 * thickness follow it; figures that the author gave, and the grammage, stay.
 *
 * @throws FindingError for a thickness that no card has
 */
export function overrideThickness(stock: Stock, thickness: Length): Stock {
  const measured = published(lengthOnCard(thickness, `stock "${stock.id}": thickness`), 'measured')
  return validateStock(withThickness(stock, measured))
}

/** Takes another thickness and, where a figure is the rule's own for the old one, the rule's for the new one. */
export function withThickness(stock: Stock, thickness: Figure): Stock {
  const before = behaviourOf(stock.thickness.value)
  const after = behaviourOf(thickness.value)
  return {
    ...stock,
    thickness,
    knife: following(stock.knife, before.knife, after.knife),
    fold: following(stock.fold, before.fold, after.fold),
  }
}

function following<T extends { readonly [name in keyof T]: Figure }>(given: T, before: T, after: T): T {
  const followed = { ...given }
  for (const name of Object.keys(given) as (keyof T)[]) {
    if (sameFigure(given[name], before[name])) followed[name] = after[name]
  }
  return followed
}

function sameFigure(a: Figure, b: Figure): boolean {
  return a.value === b.value && a.source === b.source
}
