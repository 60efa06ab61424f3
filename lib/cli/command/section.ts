import { cutSolids } from '../../fit/section'
import type { Solid } from '../../fit/solid'
import { drawSection } from '../../sheet/sectionDrawing'
import { svgOf } from '../../sheet/svg'
import { writeDrawing } from '../drawings'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, plural } from '../print'
import { standModel } from '../standing'
import { UsageError } from '../usage'
import { placeOf } from '../where'
import { openWorkshop } from '../workshop'

/** `cardwright section`: what a cut through the built model shows. */
export async function section(request: Request, manner: Manner): Promise<number> {
  const { at, enlarge, file } = request.options
  if (at === undefined) throw new UsageError('section needs a place', 'write it like --at HF:12, --at x=123mm or --at x=7.4m')
  const workshop = openWorkshop(request)
  const standing = standModel(workshop, request, manner)
  if (!standing) return EXIT.findings
  const { model, pieces, solids } = standing
  const { plane, name } = placeOf(at, pieces, model.scale.ratio)
  const cuts = cutSolids(solids, plane)
  if (cuts.length === 0) throw new UsageError(`--at ${at}: no piece is cut there`, `take a place within the model: ${reachOf(solids)}`)
  const stockOf = new Map(
    pieces.map(({ mark, stock, plies }) => [mark, { id: stock, title: model.stocks.get(stock)!.title, plies }]),
  )
  const drawing = drawSection({
    title: `${model.title} ${model.scale.name}`,
    where: `section at ${name}`,
    cuts,
    stockOf,
    enlarged: enlarge,
  })
  const wrote = writeDrawing(workshop, model.name, file, `section-${name.replace(/[^A-Za-z0-9.]+/g, '-')}.svg`, svgOf(drawing))
  process.stdout.write(`${wrote}: ${plural(cuts.length, 'piece')} cut\n`)
  return EXIT.good
}

/** `x from 2.1 to 284.0 mm, y from …`, for whoever has cut beside the model. */
function reachOf(solids: readonly Solid[]): string {
  const reach = ['x', 'y', 'z'].map((axis, k) => {
    const least = Math.min(...solids.map(({ bounds }) => bounds.min[k]!))
    const most = Math.max(...solids.map(({ bounds }) => bounds.max[k]!))
    return `${axis} from ${least.toFixed(1)} to ${most.toFixed(1)} mm`
  })
  return reach.join(', ')
}
