import type { Stock } from './card'

/** A rectangle on a sheet, mm from its lower left corner. */
export interface Rectangle {
  readonly x: number
  readonly y: number
  readonly width: number
  readonly height: number
}

/**
 * A piece of card that is left of a sheet and is to be used before whole ones, mm. It lies in the printer as whole
 * sheets do: its grain runs the same way on the page.
 */
export interface Offcut {
  readonly width: number
  readonly height: number
  /** What has been cut out of it already. */
  readonly used?: readonly Rectangle[]
}

/** The stock as if its sheets were of this size, with the same margins: pages, title and bars follow from that. */
export function offcutStock(stock: Stock, { width, height }: Offcut): Stock {
  const upright = stock.sheet.height >= stock.sheet.width === height >= width
  const across = stock.grain === 'long' ? 'short' : 'long'
  return { ...stock, grain: upright ? stock.grain : across, sheet: { name: sizeText({ width, height }), width, height } }
}

/** The stock of a sheet by its number: offcuts come first. */
export function stockOfSheet(stock: Stock, offcuts: readonly Offcut[] | undefined, index: number): Stock {
  const offcut = offcuts?.[index]
  return offcut && !isWhole(stock, offcut) ? offcutStock(stock, offcut) : stock
}

/** Whether it is a sheet of full size, of which only a part is used up. */
export function isWhole({ sheet }: Stock, { width, height }: Offcut): boolean {
  return width === sheet.width && height === sheet.height
}

/** `150 × 200 mm` */
export function sizeText({ width, height }: Pick<Offcut, 'width' | 'height'>): string {
  return `${Number(width.toFixed(2))} × ${Number(height.toFixed(2))} mm`
}

export function cornersOf({ x, y, width, height }: Rectangle): [number, number][] {
  return [
    [x, y],
    [x + width, y],
    [x + width, y + height],
    [x, y + height],
  ]
}
