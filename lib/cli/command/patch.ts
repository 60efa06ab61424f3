import { join } from 'node:path'
import { compareManifests } from '../../revision/changes'
import { manifestOf } from '../../revision/manifest'
import { type Patch, patchOf } from '../../revision/patch'
import type { Model } from '../../model/model'
import { compileModel } from '../compile'
import { requireOneModel } from '../offcuts'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, printProblems } from '../print'
import { problemOf } from '../problem'
import { createProgress, type Progress } from '../progress'
import type { ModelFile } from '../project'
import { factsOf, findingsOf, hasErrors, jsonReport, type Outcome, summary } from '../report'
import { type Builds, namedBuilds } from '../revisions'
import { UsageError } from '../usage'
import type { Workshop } from '../workshop'
import { writeBuild } from '../write'

/** `cardwright build --since A`: sheets of what has to be cut again, in a folder of their own beside the whole ones. */
export async function buildPatches(request: Request, manner: Manner, workshop: Workshop): Promise<number> {
  const { since = '', watch, json } = request.options
  if (watch) throw new UsageError('--since and --watch do not go together', 'give one of them')
  const before = namedBuilds(since, request, workshop)
  const progress = createProgress(process.stderr)
  let outcomes: Outcome[]
  try {
    const models = workshop.models()
    requireOneModel(workshop.offcuts, models)
    outcomes = models.flatMap((file) => buildPatch(file, before, workshop, progress) ?? [])
  } finally {
    progress.clear()
    before.close()
  }
  if (json) process.stdout.write(`${JSON.stringify(jsonReport('build', outcomes, undefined, workshop.root), null, 2)}\n`)
  else {
    for (const outcome of outcomes) {
      if (outcome.problems.length > 0) process.stderr.write(`${printProblems(outcome.problems, manner)}\n`)
      process.stdout.write(summary(outcome, workshop.root))
    }
  }
  return hasErrors(outcomes.flatMap(findingsOf)) ? EXIT.findings : EXIT.good
}

function buildPatch(file: ModelFile, before: Builds, workshop: Workshop, progress: Progress): Outcome | undefined {
  const folder = join(workshop.out, file.name, PATCH)
  const outcome = { name: file.name, file: file.file, sheets: [], folder, written: 'kept' as const }
  const evaluated = workshop.evaluate(file)
  if (!evaluated) return undefined
  if ('problem' in evaluated) return { ...outcome, problems: [evaluated.problem] }
  const { model, atRatio } = evaluated
  // What cannot be read of the earlier build is the command's failure, not the model's.
  const old = before.single ? before.read(before.names[0]!) : before.read(file.name)
  const patch = patchOf(model, compareManifests(old, manifestOf(model, [])), before.short)
  const facts = factsOf(titled(model, patch))
  try {
    const { effort, formats, dpi, printer, offcuts } = workshop
    const onProgress = (what: string, done: number, total: number) => progress.step(`${file.name}: ${what}`, done, total)
    const { findings, sheets, files } = compileModel(model, {
      atRatio,
      effort,
      formats,
      dpi,
      onProgress,
      offcuts,
      patch,
      ...(printer && { printer }),
    })
    const problems = findings.map((finding) => ({ finding }))
    if (hasErrors(findings)) return { ...outcome, facts, problems }
    return { ...outcome, facts, sheets, problems, written: writeBuild(folder, files) }
  } catch (error) {
    return { ...outcome, facts, problems: [problemOf(error)] }
  }
}

/** Below a model's output folder, beside the sheets of the whole. */
const PATCH = 'patch'

function titled(model: Model, { pieces, says }: Patch): Model {
  return { ...model, title: `${model.title}, ${says}`, pieces }
}
