import { type Finding, FindingError } from '../finding/finding'
import { resolveSite } from '../finding/site'

/** A finding with the error behind it, if there was one, for `--trace`. */
export interface Problem {
  readonly finding: Finding
  readonly error?: unknown
}

/** What went wrong, as something to print; `file` is where to point when the error itself does not say. */
export function problemOf(error: unknown, file?: string): Problem {
  if (error instanceof FindingError) return { finding: error.finding, error: error.cause ?? error }
  return { finding: thrownFinding(error, file), error }
}

/** An author's own error, or one of ours that nobody expected, as a finding. */
export function thrownFinding(error: unknown, file?: string): Finding {
  if (!(error instanceof Error)) {
    const site = file === undefined ? {} : { site: { file, line: 1, column: 1 } }
    return { ...THROWN, ...site, text: `the file threw ${JSON.stringify(error) ?? String(error)}` }
  }
  const site = resolveSite(error) ?? (file === undefined ? undefined : { file, line: 1, column: 1 })
  if (error instanceof RangeError && /call stack/.test(error.message)) {
    const remedy = 'look for a function that calls itself without end'
    return { ...THROWN, text: 'the functions call each other too deeply', remedy, ...(site && { site }) }
  }
  return { ...THROWN, text: `${error.name}: ${error.message}`, ...(site && { site }) }
}

const THROWN = { id: 'threw', severity: 'error', remedy: 'put the line right; --trace shows how it was reached' } as const
