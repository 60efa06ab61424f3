import { existsSync } from 'node:fs'
import { join, relative } from 'node:path'
import type { Finding } from '../finding/finding'
import { buildInputs } from './cache/inputs'
import { NO_MEMORY } from './cache/memory'
import { fileDigest } from './cache/stands'
import type { SheetCount } from './compile'
import type { Failed } from './make'
import type { Progress } from './progress'
import type { ModelFile } from './project'
import type { ModelFacts, Outcome } from './report'
import type { Workshop } from './workshop'
import { digestsOf, type FileDigest, holdsBuild, writeBuild } from './write'

/**
 * Takes one model from its file to its findings and, with `write`, to its output folder. A model with an error is not
 * written at all. Undefined for a file that is no model.
 *
 * Where nothing that the result depends on has changed since it was last found, and the output folder is as it should
 * be, the model is not even loaded.
 */
export function buildModel(
  file: ModelFile,
  workshop: Workshop,
  progress: Progress,
  write: boolean,
): Outcome | undefined {
  const folder = join(workshop.out, file.name)
  const before = workshop.repack ? '' : fileDigest(join(folder, MANIFEST))
  const inputs = inputsOf(file, workshop, before)
  const memory = workshop.wantsModels ? NO_MEMORY : workshop.memory
  const known = memory.recall('build', inputs) as Result | typeof NO_MODEL | undefined
  if (known === NO_MODEL) return undefined
  if (known && (!write || holdsBuild(folder, known.files))) {
    return outcomeOf(file, folder, known, write ? 'unchanged' : undefined)
  }

  const { makeModel } = require('./make') as typeof import('./make')
  const made = makeModel(file, workshop, progress)
  if (made === undefined) {
    memory.remember('build', inputs, workshop.loader.sourceOf(file.file), NO_MODEL)
    return undefined
  }
  if ('problems' in made) return failed(file, folder, made, write)
  // At every save of a watch it would take longer than it ever gives back.
  if (!workshop.options.watch) workshop.recallOf(file)?.save()
  const { model, facts, sheets, findings, files, settled } = made
  try {
    const written = write ? writeBuild(folder, files) : undefined
    const digests = write && memory === NO_MEMORY ? [] : digestsOf(files)
    const result: Result = { facts, sheets, findings, files: digests }
    // The next build starts from the manifest that this one has written.
    const next = written === 'written' && !workshop.repack ? digestOf(MANIFEST, digests) : before
    if (memory !== NO_MEMORY && (next === before || settled())) {
      memory.remember('build', inputsOf(file, workshop, next), workshop.loader.sourceOf(file.file), result)
    }
    return { ...outcomeOf(file, folder, result, written), model }
  } catch (error) {
    const { problemOf } = require('./problem') as typeof import('./problem')
    return failed(file, folder, { model, facts, problems: [problemOf(error)] }, write)
  }
}

/** What is remembered of a model without errors. */
interface Result {
  readonly facts: ModelFacts
  readonly sheets: readonly SheetCount[]
  readonly findings: readonly Finding[]
  readonly files: readonly FileDigest[]
}

const NO_MODEL = 'no model'
const MANIFEST = 'manifest.json'

function inputsOf(file: ModelFile, { root, out, options }: Workshop, before: string): unknown {
  return buildInputs(file, { root, out, options, before })
}

function digestOf(wanted: string, files: readonly FileDigest[]): string {
  return files.find(({ path }) => path === wanted)?.digest ?? ''
}

function failed({ name, file }: ModelFile, folder: string, made: Failed, write: boolean): Outcome {
  return { name, file, sheets: [], ...(write && { folder, written: 'kept' }), ...made }
}

/** @param written what became of the folder, for a command that writes */
function outcomeOf({ name, file }: ModelFile, folder: string, result: Result, written: Outcome['written']): Outcome {
  const { facts, sheets, findings, files } = result
  const stale = written ? [] : staleBuild(folder, files)
  const problems = [...findings, ...stale].map((finding) => ({ finding }))
  return { name, file, facts, sheets, problems, ...(written && { folder, written }) }
}

/** Sheets on disk that are not what the source makes; none at all is no fault. */
function staleBuild(folder: string, files: readonly FileDigest[]): Finding[] {
  if (!existsSync(join(folder, MANIFEST)) || holdsBuild(folder, files)) return []
  const text = `the sheets in ${relative(process.cwd(), folder) || folder} are not what the source makes now`
  return [{ id: 'stale-sheets', severity: 'error', text, remedy: 'run cardwright build and look at what changes' }]
}
