import { writeFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { parseLength } from '../lengthOption'
import { asked, builtManifest, builtModels, outFolder } from '../built'
import { readProjectLogbook } from '../logbook'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, printProblems } from '../print'
import { progressText } from '../progressText'
import { chooseModels, findProject } from '../project'
import { UsageError } from '../usage'
import { progressOf } from '../../revision/progress'

/** `cardwright progress`: how far the models have come, as text, JSON and a page. */
export async function progress({ operands, options }: Request, manner: Manner): Promise<number> {
  const project = findProject(process.cwd())
  const out = outFolder(project.root, options.out)
  const within = options.within === undefined ? undefined : parseLength('within', options.within)
  const built = builtModels(out)
  const names = operands.length === 0 ? built : chooseModels(project, operands).map(({ name }) => name)
  if (names.length === 0) throw new UsageError('no model has been built', 'run cardwright build first')
  const { entries, shapes, findings } = asked(() => readProjectLogbook(project.root))
  const all = names.map((name) =>
    progressOf(builtManifest(out, name), entries, { shapes, ...(within !== undefined && { within }) }),
  )
  const problems = findings.filter(({ severity }) => severity !== 'note').map((finding) => ({ finding }))
  if (problems.length > 0) process.stderr.write(printProblems(problems, manner))
  if (options.html !== undefined) {
    const { progressPage } = require('../../view/progressPage') as typeof import('../../view/progressPage')
    writePage(options.html, progressPage(all))
  }
  process.stdout.write(
    options.json
      ? `${JSON.stringify({ command: 'progress', ok: true, models: all.map(progressJson), findings }, null, 2)}\n`
      : all.map(progressText).join('\n'),
  )
  return EXIT.good
}
