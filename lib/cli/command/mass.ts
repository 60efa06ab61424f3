import { type Load, loadsOn } from '../../fit/loads'
import { GLUE, type Mass, type ModelMass, massOf } from '../../fit/mass'
import type { Finding } from '../../finding/finding'
import type { Model } from '../../model/model'
import type { Support } from '../../model/relation'
import { keepStdoutClean } from '../console'
import { evaluateAll, tell } from '../evaluated'
import type { Request } from '../parse'
import type { Manner } from '../print'
import type { Problem } from '../problem'
import { openWorkshop } from '../workshop'

/** `cardwright mass`: what the model and its assemblies weigh, where they balance and what its supports carry. */
export async function mass(request: Request, manner: Manner): Promise<number> {
  const { json } = request.options
  if (json) keepStdoutClean()
  const { made, problems } = evaluateAll(openWorkshop(request))
  const weighed = made.map(({ model }) => weigh(model))
  problems.push(...weighed.flatMap(({ findings }) => findings.map((finding): Problem => ({ finding }))))
  const data = () => weighed.map(({ model, mass: whole, loads }) => ({ name: model.name, glue: GLUE, ...whole, loads }))
  return tell({ command: 'mass', problems, data, text: () => weighed.map(textOf).join('') }, json, manner)
}

interface Weighed {
  readonly model: Model
  readonly mass: ModelMass
  readonly loads: readonly Load[]
  readonly findings: readonly Finding[]
}

function weigh(model: Model): Weighed {
  const whole = massOf(model)
  const supports = model.relations.filter((relation): relation is Support => relation.kind === 'support')
  if (!whole.at) return { model, mass: whole, loads: [], findings: [] }
  return { model, mass: whole, ...loadsOn(supports, whole.mass, whole.at) }
}

function textOf({ model, mass: whole, loads }: Weighed): string {
  const rows = [{ name: 'the whole model', ...whole }, ...whole.assemblies.map(({ assembly, ...rest }) => ({ name: `  ${assembly}`, ...rest }))]
  const wide = Math.max(...rows.map(({ name }) => name.length), ...loads.map(({ name }) => name.length + 2))
  const lines = rows.map(({ name, ...one }) => `${name.padEnd(wide)}  ${massText(one)}`)
  const carried = loads.map(({ name, load }) => `${`  ${name}`.padEnd(wide)}  ${load.toFixed(2).padStart(8)} g`)
  return [
    `${model.title}, ${model.scale.name}: mass, and centre of gravity aft, to starboard and up, mm`,
    ...lines,
    ...(carried.length > 0 ? ['supports', ...carried] : []),
    `glue between plies taken as ${GLUE.value} g/m², nominal (${GLUE.source})`,
    '',
  ].join('\n')
}

function massText({ mass: total, at, unplaced }: Mass): string {
  const place = at ? `  (${at.map((value) => (Math.abs(value) < 0.05 ? 0 : value).toFixed(1)).join(', ')})` : ''
  const without = unplaced > 0.005 ? `, ${unplaced.toFixed(2)} g of it without a place` : ''
  return `${total.toFixed(2).padStart(8)} g${place}${without}`
}
