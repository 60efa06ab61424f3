import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Finding, FindingError } from '../finding/finding'
import type { Manifest } from '../revision/manifest'
import { readManifest } from '../revision/readManifest'
import { compileModel } from './compile'
import { problemOf } from './problem'
import type { Progress } from './progress'
import type { ModelFile } from './project'
import { hasErrors, type Outcome } from './report'
import type { Workshop } from './workshop'
import { isSame, type OutFile, writeBuild } from './write'

/**
 * Takes one model from its file to its findings and, with `write`, to its output folder. A model with an error is not
 * written at all. Undefined for a file that is no model.
 */
export function buildModel(
  file: ModelFile,
  workshop: Workshop,
  progress: Progress,
  write: boolean,
): Outcome | undefined {
  const folder = join(workshop.out, file.name)
  const outcome = { name: file.name, file: file.file, sheets: [], ...(write && { folder, written: 'kept' as const }) }
  const evaluated = workshop.evaluate(file)
  if (!evaluated) return undefined
  if ('problem' in evaluated) return { ...outcome, problems: [evaluated.problem] }
  const { model, atRatio } = evaluated
  try {
    const onProgress = (what: string, done: number, total: number) =>
      progress.step(`${file.name}: ${what}`, done, total)
    const { manifest, findings: unread } = workshop.repack ? NOTHING_BEFORE : manifestIn(folder)
    const { findings, sheets, files } = compileModel(model, {
      atRatio,
      onProgress,
      recall: workshop.recallOf(file),
      effort: workshop.effort,
      formats: workshop.formats,
      dpi: workshop.dpi,
      ...(manifest && { before: manifest }),
    })
    const stale = write || files.length === 0 ? [] : staleBuild(folder, files)
    const all = [...findings, ...unread, ...stale]
    const made = { ...outcome, model, sheets, problems: all.map((finding) => ({ finding })) }
    if (!write || hasErrors(all)) return made
    return { ...made, written: writeBuild(folder, files) }
  } catch (error) {
    return { ...outcome, model, problems: [problemOf(error)] }
  }
}

interface Before {
  readonly manifest?: Manifest
  readonly findings: readonly Finding[]
}

const NOTHING_BEFORE: Before = { findings: [] }

/** The manifest of the build before. One that cannot be read costs the old layout and no more. */
function manifestIn(folder: string): Before {
  const file = join(folder, 'manifest.json')
  if (!existsSync(file)) return NOTHING_BEFORE
  try {
    return { manifest: readManifest(readFileSync(file, 'utf8'), file), findings: [] }
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    const { text } = error.finding
    const remedy = 'the pieces are laid out afresh; to keep the old places, take the file back from git first'
    return { findings: [{ id: 'old-manifest', severity: 'warning', text, remedy }] }
  }
}

/** Sheets on disk that are not what the source makes; none at all is no fault. */
function staleBuild(folder: string, files: readonly OutFile[]): Finding[] {
  if (!existsSync(join(folder, 'manifest.json')) || isSame(folder, files)) return []
  const text = `the sheets in ${folder} are not what the source makes now`
  return [{ id: 'stale-sheets', severity: 'error', text, remedy: 'run cardwright build and look at what changes' }]
}
