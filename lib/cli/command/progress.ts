import { writeFileSync } from 'node:fs'
import { type Progress, progressOf } from '../../revision/progress'
import { builtManifest, builtModels, outFolder } from '../built'
import { readProjectLogbook } from '../logbook'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, printProblems } from '../print'
import { progressText } from '../progressText'
import { chooseModels, findProject } from '../project'
import { toleranceOption } from '../tolerance'
import { asked, UsageError } from '../usage'
import { unwritten } from '../write'

/** `cardwright progress`: how far the models have come, as text, JSON and a page. */
export async function progress({ operands, options }: Request, manner: Manner): Promise<number> {
  const project = findProject(process.cwd())
  const out = outFolder(project.root, options.out)
  const within = toleranceOption(options.within)
  const built = builtModels(out)
  const names = operands.length === 0 ? built : chooseModels(project, operands).map(({ name }) => name)
  if (names.length === 0) throw new UsageError('no model has been built', 'run cardwright build first')
  const { entries, shapes, findings } = asked(() => readProjectLogbook(project.root))
  const all = names.map((name) =>
    progressOf(builtManifest(out, name), entries, { shapes, ...(within !== undefined && { within }) }),
  )
  const problems = findings.filter(({ severity }) => severity !== 'note').map((finding) => ({ finding }))
  if (problems.length > 0) process.stderr.write(printProblems(problems, manner))
  if (options.html !== undefined) writePage(options.html, all)
  process.stdout.write(
    options.json
      ? `${JSON.stringify({ command: 'progress', ok: true, models: all.map(progressJson), findings }, null, 2)}\n`
      : all.map(progressText).join('\n'),
  )
  return EXIT.good
}

function writePage(file: string, all: readonly Progress[]): void {
  const { progressPage } = require('../../view/progressPage') as typeof import('../../view/progressPage')
  try {
    writeFileSync(file, progressPage(all))
  } catch (error) {
    throw unwritten(file, error, 'name a file where you may write one with --html')
  }
}

/** The same facts for programs, without the geometry that stands in the manifest. */
function progressJson({ pieces, ...progress }: Progress): Record<string, unknown> {
  return {
    ...progress,
    pieces: pieces.map(({ piece, needed, done, spare, scrapped, cut }) => {
      const { mark, assembly, stock } = piece
      return { mark, assembly, stock, needed, ...done, spare, scrapped, mm: cut }
    }),
  }
}
