/**
 * What the compiler has to say about a model, as data. Every stage may return findings; only the command line prints
 * them. An `error` stops the build, a `warning` does not, a `note` is for reading.
 */
export type Severity = 'error' | 'warning' | 'note'

export interface Finding {
  /** Which rule speaks, kebab-case: `narrow-web`. */
  readonly id: string
  readonly severity: Severity
  /** The fact, with both numbers: `web of 0.42 mm, the knife needs 0.80 mm`. */
  readonly text: string
  /** What to do about it. */
  readonly remedy: string
  /** Model, family, station and mark as far as known: `WR-P07`. */
  readonly mark?: string
  readonly family?: string
  readonly station?: string
  /** The dimension of the survey that it is about. */
  readonly dimension?: string
  /** Place on the flat piece, mm in the piece's own axes. */
  readonly at?: readonly [number, number]
  /** Other pieces that it is as much about, with the place on them where it is known, mm in their own axes. */
  readonly also?: readonly { readonly mark: string; readonly at?: readonly [number, number] }[]
  /** Place in the built model, mm in the model's axes. */
  readonly inModel?: readonly [number, number, number]
  /** Where the author wrote it. */
  readonly site?: Site
  /** The figure found and the figure wanted, for machines. */
  readonly found?: number
  readonly wanted?: number
}

/** A place in the author's source. `line` and `column` count from 1. */
export interface Site {
  readonly file: string
  readonly line: number
  readonly column: number
}

/** Thrown where work cannot go on; carries the finding that says why. */
export class FindingError extends Error {
  override readonly name = 'FindingError'
  readonly finding: Finding

  constructor(finding: Finding, options?: { cause?: unknown }) {
    super(`${finding.text}. ${finding.remedy}`, options)
    this.finding = finding
  }
}

/** Errors first, then by mark, rule and place, so that two runs print the same list. */
export function sortFindings(findings: readonly Finding[]): Finding[] {
  return findings.toSorted(
    (a, b) =>
      SEVERITY_ORDER[a.severity] - SEVERITY_ORDER[b.severity] ||
      compareText(a.mark ?? a.family ?? '', b.mark ?? b.family ?? '') ||
      compareText(a.id, b.id) ||
      (a.at?.[0] ?? 0) - (b.at?.[0] ?? 0) ||
      (a.at?.[1] ?? 0) - (b.at?.[1] ?? 0) ||
      compareText(a.text, b.text),
  )
}

/** Order of two texts by code unit: the same on every machine, whatever its language. */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0
}

const SEVERITY_ORDER: Record<Severity, number> = { error: 0, warning: 1, note: 2 }
