import type { Finding } from '../../finding/finding'
import { inMm } from '../../craft/figure'
import { type MeasuredClearance, fitOf, prepareFit } from '../../fit/index'
import type { Kernel } from '../../fit/kernel'
import { columns } from '../columns'
import { keepStdoutClean } from '../console'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, countFindings, plural, printProblems } from '../print'
import type { Problem } from '../problem'
import { type Evaluated, openWorkshop } from '../workshop'

/** `cardwright fit`: whether the finished model stands, before the first cut. */
export async function fit(request: Request, manner: Manner): Promise<number> {
  const { json } = request.options
  if (json) keepStdoutClean()
  const workshop = openWorkshop(request)
  const kernel = await prepareFit()
  const rows: Row[] = []
  let bad = false
  for (const file of workshop.models()) {
    const evaluated = workshop.evaluate(file)
    if (!evaluated) continue
    const { problems, clearances } = lookAt(evaluated, kernel)
    const findings = problems.map(({ finding }) => finding)
    bad ||= findings.some(({ severity }) => severity !== 'note')
    rows.push({ name: file.name, findings, clearances: clearances.map(figures) })
    if (json) continue
    process.stderr.write(problems.length > 0 ? printProblems(problems, manner) : '')
    const pieces = 'problem' in evaluated ? 0 : evaluated.model.pieces.reduce((sum, { copies }) => sum + copies, 0)
    process.stdout.write(`${file.name}: ${plural(pieces, 'piece')} stood up, ${countFindings(findings) || 'all of it fits'}\n${tableOf(clearances)}`)
  }
  if (json) process.stdout.write(`${JSON.stringify({ command: 'fit', ok: !bad, models: rows }, null, 2)}\n`)
  return bad ? EXIT.findings : EXIT.good
}

function figures({ finding, ...rest }: MeasuredClearance): Row['clearances'][number] {
  return { ...rest, kept: finding === undefined && rest.nearest !== undefined }
}

interface Row {
  readonly name: string
  readonly findings: readonly Finding[]
  readonly clearances: readonly (Omit<MeasuredClearance, 'finding'> & { readonly kept: boolean })[]
}

/** What the evaluation has to say of places and of pieces that are named: `fit` cannot look at those. */
const OF_PLACES: ReadonlySet<string> = new Set(['not-in-model', 'more-places', 'base-outside', 'mirrored-centre', 'stringer-free'])

function lookAt(evaluated: Evaluated, kernel: Kernel): { problems: Problem[]; clearances: readonly MeasuredClearance[] } {
  if ('problem' in evaluated) return { problems: [evaluated.problem], clearances: [] }
  const { model } = evaluated
  const { findings, clearances } = fitOf(model, kernel)
  const missing = model.findings.filter(({ id }) => OF_PLACES.has(id))
  return { problems: [...missing, ...findings].map((finding): Problem => ({ finding })), clearances }
}

/** Declared clearances, asked and measured, a line each. */
function tableOf(clearances: readonly MeasuredClearance[]): string {
  if (clearances.length === 0) return ''
  const lines = clearances.map(({ name, least, most, nearest, beyond, finding }) => [
    name,
    most === undefined ? `${inMm(least)} or more` : `${least.toFixed(2)} to ${inMm(most)}`,
    nearest ? `${beyond ? 'over ' : ''}${inMm(nearest.gap)}` : '?',
    !nearest ? 'unknown' : finding ? 'not kept' : 'kept',
    nearest && !beyond ? `${nearest.a} from ${nearest.b}` : '',
  ])
  return columns([['clearance', 'asked', 'measured', '', 'between the nearest of both'], ...lines], [2])
}
