import { isJig } from '../fit/jig'
import { isRigid, placeFindings } from '../fit/place'
import { posesOf, type Solid } from '../fit/solid'
import { standAll } from '../fit/standAll'
import type { Finding } from '../finding/finding'
import { suggest } from '../finding/nearest'
import { isWithin } from '../model/assemblyPath'
import type { Model } from '../model/model'
import type { Piece } from '../model/piece'
import type { Request } from './parse'
import { type Manner, printProblems } from './print'
import { UsageError } from './usage'
import type { Workshop } from './workshop'

/** A model as it stands, for the commands that draw or export it. */
export interface Standing {
  readonly model: Model
  /** Pieces that were asked for and have a place, in the order of marks. */
  readonly pieces: readonly Piece[]
  readonly solids: readonly Solid[]
  /** What keeps pieces from standing. */
  readonly findings: readonly Finding[]
}

/**
 * The one model asked for, stood up as it is finished, without its jigs; of it one assembly, where that is named.
 *
 * @throws UsageError where several models are there and none is named, for an assembly that there is not, and where nothing
 * has a place
 */
export function standModel(workshop: Workshop, { options, command }: Request, manner: Manner): Standing | undefined {
  const models = workshop.models()
  const evaluated = models.flatMap((file) => {
    const found = workshop.evaluate(file)
    return found ? [found] : []
  })
  if (evaluated.length !== 1) {
    const names = models.map(({ name }) => name).join(', ')
    throw new UsageError(`cardwright ${command} takes one model, there are ${evaluated.length}`, `name one of: ${names}`)
  }
  const [one] = evaluated as [(typeof evaluated)[number]]
  if ('problem' in one) {
    process.stderr.write(printProblems([one.problem], manner))
    return undefined
  }
  return standingOf(one.model, options.assembly)
}

function standingOf(model: Model, assembly: string | undefined): Standing {
  const asked = assembly === undefined ? finished(model) : below(model, assembly)
  const placed = asked.filter((piece) => posesOf(piece).length > 0 && posesOf(piece).every(isRigid))
  const { solids, findings: unmade } = standAll(placed, model.stocks)
  const findings = [...placeFindings(asked), ...unmade]
  if (solids.length > 0) return { model, pieces: placed, solids, findings }
  throw new UsageError(
    `none of the ${asked.length} pieces of ${assembly ?? model.title} has a place in the model`,
    'say where they stand with .place(…)',
  )
}

/** The model when its jigs are gone; the jigs themselves where there is nothing else. */
function finished({ pieces }: Model): readonly Piece[] {
  const left = pieces.filter((piece) => !isJig(piece))
  return left.length > 0 ? left : pieces
}

function below(model: Model, assembly: string): Piece[] {
  if (!model.assemblies.includes(assembly)) {
    throw new UsageError(`there is no assembly "${assembly}" in ${model.title}`, suggest(assembly, model.assemblies))
  }
  return model.pieces.filter((piece) => isWithin(piece.assembly, assembly))
}
