import type { Role } from './drawing'

/**
 * How each line looks: the one place that says so. Widths in mm are of the ISO 128-20 series (0.13 0.18 0.25 0.35…),
 * wide for what is cut and narrow for the rest; the series is checked, the clause text is from memory.
 */
export interface Pen {
  readonly width: number
  /** Dash, gap, dash, gap… in mm; empty for a continuous line. The first dash also ends the line. */
  readonly dashes: readonly number[]
  /** What the key on the sheet calls it; undefined for what needs no key. */
  readonly name?: string
  /** Black, as everything on a sheet, where none is given. */
  readonly ink?: string
}

/**
 * Folds after the Yoshizawa–Randlett notation: valley dashed, mountain dash and two dots. Datum lines after ISO 128-24
 * (04.1: long dash, short dash, narrow), cuts as visible outlines (01.2), drawn marks continuous narrow (01.1). A glue
 * area is dotted (07), so that nobody takes its edge for the place of another piece.
 */
export const PENS: Readonly<Record<Role, Pen>> = {
  cut: { width: 0.25, dashes: [], name: 'cut' },
  valley: { width: 0.18, dashes: [1.6, 0.8], name: 'valley fold' },
  mountain: { width: 0.18, dashes: [2.2, 0.6, 0.3, 0.6, 0.3, 0.6], name: 'mountain fold' },
  datum: { width: 0.13, dashes: [5, 0.8, 1, 0.8], name: 'centre or datum' },
  align: { width: 0.13, dashes: [], name: 'edge of another piece' },
  glue: { width: 0.18, dashes: [0.3, 0.5], name: 'glue area' },
  leader: { width: 0.13, dashes: [] },
  frame: { width: 0.13, dashes: [] },
  bar: { width: 0.13, dashes: [] },
  arrow: { width: 0.18, dashes: [] },
  edge: { width: 0.18, dashes: [] },
  section: { width: 0.25, dashes: [] },
  hatch: { width: 0.13, dashes: [] },
  dimension: { width: 0.13, dashes: [] },
  centre: { width: 0.13, dashes: [5, 0.8, 1, 0.8] },
  former: { width: 0.7, dashes: [], ink: '#a8a8a8' },
  deviation: { width: 0.18, dashes: [], ink: '#b3261e' },
}

/**
 * The dash pattern fitted to one line of a length in mm, so that it begins and ends with a full dash and shows its
 * pattern at least once, however short: a fold has to tell its direction on a 4 mm tab. A closed line takes whole
 * periods. Empty for a continuous line.
 */
export function dashesFor(role: Role, length: number, closed: boolean): readonly number[] {
  const { dashes } = PENS[role]
  if (dashes.length === 0 || !(length > 0)) return []
  const period = dashes.reduce((sum, dash) => sum + dash, 0)
  const ending = closed ? 0 : dashes[0]!
  const periods = Math.max(1, Math.round((length - ending) / period))
  const stretch = length / (periods * period + ending)
  return dashes.map((dash) => dash * stretch)
}
