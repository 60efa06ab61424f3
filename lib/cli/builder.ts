import { join } from 'node:path'
import { compileModel } from './compile'
import { problemOf } from './problem'
import type { Progress } from './progress'
import type { ModelFile } from './project'
import { hasErrors, type Outcome } from './report'
import type { Workshop } from './workshop'
import { writeBuild } from './write'

/**
 * Takes one model from its file to its findings and, with `write`, to its output folder. A model with an error is not
 * written at all. Undefined for a file that is no model.
 */
export function buildModel(
  file: ModelFile,
  workshop: Workshop,
  progress: Progress,
  write: boolean,
): Outcome | undefined {
  const folder = join(workshop.out, file.name)
  const outcome = { name: file.name, file: file.file, sheets: [], ...(write && { folder, written: 'kept' as const }) }
  const evaluated = workshop.evaluate(file)
  if (!evaluated) return undefined
  if ('problem' in evaluated) return { ...outcome, problems: [evaluated.problem] }
  const { model, atRatio } = evaluated
  try {
    const onProgress = (what: string, done: number, total: number) =>
      progress.step(`${file.name}: ${what}`, done, total)
    const { findings, sheets, files } = compileModel(model, { atRatio, onProgress, recall: workshop.recallOf(file) })
    const made = { ...outcome, model, sheets, problems: findings.map((finding) => ({ finding })) }
    if (!write || hasErrors(findings)) return made
    return { ...made, written: writeBuild(folder, files) }
  } catch (error) {
    return { ...outcome, model, problems: [problemOf(error)] }
  }
}
