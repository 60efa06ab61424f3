import { buildAll, newTypeErrors, printOutcomes, printTypeErrors } from '../builds'
import { keepStdoutClean } from '../console'
import { withGlued } from '../gluedCheck'
import { requireOneModel } from '../offcuts'
import { EXIT } from '../options'
import type { Request } from '../parse'
import type { Manner } from '../print'
import { findingsOf, hasErrors, jsonReport } from '../report'
import { createTypeChecker } from '../typecheck'
import { openWorkshop, type Workshop } from '../workshop'
import { finishBuilds } from '../write'

/** `cardwright build`: sheets first, then what the type checker, which has run beside, has to say. */
export async function build(request: Request, manner: Manner): Promise<number> {
  const { json, watch } = request.options
  if (json) keepStdoutClean()
  const workshop = openWorkshop(request)
  finishBuilds(workshop.out)
  if (request.options.since !== undefined) {
    const { buildPatches } = require('./patch') as typeof import('./patch')
    return buildPatches(request, manner, workshop)
  }
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
  requireOneModel(workshop.offcuts, models)
  const checker = types === false ? undefined : createTypeChecker(workshop)
  const typeErrors = checker?.check(models.map(({ file }) => file))
  const made = buildAll(models, workshop, write)
  const outcomes = write || request.options.scale !== undefined ? made : withGlued(made, models, workshop)
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
