import { massOf } from '../../fit/mass'
import { byMark } from '../../fit/standAll'
import type { Model } from '../../model/model'
import { buildSteps, inBuildOrder } from '../../sheet/buildSteps'
import type { Drawing } from '../../sheet/drawing'
import { drawExploded } from '../../sheet/explodedView'
import { svgOf } from '../../sheet/svg'
import { drawThreeView } from '../../sheet/threeView'
import { writeDrawing } from '../drawings'
import { EXIT } from '../options'
import type { Request } from '../parse'
import type { Manner } from '../print'
import { type Standing, standModel } from '../standing'
import { openWorkshop } from '../workshop'

/** `cardwright views`: the built model, or one assembly of it, in three views, and taken apart in the order it is built. */
export async function views(request: Request, manner: Manner): Promise<number> {
  const { assembly, enlarge, file, exploded } = request.options
  const workshop = openWorkshop(request)
  const stood = standModel(workshop, request, manner)
  if (!stood) return EXIT.findings
  const { model, solids } = stood
  const { drawing, name } = exploded ? apart(stood, assembly) : threeView(stood, assembly, enlarge)
  const own = `${name}${assembly === undefined ? '' : `-${assembly.replaceAll('/', '-')}`}.svg`
  process.stdout.write(`${writeDrawing(workshop, model.name, file, own, svgOf(drawing))}: ${solids.length} pieces\n`)
  return EXIT.good
}

interface Named {
  readonly drawing: Drawing
  /** What its file is called. */
  readonly name: string
}

function apart({ model, pieces, solids }: Standing, assembly = ''): Named {
  const steps = buildSteps(assembly, inBuildOrder(pieces, model.families), byMark(solids))
  return { name: 'exploded', drawing: drawExploded({ ...titles(model, assembly), steps, breadth: 160 }) }
}

function threeView({ model, pieces, solids }: Standing, assembly: string | undefined, enlarged: number): Named {
  const standing = byMark(solids)
  const { at: centre } = massOf({ ...model, pieces }, ({ mark }) => standing.get(mark) ?? [])
  const input = { ...titles(model, assembly ?? ''), solids, ratio: model.scale.ratio, enlarged, ...(centre && { centre }) }
  return { name: 'views', drawing: drawThreeView(input) }
}

function titles({ title, scale }: Model, assembly: string): { title: string; what: string } {
  return { title: `${title} ${scale.name}`, what: assembly || 'whole model' }
}
