import { buildModel } from '../builder'
import type { Finding } from '../../finding/finding'
import { keepStdoutClean } from '../console'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, printProblems } from '../print'
import { createProgress } from '../progress'
import type { ModelFile } from '../project'
import { findingsOf, hasErrors, jsonReport, type Outcome, summary } from '../report'
import { createTypeChecker } from '../typecheck'
import { UsageError } from '../usage'
import { openWorkshop, type Workshop } from '../workshop'
import { finishBuilds } from '../write'

/** `cardwright build`: sheets first, then what the type checker, which has run beside, has to say. */
export async function build(request: Request, manner: Manner): Promise<number> {
  const { json, watch } = request.options
  if (json) keepStdoutClean()
  const workshop = openWorkshop(request)
  finishBuilds(workshop.out)
  if (watch) {
    const { watchModels } = require('../watch') as typeof import('../watch')
    return watchModels(workshop, request, manner)
  }
  return runOnce(request, manner, workshop, true)
}

/** `cardwright check`: the same without writing. */
export async function check(request: Request, manner: Manner): Promise<number> {
  if (request.options.json) keepStdoutClean()
  return runOnce(request, manner, openWorkshop(request), false)
}

async function runOnce(request: Request, manner: Manner, workshop: Workshop, write: boolean): Promise<number> {
  const { json, types } = request.options
  const models = workshop.models()
  const checker = types === false ? undefined : createTypeChecker(workshop.root)
  const typeErrors = checker?.check(models.map(({ file }) => file))
  const outcomes = buildAll(models, workshop, write)
  if (!json) printOutcomes(outcomes, workshop, manner)
  const wrong = typeErrors ? newTypeErrors(await typeErrors, outcomes) : undefined
  if (json)
    process.stdout.write(`${JSON.stringify(jsonReport(request.command, outcomes, wrong, workshop.root), null, 2)}\n`)
  else {
    printTypeErrors(wrong ?? [], manner)
    process.stdout.write(`${write ? 'built' : 'checked'} in ${(performance.now() / 1000).toFixed(2)} s\n`)
  }
  return hasErrors([...outcomes.flatMap(findingsOf), ...(wrong ?? [])]) ? EXIT.findings : EXIT.good
}

/** @throws UsageError where none of the files is a model */
export function buildAll(models: readonly ModelFile[], workshop: Workshop, write: boolean): Outcome[] {
  const progress = createProgress(process.stderr)
  const outcomes = models.flatMap((file) => buildModel(file, workshop, progress, write) ?? [])
  progress.clear()
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

/** The compiler's errors, less those at a line that loading has already complained of. */
export function newTypeErrors(findings: readonly Finding[], outcomes: readonly Outcome[]): Finding[] {
  const told = new Set(outcomes.flatMap(findingsOf).map(lineOf))
  return findings.filter((finding) => !told.has(lineOf(finding)))
}

function lineOf({ site }: Finding): string {
  return site ? `${site.file}:${site.line}` : ''
}
