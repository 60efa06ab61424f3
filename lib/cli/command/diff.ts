import { compareText } from '../../finding/finding'
import { suggest } from '../../finding/nearest'
import { type Changes, compareManifests, isChanged } from '../../revision/changes'
import { type Builds, namedBuilds, workingBuilds } from '../revisions'
import { keepStdoutClean } from '../console'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { UsageError } from '../usage'
import { openWorkshop } from '../workshop'

/** `cardwright diff [A] [B]`: what changed, model by model. */
export async function diff(request: Request): Promise<number> {
  const { operands, options } = request
  if (options.json && options.markdown) {
    throw new UsageError('--json and --markdown are two forms of one answer', 'give one of them')
  }
  if (options.json) keepStdoutClean()
  const workshop = openWorkshop({ ...request, operands: [] })
  const [first = 'HEAD', second] = operands
  const before = namedBuilds(first, request, workshop)
  const after = second === undefined ? workingBuilds(workshop) : namedBuilds(second, request, workshop)
  let models: Changes[]
  try {
    models = compareBuilds(before, after, options.model)
  } finally {
    before.close()
    after.close()
  }
  const changed = models.filter(isChanged)
  const heads = [before.label, after.label] as const
  if (options.svg !== undefined) {
    const { writeOverlays } = require('../overlays') as typeof import('../overlays')
    writeOverlays(options.svg, models, heads)
  }
  process.stdout.write(answer(request, models, heads))
  return changed.length > 0 && options['exit-code'] ? EXIT.findings : EXIT.good
}

/**
 * What changed of each model that either side has, or of those named, by name.
 *
 * @throws UsageError for a model that neither side has, and for a build that cannot be read or made
 */
export function compareBuilds(before: Builds, after: Builds, wanted: readonly string[] = []): Changes[] {
  if (wanted.length === 0 && before.single && after.single) {
    return [compareManifests(before.read(before.names[0]!), after.read(after.names[0]!))]
  }
  const named = before.single ? before.names : after.single ? after.names : [...before.names, ...after.names]
  const names = [...new Set(named)].toSorted(compareText)
  for (const name of wanted) {
    if (names.includes(name)) continue
    throw new UsageError(`neither ${before.label} nor ${after.label} has a model "${name}"`, suggest(name, names))
  }
  return names.flatMap((name) => {
    if (wanted.length > 0 && !wanted.includes(name)) return []
    const [old, now] = [before.read(name), after.read(name)]
    return old || now ? [compareManifests(old, now)] : []
  })
}

function answer({ options }: Request, models: readonly Changes[], [before, after]: readonly [string, string]): string {
  if (options.json) {
    const { diffJson } = require('../diffJson') as typeof import('../diffJson')
    const document = { command: 'diff', before, after, changed: models.some(isChanged), models: models.map(diffJson) }
    return `${JSON.stringify(document, null, 2)}\n`
  }
  if (options.markdown) {
    const { diffMarkdown } = require('../diffMarkdown') as typeof import('../diffMarkdown')
    return [`What changed from ${before} to ${after}.`, ...models.map(diffMarkdown)].join('\n\n') + '\n'
  }
  const { diffText } = require('../diffWords') as typeof import('../diffWords')
  return [`${before} against ${after}`, ...models.map(diffText)].join('\n\n') + '\n'
}
