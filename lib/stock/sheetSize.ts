import { FindingError } from '../finding/finding'
import { suggest } from '../finding/nearest'
import { type Length, mm } from '../length/length'
import { MILLIMETRES } from '../length/unit'
import type { SheetSize } from './card'

const INCH = MILLIMETRES.in

/**
 * ISO 216:2007, A series, in mm: each size is half the one before, its longer side halved and rounded down. The
 * standard allows ±1.5 mm up to 150 mm, ±2 mm up to 600 mm and ±3 mm above.
 */
const ISO_A: readonly SheetSize[] = halvings('A', 841, 1189, 11)

/** ASME Y14.1, decimal inch flat sizes. ANSI A is letter, B is tabloid. */
const ASME_Y14_1: readonly SheetSize[] = [
  inches('ANSI A', 8.5, 11),
  inches('ANSI B', 11, 17),
  inches('ANSI C', 17, 22),
  inches('ANSI D', 22, 34),
  inches('ANSI E', 34, 44),
]

/** US office sizes (common practice; letter is the sheet of ANSI A). */
const OFFICE: readonly SheetSize[] = [inches('letter', 8.5, 11), inches('legal', 8.5, 14)]

/**
 * Card as it comes, nominal: measure yours. The folder blank is a letter-size manila folder opened out, its tab cut
 * off; the divider blank is one filing guide with its tab. Most home printers take neither: cut them to letter.
 */
const BLANKS: readonly SheetSize[] = [inches('folder blank', 11.75, 18), inches('divider blank', 9, 11)]

export const SHEET_SIZES: readonly SheetSize[] = Object.freeze([...ISO_A, ...ASME_Y14_1, ...OFFICE, ...BLANKS])

/**
 * A sheet by its name (`A4`, `letter`, `folder blank`), whatever the case.
 *
 * @throws FindingError for a name that there is not
 */
export function sheetSize(name: string): SheetSize {
  const wanted = name.trim().toLowerCase()
  const size = SHEET_SIZES.find((one) => one.name.toLowerCase() === wanted)
  if (size) return size
  throw new FindingError({
    id: 'sheet-size',
    severity: 'error',
    text: `there is no sheet size "${name}"`,
    remedy: suggest(name, SHEET_SIZES.map((one) => one.name)),
  })
}

/**
 * A sheet of the author's own, the sides in either order: `sheetOf('offcut', bench.mm(300), bench.mm(180))`.
 *
 * @throws FindingError where a side is not above 0
 */
export function sheetOf(name: string, side: Length, other: Length): SheetSize {
  return portrait(name, mm(side), mm(other))
}

function inches(name: string, width: number, height: number): SheetSize {
  return portrait(name, exact(width * INCH), exact(height * INCH))
}

/** 8.5 · 25.4 comes out as 215.89999999999998; inch sizes have at most four decimals of a millimetre. */
function exact(millimetres: number): number {
  return Number(millimetres.toFixed(4))
}

function halvings(series: string, width: number, height: number, count: number): SheetSize[] {
  const sizes: SheetSize[] = []
  for (let i = 0; i < count; i++) {
    sizes.push(portrait(`${series}${i}`, width, height))
    ;[width, height] = [Math.floor(height / 2), width]
  }
  return sizes
}

function portrait(name: string, side: number, other: number): SheetSize {
  if (!(side > 0 && other > 0 && Number.isFinite(side) && Number.isFinite(other))) {
    throw new FindingError({
      id: 'sheet-size',
      severity: 'error',
      text: `sheet "${name}" of ${side} × ${other} mm`,
      remedy: 'give both sides a length above 0',
    })
  }
  return Object.freeze({ name, width: Math.min(side, other), height: Math.max(side, other) })
}
