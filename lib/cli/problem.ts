import { type Finding, FindingError } from '../finding/finding'
import { resolveSite } from '../finding/site'

/** A finding with the error behind it, if there was one, for `--trace`. */
export interface Problem {
  readonly finding: Finding
  readonly error?: unknown
}

/** What went wrong, as something to print. An error that no line of the author's took part in is our own fault. */
export function problemOf(error: unknown): Problem {
  if (error instanceof FindingError) return { finding: error.finding, error: error.cause ?? error }
  if (error instanceof Error && !resolveSite(error)) return { finding: ownFault(error), error }
  return { finding: thrownFinding(error), error }
}

/** An author's own error as a finding; `file` is where to point when the error does not say. */
export function thrownFinding(error: unknown, file?: string): Finding {
  const fallback = file === undefined ? {} : { site: { file, line: 1, column: 1 } }
  if (!(error instanceof Error)) return { ...THROWN, ...fallback, text: `${printable(error)} was thrown` }
  const site = resolveSite(error)
  const where = site ? { site } : fallback
  if (error instanceof RangeError && /call stack/.test(error.message)) {
    const remedy = 'look for a function that calls itself without end'
    return { ...THROWN, ...where, text: 'the functions call each other too deeply', remedy }
  }
  return { ...THROWN, ...where, text: `${error.name}: ${error.message}` }
}

const THROWN = {
  id: 'threw',
  severity: 'error',
  remedy: 'put the line right; --trace shows how it was reached',
} as const

function ownFault(error: Error): Finding {
  return {
    id: 'internal',
    severity: 'error',
    text: `cardwright itself failed: ${error.name}: ${error.message}`,
    remedy: 'this is no fault of your model; please report it with what --trace shows',
  }
}

function printable(value: unknown): string {
  return typeof value === 'string' ? JSON.stringify(value) : String(value)
}
