import { Length, lengthError } from './length'

/** Millimetres in one unit. The inch, and with it foot and yard, is exact (international yard and pound, 1959). */
export const MILLIMETRES = { mm: 1, cm: 10, m: 1000, in: 25.4, ft: 304.8 } as const

/** Millimetres in a caliper point: 0.001 in, the card trade's unit (a printer's point of 1/72 in is another one). */
export const CALIPER_POINT = 0.0254

/** Lengths on the subject. They shrink with the scale. */
export const full = Object.freeze({
  m: (value: number) => onSubject(value, 'm', 'full.m'),
  cm: (value: number) => onSubject(value, 'cm', 'full.cm'),
  mm: (value: number) => onSubject(value, 'mm', 'full.mm'),
  ft: (value: number) => onSubject(value, 'ft', 'full.ft'),
  in: (value: number) => onSubject(value, 'in', 'full.in'),
  /** Feet and inches, as drawings have them: `full.ftIn(12, 6.5)`. For a negative length negate the result. */
  ftIn: (feet: number, inches: number) =>
    new Length({
      full: finite(feet, 'full.ftIn') * MILLIMETRES.ft + finite(inches, 'full.ftIn') * MILLIMETRES.in,
      unit: 'ftIn',
    }),
})

/** Lengths on the bench: card, tabs, knife. They stay what they are at every scale. */
export const bench = Object.freeze({
  mm: (value: number) => onBenchTop(value, 'mm', 'bench.mm'),
  in: (value: number) => onBenchTop(value, 'in', 'bench.in'),
  /** Caliper points of 0.001 in, as card is sold. */
  points: (value: number) => onBenchTop(value, 'pt', 'bench.points'),
  /** So many thicknesses of a stock, whatever it measures: `bench.plies('divider', 2)`. */
  plies: (stock: string, count = 1) => new Length({ plies: { [stock]: finite(count, 'bench.plies') } }),
})

function onSubject(value: number, unit: keyof typeof MILLIMETRES, word: string): Length {
  return new Length({ full: finite(value, word) * MILLIMETRES[unit], unit })
}

function onBenchTop(value: number, unit: 'mm' | 'in' | 'pt', word: string): Length {
  return new Length({ bench: finite(value, word) * (unit === 'pt' ? CALIPER_POINT : MILLIMETRES[unit]), unit })
}

function finite(value: number, word: string): number {
  if (typeof value === 'number' && Number.isFinite(value)) return value
  throw lengthError(`${word}(${String(value)}) is not a length`, 'give it a finite number')
}
