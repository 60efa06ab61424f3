import type { Model } from '../model/model'
import { EXIT } from './options'
import { type Manner, printProblems } from './print'
import type { Problem } from './problem'
import type { ModelFile } from './project'
import type { Workshop } from './workshop'

/** A model that could be evaluated, with the file it comes from. */
export interface EvaluatedModel {
  readonly file: ModelFile
  readonly model: Model
}

/** The models asked for, and what kept others from being evaluated. */
export function evaluateAll(workshop: Workshop): { made: EvaluatedModel[]; problems: Problem[] } {
  const made: EvaluatedModel[] = []
  const problems: Problem[] = []
  for (const file of workshop.models()) {
    const result = workshop.evaluate(file)
    if (!result) continue
    if ('problem' in result) problems.push(result.problem)
    else made.push({ file, model: result.model })
  }
  return { made, problems }
}

/** What a command tells of models. */
export interface Told {
  readonly command: string
  readonly problems: readonly Problem[]
  /** Of each model, as JSON and as text; only what is asked for is made. */
  readonly data: () => readonly unknown[]
  readonly text: () => string
}

/** Prints it as one JSON document, or problems to standard error and the text to standard output; gives the exit code. */
export function tell({ command, problems, data, text }: Told, json: boolean | undefined, manner: Manner): number {
  const ok = problems.length === 0
  if (json) {
    const findings = problems.map(({ finding }) => finding)
    process.stdout.write(`${JSON.stringify({ command, ok, models: data(), findings }, null, 2)}\n`)
  } else {
    process.stderr.write(ok ? '' : printProblems(problems, manner))
    process.stdout.write(text())
  }
  return ok ? EXIT.good : EXIT.findings
}
