import { cutSolids } from '../../fit/section'
import { drawSection } from '../../sheet/sectionDrawing'
import { svgOf } from '../../sheet/svg'
import { writeDrawing } from '../drawings'
import { EXIT } from '../options'
import type { Request } from '../parse'
import type { Manner } from '../print'
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
  if (cuts.length === 0) throw new UsageError(`--at ${at}: no piece is cut there`, 'take a place within the model')
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
  process.stdout.write(`${wrote}: ${cuts.length} pieces are cut\n`)
  return EXIT.good
}
