import type { Finding } from '../finding/finding'
import { buildModel } from './builder'
import { type Manner, printProblems } from './print'
import { createProgress } from './progress'
import type { ModelFile } from './project'
import { findingsOf, type Outcome, summary } from './report'
import { UsageError } from './usage'
import type { Workshop } from './workshop'

/** @throws UsageError where none of the files is a model */
export function buildAll(models: readonly ModelFile[], workshop: Workshop, write: boolean): Outcome[] {
  const progress = createProgress(process.stderr)
  const outcomes = models.flatMap((file) => buildModel(file, workshop, progress, write) ?? [])
  progress.clear()
  workshop.store.trim()
  if (outcomes.length > 0 || models.length === 0) return outcomes
  throw new UsageError('none of the files in parts exports a model', "end one with export default model('Title', …)")
}

/** Findings to standard error, the summary to standard output. */
export function printOutcomes(outcomes: readonly Outcome[], { root }: Workshop, manner: Manner): void {
  for (const outcome of outcomes) {
    if (outcome.problems.length > 0) process.stderr.write(`${printProblems(outcome.problems, manner)}\n`)
    process.stdout.write(summary(outcome, root))
  }
}

export function printTypeErrors(findings: readonly Finding[], manner: Manner): void {
  if (findings.length === 0) return
  process.stderr.write(
    `\n${printProblems(
      findings.map((finding) => ({ finding })),
      manner,
    )}`,
  )
}

/** The compiler's errors, less those at a line where a bare number or the like was already told in our own words. */
export function newTypeErrors(findings: readonly Finding[], outcomes: readonly Outcome[]): Finding[] {
  const told = new Set(outcomes.flatMap(findingsOf).filter(saysEnough).map(lineOf))
  return findings.filter((finding) => !told.has(lineOf(finding)))
}

/** What JavaScript itself threw, or a value that was undefined, only shows where: the compiler knows which name is wrong. */
function saysEnough({ id, text }: Finding): boolean {
  return id !== 'threw' && id !== 'family' && !text.startsWith('undefined ')
}

function lineOf({ site }: Finding): string {
  return site ? `${site.file}:${site.line}` : ''
}
