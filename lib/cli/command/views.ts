import { massOf } from '../../fit/mass'
import { drawExploded } from '../../sheet/explodedView'
import { svgOf } from '../../sheet/svg'
import { drawThreeView } from '../../sheet/threeView'
import { buildSteps } from '../buildSteps'
import { writeDrawing } from '../drawings'
import { EXIT } from '../options'
import type { Request } from '../parse'
import type { Manner } from '../print'
import { standModel } from '../standing'
import { openWorkshop } from '../workshop'

/** `cardwright views`: the built model, or one assembly of it, in three views, and taken apart in the order it is built. */
export async function views(request: Request, manner: Manner): Promise<number> {
  const { assembly, enlarge, file, exploded } = request.options
  const workshop = openWorkshop(request)
  const standing = standModel(workshop, request, manner)
  if (!standing) return EXIT.findings
  const { model, pieces, solids } = standing
  const { at: centre } = massOf({ ...model, pieces })
  const title = `${model.title} ${model.scale.name}`
  const what = assembly ?? 'whole model'
  const name = `${exploded ? 'exploded' : 'views'}${assembly === undefined ? '' : `-${assembly.replaceAll('/', '-')}`}.svg`
  const drawing = exploded
    ? drawExploded({ title, what, steps: buildSteps(standing, assembly), breadth: 160 })
    : drawThreeView({
        title,
        what,
        solids,
        ratio: model.scale.ratio,
        ...(centre && { centre }),
        enlarged: enlarge,
      })
  process.stdout.write(`${writeDrawing(workshop, model.name, file, name, svgOf(drawing))}: ${solids.length} pieces\n`)
  return EXIT.good
}
