import type { Model } from '../../model/model'
import { fingerprints } from '../../revision/fingerprint'
import { impactOf } from '../../revision/impact'
import { type Manifest, manifestOf } from '../../revision/manifest'
import { figuresOf, readersOf } from '../../revision/reads'
import { builtManifest, builtModels } from '../built'
import { keepStdoutClean } from '../console'
import { type EvaluatedModel, evaluateAll, tell } from '../evaluated'
import { type AskedFigure, askedFigure, insteadOf, stirredBy, unknownFigure } from '../figure'
import { type ChangeReport, changeData, changeText, type Hanging, type ReadersReport, readersData, readersText } from '../impactText'
import { readProjectLogbook } from '../logbook'
import type { Request } from '../parse'
import type { Manner } from '../print'
import type { Problem } from '../problem'
import { findProject } from '../project'
import { toleranceOption } from '../tolerance'
import { asked, UsageError } from '../usage'
import { openWorkshop, type Workshop } from '../workshop'

/** `cardwright impact`: what hangs on a figure, and what another value of it would do to the pieces on the bench. */
export async function impact(request: Request, manner: Manner): Promise<number> {
  const { options } = request
  if (options.json) keepStdoutClean()
  const { models: names } = findProject(process.cwd())
  const isModel = (word: string) => names.some(({ name }) => name === word)
  const figures = request.operands.filter((word) => !isModel(word)).map(askedFigure)
  if (figures.length === 0) {
    throw new UsageError('cardwright impact needs a FIGURE', 'write it like cardwright impact span, or span=24.9m')
  }
  const within = toleranceOption(options.within)
  const workshop = openWorkshop({ ...request, operands: request.operands.filter(isModel) })
  const { made, problems } = evaluateAll(workshop)
  const concerned = made.filter(({ model }) => figures.every(({ name }) => hasFigure(model, name)))
  if (concerned.length === 0 && made.length > 0) throw nobodyHas(figures, made)
  const reports = concerned.flatMap((one) => {
    const report = reportOf(one, figures, workshop, within)
    if (!('problem' in report)) return [report]
    problems.push(report.problem)
    return []
  })
  const data = () => reports.map((report) => ('impact' in report ? changeData(report) : readersData(report)))
  const text = () => reports.map((report) => ('impact' in report ? changeText(report) : readersText(report))).join('\n')
  return tell({ command: 'impact', problems, data, text }, options.json, manner)
}

function reportOf(
  { file, model }: EvaluatedModel,
  figures: readonly AskedFigure[],
  workshop: Workshop,
  within: number | undefined,
): ReadersReport | ChangeReport | { problem: Problem } {
  const { out, root } = workshop
  // The last build knows the sheets; without one there is nothing to say of them.
  const built = builtModels(out).includes(file.name) ? builtManifest(out, file.name) : undefined
  const now = manifestOf(model, [], fingerprints(model.pieces))
  if (figures.every(({ how }) => how === undefined)) {
    return { model, built, figures: figures.map(({ name }) => ({ name, ...hangingOn(name, now, workshop, { file, model }) })) }
  }
  const changed = workshop.evaluate(file, insteadOf(figures, model))!
  if ('problem' in changed) return changed
  const { entries, shapes } = asked(() => readProjectLogbook(root))
  const then = manifestOf(changed.model, [], fingerprints(changed.model.pieces))
  return {
    model,
    changed: changed.model,
    figures: figures.filter(({ how }) => how !== undefined).map(({ name }) => name),
    impact: impactOf(now, then, { entries, shapes, ...(within !== undefined && { within }) }),
  }
}

/**
 * Pieces that read a figure, and those that come out otherwise when it is stirred: a number that the model's own
 * function worked out from it is in no piece's record.
 */
function hangingOn(name: string, now: Manifest, workshop: Workshop, { file, model }: EvaluatedModel): Omit<Hanging, 'name'> {
  const readers = new Set(readersOf(now, name).map(({ mark }) => mark))
  const stirred = workshop.evaluate(file, stirredBy(name, model))
  const prints = stirred && 'model' in stirred ? fingerprints(stirred.model.pieces) : undefined
  const pieces = now.pieces.filter(({ mark, fingerprint }) => readers.has(mark) || (prints && prints.get(mark) !== fingerprint))
  return { pieces, unread: pieces.filter(({ mark }) => !readers.has(mark)).length }
}

function hasFigure({ pieces, survey: { dimensions } }: Model, name: string): boolean {
  return figuresOf({ pieces, dimensions }).includes(name)
}

function nobodyHas(figures: readonly AskedFigure[], made: readonly EvaluatedModel[]): UsageError {
  const known = made.map(({ model: { pieces, survey } }) => figuresOf({ pieces, dimensions: survey.dimensions }))
  const stray = figures.find(({ name }) => !known.some((list) => list.includes(name)))
  if (stray) return unknownFigure(stray.name, known.flat())
  return new UsageError('no model has all of these figures', 'ask for those of one model at a time')
}
