import { existsSync, readdirSync } from 'node:fs'
import { basename, dirname, join, resolve } from 'node:path'
import { compareText } from '../finding/finding'
import { suggest } from '../finding/nearest'
import { UsageError } from './usage'

/** The author's project: the nearest folder upwards with a package.json, and the models below its `parts`. */
export interface Project {
  readonly root: string
  /** Sorted by name. */
  readonly models: readonly ModelFile[]
}

export interface ModelFile {
  /** `sandpiper` for `parts/sandpiper/index.ts` or `parts/sandpiper.ts`. */
  readonly name: string
  readonly file: string
  /** A single file may also be something that models share; it counts as a model once it exports one. */
  readonly maybe: boolean
}

/**
 * @throws UsageError where there is no project, or no model in it
 */
export function findProject(from: string): Project {
  const root = upwards(from)
  if (root === undefined) {
    throw new UsageError(
      `no package.json in ${from} or above it`,
      'go to your project, or start one: cardwright new my-models',
    )
  }
  const parts = join(root, 'parts')
  const models = existsSync(parts) ? modelsIn(parts) : []
  if (models.length === 0) {
    throw new UsageError(
      `no models in ${parts}`,
      'a model is a folder there with an index.ts; cardwright new my-models makes one',
    )
  }
  return { root, models }
}

/**
 * The models named, or all of them. A path such as `parts/sandpiper/` will do for a name.
 *
 * @throws UsageError for a name that is not there, with the nearest
 */
export function chooseModels(project: Project, names: readonly string[]): ModelFile[] {
  if (names.length === 0) return [...project.models]
  return [...new Set(names.map(nameOf))].map((name) => {
    const model = project.models.find((candidate) => candidate.name === name)
    if (model) return { ...model, maybe: false }
    throw new UsageError(
      `there is no model "${name}"`,
      suggest(
        name,
        project.models.map((candidate) => candidate.name),
      ),
    )
  })
}

function upwards(from: string): string | undefined {
  for (let folder = resolve(from); ; folder = dirname(folder)) {
    if (existsSync(join(folder, 'package.json'))) return folder
    if (folder === dirname(folder)) return undefined
  }
}

function modelsIn(parts: string): ModelFile[] {
  const models: ModelFile[] = []
  for (const entry of readdirSync(parts, { withFileTypes: true })) {
    const path = join(parts, entry.name)
    if (entry.isDirectory() && existsSync(join(path, 'index.ts'))) {
      models.push({ name: entry.name, file: join(path, 'index.ts'), maybe: false })
    } else if (entry.isFile() && /^[^.].*(?<!\.d|\.test)\.ts$/.test(entry.name)) {
      models.push({ name: entry.name.slice(0, -'.ts'.length), file: path, maybe: true })
    }
  }
  models.sort((a, b) => compareText(a.name, b.name))
  const twice = models.find((model, i) => model.name === models[i + 1]?.name)
  if (twice) {
    throw new UsageError(
      `there are two models named "${twice.name}": parts/${twice.name}.ts and parts/${twice.name}/index.ts`,
      'rename one of them',
    )
  }
  return models
}

function nameOf(word: string): string {
  return basename(word.replace(/[\\/]+$/, '').replace(/[\\/]index\.ts$/, '')).replace(/\.ts$/, '')
}
