import { type Finding, FindingError } from '../finding/finding'
import { resolveSite } from '../finding/site'
import { FILE_REMEDY, thrownWords } from '../finding/thrown'

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
  const site = error instanceof Error ? resolveSite(error) : undefined
  const { name, text, remedy } = thrownWords(error)
  const said = name === undefined ? text : `${name}: ${text}`
  return { ...THROWN, ...(site ? { site } : fallback), text: said, ...(remedy !== undefined && { remedy }) }
}

const THROWN = {
  id: 'threw',
  severity: 'error',
  remedy: 'put the line right; --trace shows how it was reached',
} as const

function ownFault(error: Error): Finding {
  if ('syscall' in error) return { id: 'system', severity: 'error', text: error.message, remedy: FILE_REMEDY }
  return {
    id: 'internal',
    severity: 'error',
    text: `cardwright itself failed: ${error.name}: ${error.message}`,
    remedy: 'this is no fault of your model; please report it with what --trace shows',
  }
}
