import { suggest } from '../finding/nearest'
import { grammage } from './basisWeight'
import { behaviourOf, nominal, published } from './behaviour'
import type { Stock } from './card'
import { stockError } from './cardLength'
import { FITS, GLUE_LINE, LASER_MARGIN, MODULUS } from './common'
import { sheetSize } from './sheetSize'
import { validateStock } from './validate'

/**
 * The built-in stocks. Published figures are averages that a mill is bought by, and tolerated by ±10 % in weight and
 * ±0.025 mm in thickness (tag board): the card on the bench should be measured, ten thicknesses in one pile.
 *
 * All default to a letter sheet because that is what goes through a home printer: half a folder and the body of a
 * divider are both a little larger. Their grain is taken along the longer side, parallel to the folder's fold
 * (common practice; bend a strip each way to be sure, the limper way's crease runs along the grain).
 */
export const catalogue = Object.freeze({
  folder: built({
    id: 'folder',
    title: 'manila folder card, 11 pt',
    thickness: published(0.28, 'US Government Paper Specification Standards 1999, JCP P20 tag board, 150 lb'),
    grammage: published(245, 'US Government Paper Specification Standards 1999, JCP P20 tag board, 150 lb'),
  }),
  divider: built({
    id: 'divider',
    title: 'manila divider card, 18 pt',
    thickness: published(0.45, 'US Government Paper Specification Standards 1999, JCP P20 tag board, 250 lb'),
    grammage: published(405, 'US Government Paper Specification Standards 1999, JCP P20 tag board, 250 lb'),
  }),
  pressboard: built({
    id: 'pressboard',
    title: 'pressboard divider, 25 pt',
    thickness: published(0.64, 'US Government Paper Specification Standards 1999, JCP R10 pressboard, Type III'),
    grammage: nominal(640, 'common practice: 1000 kg/m³ at 0.64 mm; weigh yours'),
  }),
  index: built({
    id: 'index',
    title: 'index card, 110 lb',
    thickness: published(0.23, 'US Government Paper Specification Standards 1999, JCP K10 index, 110 lb'),
    grammage: published(200, 'US Government Paper Specification Standards 1999, JCP K10 index, 110 lb'),
  }),
  bristol: built({
    id: 'bristol',
    title: 'vellum bristol, 67 lb',
    thickness: nominal(0.21, 'nominal: measure yours'),
    grammage: published(
      Number(grammage({ lb: 67, grade: 'bristol' }).toFixed(1)),
      'follows from 67 lb on the basic size of 22.5 × 28.5 in',
    ),
  }),
  cover: built({
    id: 'cover',
    title: 'vellum cover card, 80 lb',
    thickness: nominal(0.27, 'nominal: measure yours'),
    grammage: published(215, 'US Government Paper Specification Standards 1999, JCP L20 cover, 80 lb'),
  }),
})

export { overrideThickness } from './override'

export const BUILT_IN_STOCKS: readonly Stock[] = Object.freeze(Object.values(catalogue))

/**
 * A built-in stock by its id.
 *
 * @throws FindingError for an id that there is not
 */
export function builtInStock(id: string): Stock {
  const found = BUILT_IN_STOCKS.find((one) => one.id === id)
  if (found) return found
  throw stockError(`there is no built-in stock "${id}"`, suggest(id, Object.keys(catalogue)))
}

function built(card: Pick<Stock, 'id' | 'title' | 'thickness' | 'grammage'>): Stock {
  const behaviour = behaviourOf(card.thickness.value)
  return validateStock({
    ...card,
    grain: 'long',
    sheet: sheetSize('letter'),
    margin: LASER_MARGIN,
    knife: behaviour.knife,
    fit: FITS,
    fold: behaviour.fold,
    glueLine: GLUE_LINE,
    modulus: MODULUS,
  })
}
