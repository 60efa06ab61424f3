import type { Finding } from '../../finding/finding'
import { fitFindings, prepareFit } from '../../fit/index'
import { keepStdoutClean } from '../console'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, countFindings, plural, printProblems } from '../print'
import type { Problem } from '../problem'
import { openWorkshop } from '../workshop'

/** `cardwright fit`: whether the finished model stands, before the first cut. */
export async function fit(request: Request, manner: Manner): Promise<number> {
  const { json } = request.options
  if (json) keepStdoutClean()
  const workshop = openWorkshop(request)
  const kernel = await prepareFit()
  const rows: { readonly name: string; readonly findings: readonly Finding[] }[] = []
  let bad = false
  for (const file of workshop.models()) {
    const evaluated = workshop.evaluate(file)
    if (!evaluated) continue
    const problems: readonly Problem[] =
      'problem' in evaluated
        ? [evaluated.problem]
        : fitFindings(evaluated.model, kernel).map((finding): Problem => ({ finding }))
    const findings = problems.map(({ finding }) => finding)
    bad ||= findings.some(({ severity }) => severity !== 'note')
    rows.push({ name: file.name, findings })
    if (json) continue
    process.stderr.write(problems.length > 0 ? printProblems(problems, manner) : '')
    const pieces = 'problem' in evaluated ? 0 : evaluated.model.pieces.reduce((sum, { copies }) => sum + copies, 0)
    process.stdout.write(`${file.name}: ${plural(pieces, 'piece')} stood up, ${countFindings(findings) || 'all of it fits'}\n`)
  }
  if (json) process.stdout.write(`${JSON.stringify({ command: 'fit', ok: !bad, models: rows }, null, 2)}\n`)
  return bad ? EXIT.findings : EXIT.good
}
