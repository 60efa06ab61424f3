import { existsSync, type FSWatcher, readdirSync, watch } from 'node:fs'
import { dirname, join } from 'node:path'
import { buildAll, newTypeErrors, printOutcomes, printTypeErrors } from './builds'
import type { Request } from './parse'
import { type Manner, printError } from './print'
import type { ModelFile } from './project'
import { findingsOf, hasErrors, jsonReport, type Outcome } from './report'
import { createTypeChecker } from './typecheck'
import { UsageError } from './usage'
import type { Workshop } from './workshop'

/**
 * Builds, then builds again what a saved file touches, in this process, with everything else still loaded. Errors are
 * printed and end nothing. Types are checked after each build, and told when they are known unless a newer build has
 * begun by then. Never returns: the user ends it.
 *
 * @param onBuilt what was built, each time, first all of it
 */
export function watchModels(
  workshop: Workshop,
  request: Request,
  manner: Manner,
  onBuilt: (outcomes: readonly Outcome[]) => void = () => {},
): Promise<never> {
  const checker = request.options.types === false ? undefined : createTypeChecker(workshop)
  const results = new Map<string, Outcome>()
  let generation = 0

  const rebuild = (models: readonly ModelFile[]) => {
    const mine = ++generation
    const start = performance.now()
    const outcomes = buildAll(models, workshop, true)
    for (const outcome of outcomes) results.set(outcome.file, outcome)
    const seconds = ((performance.now() - start) / 1000).toFixed(2)
    if (request.options.json) {
      process.stdout.write(`${JSON.stringify(jsonReport('build', outcomes, undefined, workshop.root))}\n`)
    } else {
      printOutcomes(outcomes, workshop, manner)
      process.stdout.write(`built in ${seconds} s, waiting for changes\n`)
    }
    onBuilt(outcomes)
    void checker?.check(models.map(({ file }) => file)).then((findings) => {
      if (mine === generation) printTypeErrors(newTypeErrors(findings, outcomes), manner)
    })
  }

  // Before the first build: a save while it runs, or the moment it is told, must not be missed.
  const watching = watchFolders(
    () => foldersOf(workshop, results),
    (changed) => {
      try {
        const touched = modelsTouched(changed, workshop, results)
        if (touched.length > 0) rebuild(touched)
      } catch (error) {
        // A model that was renamed or removed under way; the next save may bring it back.
        if (!(error instanceof UsageError)) throw error
        process.stderr.write(printError(error.message, error.remedy, manner))
      }
    },
  )
  try {
    rebuild(workshop.models())
    watching.follow()
  } catch (error) {
    watching.close()
    throw error
  }
  return new Promise(() => {})
}

/** Forgets what has changed and says which models must be built again. */
function modelsTouched(
  changed: ReadonlySet<string>,
  { loader, models }: Workshop,
  results: ReadonlyMap<string, Outcome>,
): ModelFile[] {
  const all = models()
  const known = new Set(all.flatMap(({ file }) => [...loader.filesOf(file)]))
  // A file that nobody imports may be a table that somebody reads: then all is read again.
  const isSource = (file: string) => known.has(file) || file.endsWith('.ts')
  if (![...changed].every(isSource)) {
    loader.forget(known)
    return all
  }
  loader.forget(changed)
  return all.filter(({ file }) => {
    const outcome = results.get(file)
    // A new file may be the one whose absence was the error.
    const failed = !outcome || hasErrors(findingsOf(outcome))
    return failed || [...loader.filesOf(file)].some((path) => changed.has(path))
  })
}

/** `parts` with all below it, and wherever else the models' files lie. */
function foldersOf({ root, loader }: Workshop, results: ReadonlyMap<string, Outcome>): Set<string> {
  const folders = new Set<string>()
  const add = (folder: string) => {
    if (!existsSync(folder)) return
    folders.add(folder)
    for (const entry of readdirSync(folder, { withFileTypes: true })) {
      if (entry.isDirectory() && !isIdle(entry.name)) add(join(folder, entry.name))
    }
  }
  add(join(root, 'parts'))
  for (const file of results.keys()) for (const path of loader.filesOf(file)) folders.add(dirname(path))
  return folders
}

/** Editors save in several steps; a change counts once this long has passed without another, ms. */
const SETTLE = 30

/** Watches the folders of now; `follow` those of later. */
function watchFolders(
  folders: () => Set<string>,
  onChange: (changed: ReadonlySet<string>) => void,
): { follow: () => void; close: () => void } {
  const watchers = new Map<string, FSWatcher>()
  let changed = new Set<string>()
  let timer: NodeJS.Timeout | undefined

  const settle = () => {
    const now = changed
    changed = new Set()
    onChange(now)
    follow()
  }
  const follow = () => {
    const wanted = folders()
    for (const [folder, watcher] of watchers) {
      if (wanted.has(folder)) continue
      watcher.close()
      watchers.delete(folder)
    }
    for (const folder of wanted) {
      if (watchers.has(folder) || !existsSync(folder)) continue
      const watcher = watch(folder, (_event, name) => {
        if (name === null || isIdle(name)) return
        changed.add(join(folder, name))
        clearTimeout(timer)
        timer = setTimeout(settle, SETTLE)
      })
      watcher.on('error', () => watchers.delete(folder))
      watchers.set(folder, watcher)
    }
  }
  follow()
  return {
    follow,
    close() {
      clearTimeout(timer)
      for (const watcher of watchers.values()) watcher.close()
    },
  }
}

/** Hidden files and editors' backups. */
function isIdle(name: string): boolean {
  return name.startsWith('.') || name.endsWith('~') || name === 'node_modules'
}
