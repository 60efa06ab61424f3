import { type Load, loadsOn } from '../../fit/loads'
import { GLUE, type Mass, type ModelMass, massOf } from '../../fit/mass'
import type { Finding } from '../../finding/finding'
import type { Model } from '../../model/model'
import type { Support } from '../../model/relation'
import { keepStdoutClean } from '../console'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, printProblems } from '../print'
import type { Problem } from '../problem'
import { openWorkshop } from '../workshop'

/** `cardwright mass`: what the model and its assemblies weigh, where they balance and what its supports carry. */
export async function mass(request: Request, manner: Manner): Promise<number> {
  const { json } = request.options
  if (json) keepStdoutClean()
  const workshop = openWorkshop(request)
  const problems: Problem[] = []
  const weighed: Weighed[] = []
  for (const file of workshop.models()) {
    const evaluated = workshop.evaluate(file)
    if (!evaluated) continue
    if ('problem' in evaluated) problems.push(evaluated.problem)
    else weighed.push(weigh(evaluated.model))
  }
  problems.push(...weighed.flatMap(({ findings }) => findings.map((finding): Problem => ({ finding }))))
  if (json) {
    const models = weighed.map(({ model, mass: whole, loads }) => ({ name: model.name, glue: GLUE, ...whole, loads }))
    const findings = problems.map(({ finding }) => finding)
    process.stdout.write(`${JSON.stringify({ command: 'mass', ok: problems.length === 0, models, findings }, null, 2)}\n`)
  } else {
    process.stderr.write(problems.length > 0 ? printProblems(problems, manner) : '')
    process.stdout.write(weighed.map(textOf).join(''))
  }
  return problems.length > 0 ? EXIT.findings : EXIT.good
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
