import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join, relative, resolve } from 'node:path'
import { compareText } from '../finding/finding'
import { suggest } from '../finding/nearest'
import type { Manifest } from '../revision/manifest'
import { readManifest } from '../revision/readManifest'
import { asked, UsageError } from './usage'
import { finishBuilds } from './write'

/** The folder that `--out` means. */
export function outFolder(root: string, out: string): string {
  return out === 'out' ? join(root, 'out') : resolve(out)
}

/** The models that have been built into a folder, sorted. */
export function builtModels(out: string): string[] {
  if (!existsSync(out)) return []
  finishBuilds(out)
  return readdirSync(out)
    .filter((name) => existsSync(manifestFile(out, name)))
    .toSorted(compareText)
}

/**
 * The manifest of a model's last build.
 *
 * @throws UsageError where there is none, or it cannot be read
 */
export function builtManifest(out: string, model: string): Manifest {
  const file = manifestFile(out, model)
  const shown = relative(process.cwd(), file)
  const built = builtModels(out)
  if (!built.includes(model)) {
    throw new UsageError(
      `${model} has not been built: there is no ${shown}`,
      [...(built.length > 0 ? [suggest(model, built)] : []), 'run cardwright build first'].join('; or '),
    )
  }
  return asked(() => readManifest(readFileSync(file, 'utf8'), shown))
}

function manifestFile(out: string, model: string): string {
  return join(out, model, 'manifest.json')
}
