import { MILLIMETRES } from '../length/unit'
import type { Unit } from '../length/length'

/** The dimensions among the names of figures read: `span` of `dimension:span`. */
export function dimensionsAmong(figures: readonly string[]): string[] {
  return figures.filter((figure) => figure.startsWith(PREFIX)).map((figure) => figure.slice(PREFIX.length))
}

const PREFIX = 'dimension:'

/** Millimetres in the unit an author wrote: `24.4 m`, `12 ft 6.5 in`; in metres where none is known. */
export function inUnit(value: number, unit: Unit = 'm'): string {
  if (unit === 'ftIn') return feetAndInches(value)
  const by = unit === 'pt' ? MILLIMETRES.mm : MILLIMETRES[unit]
  return `${trimmed(value / by, DECIMALS[unit])} ${unit === 'pt' ? 'mm' : unit}`
}

/** A tolerance or difference on the subject: `40 mm`, `2.5 mm`. */
export function inSubjectMm(value: number): string {
  return `${trimmed(value, 1)} mm`
}

/** What a tenth of a millimetre of the subject needs. */
const DECIMALS: Record<Unit, number> = { mm: 1, cm: 2, m: 4, in: 3, ft: 4, ftIn: 2, pt: 1 }

function feetAndInches(value: number): string {
  const inches = Math.round((Math.abs(value) / MILLIMETRES.in) * 100) / 100
  const feet = Math.floor(inches / 12)
  return `${value < 0 ? '-' : ''}${feet} ft ${trimmed(inches - 12 * feet, 2)} in`
}

function trimmed(value: number, decimals: number): string {
  return String(Number(value.toFixed(decimals)) + 0)
}
