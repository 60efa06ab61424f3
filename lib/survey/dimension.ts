import type { CallSite } from '../finding/site'
import type { Length, Unit } from '../length/length'
import type { Source } from './source'

/** One dimension as its author gave it, plain data but for its formula. */
export interface Dimension {
  readonly name: string
  /** mm on the subject, as written; of a table its first value. */
  readonly value: number
  /** What it was written in; undefined for one that was worked out in no unit of its own. */
  readonly unit: Unit | undefined
  /** Of a table: every value, mm on the subject. */
  readonly values?: readonly number[]
  /** How far off it may be either way, mm on the subject; undefined where nobody said. */
  readonly within: number | undefined
  readonly source: Source | undefined
  readonly note: string
  /** What it is worked out by, in place of a value of its own. */
  readonly formula?: () => Length
  /** Names of the dimensions its formula read. */
  readonly from: readonly string[]
  readonly site: CallSite
}

/** Something that must hold between dimensions: `bays add up to the length`. */
export interface Rule {
  readonly name: string
  readonly compare: () => Comparison
  readonly site: CallSite
}

/** Two lengths and how they should stand to one another. */
export type Comparison = readonly [left: Length, relation: '=' | '<=' | '>=', right: Length]

/** What one or several surveys hold together; formulas after those they read. */
export interface SurveySheet {
  readonly dimensions: readonly Dimension[]
  readonly rules: readonly Rule[]
}
