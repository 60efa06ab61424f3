import { compareManifests } from '../revision/changes'
import type { Manifest } from '../revision/manifest'
import { shapeWords } from '../revision/words'
import type { DocumentChanges } from '../view/document'
import { otherWords } from './diffWords'
import type { Request } from './parse'
import { namedBuilds } from './revisions'
import { UsageError } from './usage'
import type { Workshop } from './workshop'

/** What a build is compared with, by model. */
export interface Compared {
  readonly label: string
  /** Undefined for a model that was not there. */
  before(name: string): Manifest | undefined
}

/**
 * The revision that the page shows the changes since: the one asked for, or else the last commit, where there is one
 * that can be read. Read once, since a revision does not change.
 *
 * @throws UsageError for a revision asked for that is none
 */
export function comparedWith(request: Request, workshop: Workshop): Compared | undefined {
  const { since } = request.options
  try {
    const builds = namedBuilds(since ?? 'HEAD', request, workshop)
    const known = new Map<string, Manifest | undefined>()
    const before = (name: string) => {
      if (!known.has(name)) known.set(name, builds.read(name))
      return known.get(name)
    }
    for (const { name } of workshop.models()) before(name)
    builds.close()
    return { label: builds.label, before }
  } catch (error) {
    if (since !== undefined || !(error instanceof UsageError)) throw error
    return undefined
  }
}

/** What became of each piece since then. */
export function changesSince({ label, before }: Compared, manifest: Manifest): DocumentChanges {
  const changed = compareManifests(before(manifest.model), manifest).pieces.filter(({ kind }) => kind !== 'unchanged')
  return {
    since: label,
    pieces: changed
      .filter(({ kind }) => kind !== 'removed')
      .map((change) => {
        const words = [...otherWords(change), ...(change.deviation ? shapeWords(change.deviation) : [])]
        return { mark: change.mark, kind: change.kind, text: words.join('; ') }
      }),
    gone: changed.filter(({ kind }) => kind === 'removed').map(({ mark }) => mark),
  }
}
