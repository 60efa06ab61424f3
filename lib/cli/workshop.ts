import { join, relative, resolve } from 'node:path'
import { FindingError } from '../finding/finding'
import { suggest } from '../finding/nearest'
import type { Length } from '../length/length'
import { parseScale, type Scale } from '../length/scale'
import { bench } from '../length/unit'
import { evaluateModel } from '../model/evaluate'
import type { Model } from '../model/model'
import type { Effort } from '../nest/nest'
import { FORMATS, type FormatName } from '../sheet/format'
import { createLoader, type Loader, noModel } from './load'
import type { Request } from './parse'
import { type Problem, problemOf } from './problem'
import { chooseModels, findProject, type ModelFile } from './project'
import { loadStockBook } from './stockBook'
import { createRecall, NO_RECALL, type Recall } from './recall'
import { UsageError } from './usage'

/** What the commands that evaluate models have in common: the project, the bench asked for, and a loader. */
export interface Workshop {
  readonly root: string
  /** Where sheets go, absolute. */
  readonly out: string
  readonly loader: Loader
  readonly effort: Effort
  /** Lay everything out afresh, whatever the build before did. */
  readonly repack: boolean
  /** What sheets are written as. */
  readonly formats: readonly FormatName[]
  /** Dots in an inch of a picture. */
  readonly dpi: number
  /** The models asked for; looked up anew each time, since a watch outlives a new folder in `parts`. */
  models(): ModelFile[]
  /** What is kept of each model from one build to the next; nothing, unless there will be a next. */
  recallOf(file: ModelFile): Recall
  /** Loads and evaluates; undefined for a single file that turns out to be no model but something models share. */
  evaluate(file: ModelFile): Evaluated | undefined
}

export type Evaluated =
  | {
      readonly model: Model
      /** The same model at another scale; undefined where it cannot be evaluated there. */
      readonly atRatio: (ratio: number) => Model | undefined
    }
  | { readonly problem: Problem }

/** @throws UsageError for options that make no sense, or where there is no project */
export function openWorkshop({ operands, options }: Request): Workshop {
  const { root } = findProject(process.cwd())
  const timeLimit = options['time-limit'] * 1000
  const scale = scaleOption(options.scale)
  const thickness = new Map(options.stock.map(thicknessOption))
  const loader = createLoader({ root, timeLimit })
  const measured = loadStockBook(root)
  const recalls = new Map<string, Recall>()
  return {
    root,
    out: resolve(options.out === 'out' ? join(root, 'out') : options.out),
    loader,
    effort: effortOption(options.effort),
    repack: options.repack === true,
    formats: FORMATS.filter((name) => name === 'svg' || options[name] === true),
    dpi: dpiOption(options.dpi),
    models: () => chooseModels(findProject(root), operands),
    recallOf({ name }) {
      if (!options.watch) return NO_RECALL
      const recall = recalls.get(name) ?? createRecall()
      recall.turnOver()
      recalls.set(name, recall)
      return recall
    },
    evaluate({ name, file, maybe }) {
      try {
        const definition = loader.load(file)
        if (definition === undefined && maybe) return undefined
        if (definition === undefined) throw noModel(file)
        const options = { name, measured, thickness, timeLimit }
        return {
          model: evaluateModel(definition, { ...options, ...(scale && { scale }) }),
          atRatio: (ratio) => attempt(() => evaluateModel(definition, { ...options, scale: parseScale(ratio) })),
        }
      } catch (error) {
        return { problem: problemOf(error) }
      }
    },
  }
}

/** `parts/sandpiper/wing.ts`, as people call a file of the project. */
export function within(root: string, file: string): string {
  return relative(root, file).split('\\').join('/')
}

function attempt<T>(work: () => T): T | undefined {
  try {
    return work()
  } catch {
    return undefined
  }
}

function scaleOption(text: string | undefined): Scale | undefined {
  try {
    return text === undefined ? undefined : parseScale(text)
  } catch (error) {
    if (error instanceof FindingError) throw new UsageError(`--scale: ${error.finding.text}`, error.finding.remedy)
    throw error
  }
}

function effortOption(text: string): Effort {
  const known = EFFORTS.find((effort) => effort === text)
  if (known) return known
  throw new UsageError(`--effort: "${text}" is no effort`, suggest(text, EFFORTS))
}

function dpiOption(dpi: number): number {
  if (dpi >= LEAST_DPI && dpi <= MOST_DPI) return dpi
  throw new UsageError(
    `--dpi: ${dpi} dots to the inch, a picture has ${LEAST_DPI} to ${MOST_DPI}`,
    'write it like --dpi 200; what is to be measured or printed is better as --pdf',
  )
}

/** Below, no mark can be read; above, a letter page is larger than 100 MB in memory. */
const [LEAST_DPI, MOST_DPI] = [20, 600]

const EFFORTS = ['quick', 'normal', 'thorough'] as const

function thicknessOption(text: string): [id: string, thickness: Length] {
  const [, id, digits, unit] = /^([^=]+)=(\d*\.?\d+)\s*(mm|in|pt)$/.exec(text.trim()) ?? []
  const value = Number(digits)
  if (id === undefined || !(value > 0)) {
    throw new UsageError(
      `--stock: "${text}" is not a stock with its thickness`,
      'write it like --stock folder=0.30mm (or in, or pt)',
    )
  }
  return [id, unit === 'mm' ? bench.mm(value) : unit === 'in' ? bench.in(value) : bench.points(value)]
}
