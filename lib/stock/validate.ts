import type { Figure, Stock } from './card'
import { stockError } from './cardLength'

/** Thicker than this it is board for a saw. */
const GREATEST_THICKNESS = 5

/**
 * Gives the stock back frozen, once it is one that card can be.
 *
 * @throws FindingError naming the stock, the figure, its value and the limit
 */
export function validateStock(stock: Stock): Stock {
  validateId(stock.id)
  const what = `stock "${stock.id}"`
  validateThickness(what, stock.thickness.value)
  above(what, 'grammage', stock.grammage, 'g/m²')
  validateMargins(what, stock)
  for (const [name, figure] of Object.entries(stock.knife)) above(what, `knife.${name}`, figure, 'mm')
  for (const [name, figure] of Object.entries(stock.fit)) notBelow(what, `fit.${name}`, figure, 'mm')
  validateFold(what, stock)
  notBelow(what, 'glueLine', stock.glueLine, 'mm')
  for (const [name, figure] of Object.entries(stock.modulus)) above(what, `modulus.${name}`, figure, 'GPa')
  if (stock.grain !== 'long' && stock.grain !== 'short') {
    throw stockError(
      `${what}: the grain runs "${String(stock.grain)}"`,
      "write 'long' or 'short', the edge it runs along",
    )
  }
  return freeze(stock)
}

function validateId(id: string): void {
  if (typeof id === 'string' && /^[a-z][a-z0-9-]*$/.test(id)) return
  throw stockError(
    `"${String(id)}" is not the id of a stock`,
    'use small letters, digits and hyphens, a letter first: folder-blue',
  )
}

function validateThickness(what: string, thickness: number): void {
  if (!(thickness > 0)) {
    throw stockError(`${what}: thickness of ${printed(thickness)} mm, it must be above 0 mm`, THICKNESS_REMEDY, {
      found: thickness,
      wanted: 0,
    })
  }
  if (!(thickness <= GREATEST_THICKNESS)) {
    throw stockError(
      `${what}: thickness of ${printed(thickness)} mm, card is at most ${GREATEST_THICKNESS} mm`,
      THICKNESS_REMEDY,
      { found: thickness, wanted: GREATEST_THICKNESS },
    )
  }
}

const THICKNESS_REMEDY = 'measure ten sheets in a pile and divide: bench.mm(0.28), or bench.points(11) for 0.011 in'

function validateMargins(what: string, { margin, sheet }: Stock): void {
  for (const [name, value] of Object.entries(margin)) {
    if (!(value >= 0)) {
      throw stockError(
        `${what}: ${name} margin of ${printed(value)} mm, it must be 0 mm or more`,
        'give what the printer leaves blank',
      )
    }
  }
  const across = margin.left + margin.right
  const along = margin.top + margin.bottom
  if (!(across < sheet.width)) throw marginError(what, 'left and right', across, 'wide', sheet.width, sheet.name)
  if (!(along < sheet.height)) throw marginError(what, 'top and bottom', along, 'high', sheet.height, sheet.name)
}

function marginError(what: string, sides: string, margins: number, way: string, size: number, name: string) {
  return stockError(
    `${what}: the ${sides} margins take ${printed(margins)} mm, the sheet "${name}" is ${printed(size)} mm ${way}`,
    'make the margins smaller or the sheet larger',
    { found: margins, wanted: size },
  )
}

function validateFold(what: string, { fold }: Stock): void {
  const { k, ...radii } = fold
  if (!(k.value >= 0 && k.value <= 1)) {
    throw stockError(
      `${what}: fold.k of ${k.value}, it lies from 0 to 1`,
      'leave it at 0.5 unless a test strip says otherwise',
    )
  }
  for (const [name, figure] of Object.entries(radii)) notBelow(what, `fold.${name}`, figure, 'mm')
}

function above(what: string, name: string, figure: Figure, unit: string): void {
  if (figure.value > 0 && Number.isFinite(figure.value)) return
  throw stockError(
    `${what}: ${name} of ${printed(figure.value)} ${unit}, it must be above 0 ${unit}`,
    'give a figure above 0',
  )
}

function notBelow(what: string, name: string, figure: Figure, unit: string): void {
  if (figure.value >= 0 && Number.isFinite(figure.value)) return
  throw stockError(
    `${what}: ${name} of ${printed(figure.value)} ${unit}, it must be 0 ${unit} or more`,
    'give 0 or a figure above',
  )
}

function printed(value: number): string {
  return Number.isFinite(value) ? String(Number(value.toFixed(3))) : String(value)
}

function freeze<T>(value: T): T {
  if (typeof value !== 'object' || value === null || Object.isFrozen(value)) return value
  for (const part of Object.values(value)) freeze(part)
  return Object.freeze(value)
}
