import { existsSync, readFileSync } from 'node:fs'
import { join, relative } from 'node:path'
import { type Finding, FindingError } from '../finding/finding'
import { rememberIn } from '../memo/remember'
import type { Model } from '../model/model'
import type { Manifest } from '../revision/manifest'
import { readManifest } from '../revision/readManifest'
import { compileModel, type CompileOptions, type SheetCount } from './compile'
import { type Problem, problemOf } from './problem'
import type { Progress } from './progress'
import type { ModelFile } from './project'
import { factsOf, hasErrors, type ModelFacts } from './report'
import type { Workshop } from './workshop'
import type { OutFile } from './write'

/** A model that can be cut, as the files of its build. */
export interface Made {
  readonly model: Model
  readonly facts: ModelFacts
  readonly sheets: readonly SheetCount[]
  /** No error among them. */
  readonly findings: readonly Finding[]
  readonly files: readonly OutFile[]
  /** Whether a build that starts from this one's manifest gives the very same files. */
  readonly settled: () => boolean
}

export interface Failed {
  /** Undefined where it could not be evaluated. */
  readonly model?: Model
  readonly facts?: ModelFacts
  readonly problems: readonly Problem[]
}

/** Loads, evaluates and compiles a model; undefined for a file that is no model. Writes nothing. */
export function makeModel(file: ModelFile, workshop: Workshop, progress: Progress): Made | Failed | undefined {
  const recall = workshop.recallOf(file)
  recall?.turnOver()
  rememberIn(recall)
  const evaluated = workshop.evaluate(file)
  if (!evaluated) return undefined
  if ('problem' in evaluated) return { problems: [evaluated.problem] }
  const { model, atRatio } = evaluated
  const facts = factsOf(model)
  try {
    const { manifest, findings: unread } = workshop.repack
      ? NOTHING_BEFORE
      : manifestIn(join(workshop.out, file.name))
    const options: CompileOptions = {
      atRatio,
      onProgress: (what, done, total) => progress.step(`${file.name}: ${what}`, done, total),
      effort: workshop.effort,
      formats: workshop.formats,
      offcuts: workshop.offcuts,
      dpi: workshop.dpi,
      ...(workshop.printer && { printer: workshop.printer }),
      ...(manifest && { before: manifest }),
    }
    const { findings, sheets, files, settled } = compileModel(model, options)
    const all = [...findings, ...unread]
    if (hasErrors(all)) return { model, facts, problems: all.map((finding) => ({ finding })) }
    return { model, facts, sheets, findings: all, files, settled }
  } catch (error) {
    return { model, facts, problems: [problemOf(error)] }
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
    return { manifest: readManifest(readFileSync(file, 'utf8'), relative(process.cwd(), file) || file), findings: [] }
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    const { text } = error.finding
    const remedy = 'the pieces are laid out afresh; to keep the old places, take the file back from git first'
    return { findings: [{ id: 'old-manifest', severity: 'warning', text, remedy }] }
  }
}
