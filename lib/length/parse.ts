import { FindingError } from '../finding/finding'
import { suggest } from '../finding/nearest'
import type { Length } from './length'
import { bench, full } from './unit'

/**
 * Reads a length on the bench as people type it: `0.30mm`, `0.012 in`, `12pt` (caliper points of 0.001 in, not the
 * printer's point), `1.2cm`. It may be negative; whoever asked for it says whether that makes sense.
 *
 * @param what names the thing in the message: `--stock folder`
 * @throws FindingError for anything else, with what is wrong with it
 */
export function parseBenchLength(text: string, what = 'a length on the bench'): Length {
  const written = text.trim()
  const { value, unit } = partsOf(written, what, EXAMPLES)
  return unitOf(UNITS, unit, written, what)(value)
}

/**
 * Reads a length on the subject: `24.9m`, `980 mm`, `12ft 6.5in`. It may be negative.
 *
 * @throws FindingError for anything else, with what is wrong with it
 */
export function parseFullLength(text: string, what = 'a length on the subject'): Length {
  const written = text.trim()
  const imperial = /^(\d+)\s*(?:ft|')\s*(\d+\.?\d*)\s*(?:in|")$/.exec(written)
  if (imperial) return full.ftIn(Number(imperial[1]), Number(imperial[2]))
  const parts = partsOf(written, what, FULL_EXAMPLES)
  return unitOf(FULL_UNITS, parts.unit, written, what)(parts.value)
}

const EXAMPLES = 'write a number and its unit, such as 0.30mm, 0.012in or 12pt (points of 0.001 in)'

const FULL_EXAMPLES = 'write a number and its unit, such as 24.9m, 980mm or 12ft 6.5in'

type Units = Readonly<Record<string, (value: number) => Length>>

const UNITS: Units = Object.freeze({
  mm: bench.mm,
  cm: (value: number) => bench.mm(value * 10),
  in: bench.in,
  pt: bench.points,
})

const FULL_UNITS: Units = Object.freeze({ mm: full.mm, cm: full.cm, m: full.m, in: full.in, ft: full.ft })

function partsOf(written: string, what: string, examples: string): { value: number; unit: string } {
  if (/\d,\d/.test(written)) {
    throw badLength(`${what}: "${written}" has a decimal comma`, `write a point: ${written.replace(',', '.')}`)
  }
  const parts = /^([+-]?(?:\d+\.?\d*|\.\d+))\s*([^\d\s.]*)$/.exec(written)
  if (!parts) throw badLength(`${what}: "${written}" is not a length`, examples)
  if (parts[2] === '') throw badLength(`${what}: "${written}" has no unit`, examples)
  return { value: Number(parts[1]), unit: parts[2]! }
}

function unitOf(units: Units, unit: string, written: string, what: string): (value: number) => Length {
  const make = Object.hasOwn(units, unit) ? units[unit] : undefined
  if (make) return make
  throw badLength(`${what}: "${written}" has the unit "${unit}", which there is not`, suggest(unit, Object.keys(units)))
}

function badLength(text: string, remedy: string): FindingError {
  return new FindingError({ id: 'length', severity: 'error', text, remedy })
}
