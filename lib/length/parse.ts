import { FindingError } from '../finding/finding'
import { suggest } from '../finding/nearest'
import type { Length } from './length'
import { bench } from './unit'

/**
 * Reads a length on the bench as people type it: `0.30mm`, `0.012 in`, `12pt` (caliper points of 0.001 in, not the
 * printer's point), `1.2cm`. It may be negative; whoever asked for it says whether that makes sense.
 *
 * @param what names the thing in the message: `--stock folder`
 * @throws FindingError for anything else, with what is wrong with it
 */
export function parseBenchLength(text: string, what = 'a length on the bench'): Length {
  const written = text.trim()
  if (/\d,\d/.test(written)) {
    throw badLength(`${what}: "${written}" has a decimal comma`, `write a point: ${written.replace(',', '.')}`)
  }
  const parts = /^([+-]?(?:\d+\.?\d*|\.\d+))\s*([^\d\s.]*)$/.exec(written)
  if (!parts) throw badLength(`${what}: "${written}" is not a length`, EXAMPLES)
  const unit = parts[2]!
  if (unit === '') throw badLength(`${what}: "${written}" has no unit`, EXAMPLES)
  const make = Object.hasOwn(UNITS, unit) ? UNITS[unit] : undefined
  if (!make) {
    const text = `${what}: "${written}" has the unit "${unit}", which there is not`
    throw badLength(text, suggest(unit, Object.keys(UNITS)))
  }
  return make(Number(parts[1]))
}

const EXAMPLES = 'write a number and its unit, such as 0.30mm, 0.012in or 12pt (points of 0.001 in)'

const UNITS: Readonly<Record<string, (value: number) => Length>> = Object.freeze({
  mm: bench.mm,
  cm: (value: number) => bench.mm(value * 10),
  in: bench.in,
  pt: bench.points,
})

function badLength(text: string, remedy: string): FindingError {
  return new FindingError({ id: 'length', severity: 'error', text, remedy })
}
