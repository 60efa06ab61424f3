import { existsSync, readdirSync, readFileSync, statSync, symlinkSync } from 'node:fs'
import { dirname, join, relative, resolve } from 'node:path'
import { compareText, type Finding } from '../finding/finding'
import { type Manifest, manifestOf } from '../revision/manifest'
import { readManifest } from '../revision/readManifest'
import { checkOut, filesAt, findRevision, type Revision, textAtRevision } from './git'
import type { Request } from './parse'
import type { ModelFile } from './project'
import { asked, UsageError } from './usage'
import { openWorkshop, type Workshop, within } from './workshop'

/** One side of a comparison: builds of some models, read or made when they are asked for. */
export interface Builds {
  /** `last commit (3f2a1bc)`, `working tree`, or the folder named. */
  readonly label: string
  /** The same for a sheet, where there is little room: `3f2a1bc`. */
  readonly short: string
  /** Of models, sorted; some may turn out to be files that models share. */
  readonly names: readonly string[]
  /** Whether it was one model that was named, not a place where all of them are. */
  readonly single: boolean
  /** @throws UsageError for a manifest that cannot be read and for source that does not build */
  read(name: string): Manifest | undefined
  /** Removes what had to be put on disk. */
  close(): void
}

/** The models as their source makes them now, without a look at their sheets. */
export function workingBuilds(workshop: Workshop): Builds {
  const files = new Map(workshop.models().map((file) => [file.name, file]))
  return {
    label: 'working tree',
    short: 'working tree',
    names: [...files.keys()],
    single: false,
    read: (name) => {
      const file = files.get(name)
      return file && evaluated(file, workshop, workshop.root, 'the working tree')
    },
    close() {},
  }
}

/**
 * What the author calls A or B: an output folder, a manifest, or a git revision. A folder or file of that name comes
 * before a revision. `HEAD` is the last commit.
 *
 * @throws UsageError for what is none of these
 */
export function namedBuilds(name: string, request: Request, workshop: Workshop): Builds {
  const path = resolve(name)
  const kind = statSync(path, { throwIfNoEntry: false })
  if (kind?.isFile()) return fileBuilds([path], name, true)
  const found = kind?.isDirectory() ? manifestsBelow(path) : undefined
  if (found && found.files.length > 0) return fileBuilds(found.files, name, found.single)
  try {
    return revisionBuilds(findRevision(workshop.root, name), request, workshop)
  } catch (error) {
    if (!found || !(error instanceof UsageError) || !error.message.startsWith('there is no revision')) throw error
    throw new UsageError(`there is no manifest.json in ${name} or the folders in it`, 'build the models there first')
  }
}

function manifestsBelow(folder: string): { files: string[]; single: boolean } {
  const own = join(folder, MANIFEST)
  if (existsSync(own)) return { files: [own], single: true }
  const files = readdirSync(folder).map((entry) => join(folder, entry, MANIFEST))
  return { files: files.filter((file) => existsSync(file)), single: false }
}

function fileBuilds(files: readonly string[], name: string, single: boolean): Builds {
  const manifests = new Map(
    files.map((file) => {
      const manifest = asked(() => readManifest(readFileSync(file, 'utf8'), relative(process.cwd(), file) || file))
      return [manifest.model, manifest]
    }),
  )
  return {
    label: name,
    short: name,
    names: [...manifests.keys()].toSorted(compareText),
    single,
    read: (model) => manifests.get(model),
    close() {},
  }
}

/** Manifests that are committed are taken as they are; models without one are made from their source. */
function revisionBuilds(revision: Revision, request: Request, workshop: Workshop): Builds {
  const files = filesAt(revision)
  const out = within(workshop.root, workshop.out)
  const committed = new Map(
    files.flatMap((path) => {
      const name = path.startsWith(`${out}/`) ? /^([^/]+)\/manifest\.json$/.exec(path.slice(out.length + 1))?.[1] : undefined
      return name === undefined ? [] : [[name, path] as const]
    }),
  )
  const sources = new Map(files.flatMap((path) => sourceOf(path) ?? []).map((source) => [source.name, source]))
  const name = revision.name === 'HEAD' ? 'last commit' : revision.name
  const label = name === revision.short ? name : `${name} (${revision.short})`
  let made: ReturnType<typeof openRevision> | undefined
  return {
    label,
    short: revision.short,
    names: [...sources.keys()].toSorted(compareText),
    single: false,
    read(name) {
      const path = committed.get(name)
      if (path !== undefined) return asked(() => readManifest(textAtRevision(revision, path), `${revision.name}:${path}`))
      const source = sources.get(name)
      if (!source) return undefined
      made ??= openRevision(revision, files.filter((file) => !file.startsWith(`${out}/`)), request, workshop)
      const { root } = made.workshop
      return evaluated({ ...source, file: join(root, source.file) }, made.workshop, root, `revision ${label}`)
    },
    close: () => made?.remove(),
  }
}

function sourceOf(path: string): ModelFile | undefined {
  const [, folder, single] = /^parts\/(?:([^/]+)\/index|([^/.][^/]*)(?<!\.d|\.test))\.ts$/.exec(path) ?? []
  const name = folder ?? single
  return name === undefined ? undefined : { name, file: path, maybe: folder === undefined }
}

/** The revision's source on disk, with the packages that are installed now, and a workshop for it. */
function openRevision(revision: Revision, files: readonly string[], request: Request, { root }: Workshop) {
  const { folder, remove } = checkOut(revision, files)
  const packages = packagesFor(root)
  if (packages !== undefined) symlinkSync(packages, join(folder, 'node_modules'), 'junction')
  return { workshop: openWorkshop(request, folder), remove }
}

function packagesFor(root: string): string | undefined {
  for (let folder = root; ; folder = dirname(folder)) {
    if (existsSync(join(folder, 'node_modules'))) return join(folder, 'node_modules')
    if (folder === dirname(folder)) return undefined
  }
}

const MANIFEST = 'manifest.json'

/** Pieces are what is compared: neither checked nor laid out, but all of them have to be there. */
function evaluated(file: ModelFile, workshop: Workshop, root: string, what: string): Manifest | undefined {
  const result = workshop.evaluate(file)
  if (!result) return undefined
  const findings = 'problem' in result ? [result.problem.finding] : result.model.findings
  const errors = findings.filter(({ severity }) => severity === 'error')
  if (errors.length > 0 || 'problem' in result) throw doesNotBuild(file, errors, root, what)
  return manifestOf(result.model, [])
}

function doesNotBuild({ name }: ModelFile, errors: readonly Finding[], root: string, what: string): UsageError {
  const [first] = errors
  const { site, mark, text, remedy } = first!
  const place = site ? `${within(root, site.file)}:${site.line}:${site.column}: ` : ''
  const more = errors.length > 1 ? ` (and ${errors.length - 1} more)` : ''
  return new UsageError(`${name} of ${what} does not build: ${place}${mark ? `${mark}: ` : ''}${text}${more}`, remedy)
}
