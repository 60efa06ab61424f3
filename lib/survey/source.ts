import { type CallSite, callSite } from '../finding/site'
import type { Length } from '../length/length'
import { onSubject, surveyError } from './onSubject'

/** Where a dimension was taken from. */
export interface Source {
  readonly kind: SourceKind
  /** Which one: `general arrangement, sheet 2`. */
  readonly title: string
  /** What holds for dimensions read from it that do not say themselves, mm on the subject. */
  readonly within: number | undefined
}

export type SourceKind = (typeof SOURCE_KINDS)[number]

export const SOURCE_KINDS = ['drawing', 'photograph', 'handbook', 'own measurement', 'guess'] as const

export interface SourceOptions {
  /** How far off a reading from it may be, where a dimension does not say: a line's width, a pixel. */
  readonly within?: Length
}

/** A drawing of the subject: `drawing('general arrangement, sheet 2', { within: full.mm(30) })`. */
export function drawing(title: string, options: SourceOptions = {}): Source {
  return sourceOf('drawing', title, options, callSite())
}

export function photograph(title: string, options: SourceOptions = {}): Source {
  return sourceOf('photograph', title, options, callSite())
}

/** Any printed figures: a handbook, a register, a maker's list. */
export function handbook(title: string, options: SourceOptions = {}): Source {
  return sourceOf('handbook', title, options, callSite())
}

/** Measured by the builder on the subject itself, or on a part of it that is left. */
export function ownMeasurement(title: string, options: SourceOptions = {}): Source {
  return sourceOf('own measurement', title, options, callSite())
}

/** Nothing to go by but judgement; say what it leans on. `cardwright survey --unsourced` lists these. */
export function guess(why: string, options: SourceOptions = {}): Source {
  return sourceOf('guess', why, options, callSite())
}

const MADE = new WeakSet<object>()

export function isSource(value: unknown): value is Source {
  return typeof value === 'object' && value !== null && MADE.has(value)
}

function sourceOf(kind: SourceKind, title: string, { within }: SourceOptions, site: CallSite): Source {
  if (typeof title !== 'string' || title.trim() === '') {
    throw surveyError(`a ${kind} without a name`, "say which one: drawing('general arrangement, sheet 2')", site)
  }
  const most = within === undefined ? undefined : onSubject(within, `the tolerance of ${kind} "${title}"`, site)
  if (most !== undefined && most < 0) {
    throw surveyError(`the tolerance of ${kind} "${title}" is ${most} mm`, 'give one above 0', site)
  }
  const source = Object.freeze({ kind, title: title.trim(), within: most })
  MADE.add(source)
  return source
}
