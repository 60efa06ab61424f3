import { join, relative, resolve } from 'node:path'
import { suggest } from '../finding/nearest'
import type { Length } from '../length/length'
import { parseBenchLength } from '../length/parse'
import { parseScale, type Scale } from '../length/scale'
import type { Model } from '../model/model'
import type { Effort } from '../nest/nest'
import { FORMATS, type FormatName } from '../sheet/format'
import type { Printer } from '../sheet/printers'
import { createMemory, type Memory, NO_MEMORY } from './cache/memory'
import { NO_STORE, openStore, type Store } from './cache/store'
import type { Instead } from './figure'
import type { Loader } from './load'
import { givenOffcuts, type GivenOffcuts } from './offcuts'
import type { OptionValues } from './options'
import type { Request } from './parse'
import type { Problem } from './problem'
import { chooseModels, findProject, type ModelFile } from './project'
import { loadStockBook } from './stockBook'
import { createRecall, type Recall, recallKey } from './recall'
import { asked, UsageError } from './usage'

/** What the commands that evaluate models have in common: the project, the bench asked for, a loader and the cache. */
export interface Workshop {
  readonly root: string
  /** Where sheets go, absolute. */
  readonly out: string
  readonly loader: Loader
  readonly options: OptionValues
  readonly effort: Effort
  /** Lay everything out afresh, whatever the build before did. */
  readonly repack: boolean
  /** Card to be used before whole sheets. */
  readonly offcuts: GivenOffcuts
  /** What sheets are written as. */
  readonly formats: readonly FormatName[]
  /** Dots in an inch of a picture. */
  readonly dpi: number
  /** What is known on disk from earlier commands. */
  readonly store: Store
  readonly memory: Memory
  /** Whether models are wanted themselves, even where nothing has changed since they were last evaluated. */
  readonly wantsModels: boolean
  /** Whose faults the sheets make up for. */
  readonly printer?: Printer
  /** The models asked for; looked up anew each time, since a watch outlives a new folder in `parts`. */
  models(): ModelFile[]
  /** What single steps of making the model gave before; undefined where all is to be worked out. */
  recallOf(file: ModelFile): Recall | undefined
  /**
   * Loads and evaluates, with other figures than the model's own where they are given; undefined for a single file that
   * turns out to be no model but something models share.
   */
  evaluate(file: ModelFile, instead?: Instead): Evaluated | undefined
}

export type Evaluated =
  | {
      readonly model: Model
      /** The same model at another scale; undefined where it cannot be evaluated there. */
      readonly atRatio: (ratio: number) => Model | undefined
    }
  | { readonly problem: Problem }

/**
 * @param root the project's folder; by default the one the command is run in
 * @throws UsageError for options that make no sense, or where there is no project
 */
export function openWorkshop({ command, operands, options }: Request, root = findProject(process.cwd()).root): Workshop {
  const timeLimit = options['time-limit'] * 1000
  const scale = scaleOption(options.scale)
  const thickness = new Map(options.stock.map(thicknessOption))
  const measured = loadStockBook(root)
  const cached = options.cache !== false
  const store = cached ? openStore(join(root, '.cache', 'cardwright')) : NO_STORE
  const recalls = new Map<string, Recall>()
  let loader: Loader | undefined
  // All that evaluates is loaded when it is wanted: a build that nothing has changed for does without.
  const theLoader = () => {
    const { createLoader } = require('./load') as typeof import('./load')
    return (loader ??= createLoader({ root, timeLimit }))
  }
  return {
    root,
    out: resolve(options.out === 'out' ? join(root, 'out') : options.out),
    get loader() {
      return theLoader()
    },
    options,
    effort: effortOption(options.effort),
    repack: options.repack === true,
    offcuts: givenOffcuts(options),
    formats: FORMATS.filter((name) => name === 'svg' || options[name] === true),
    dpi: dpiOption(options.dpi),
    store,
    memory: cached ? createMemory(store, Date.now()) : NO_MEMORY,
    // A watch has to load a model to know which files it must look at.
    wantsModels: options.watch === true || command === 'view',
    ...(options.printer !== undefined && { printer: printerOption(root, options.printer) }),
    models: () => chooseModels(findProject(root), operands),
    recallOf(file) {
      if (!cached) return undefined
      const recall = recalls.get(file.name) ?? createRecall(store, recallKey(file, options))
      recalls.set(file.name, recall)
      return recall
    },
    evaluate({ name, file, maybe }, instead = {}) {
      const { noModel } = require('./load') as typeof import('./load')
      const { evaluateModel } = require('../model/evaluate') as typeof import('../model/evaluate')
      try {
        const definition = theLoader().load(file)
        if (definition === undefined && maybe) return undefined
        if (definition === undefined) throw noModel(file)
        const options = {
          name,
          measured,
          timeLimit,
          ...instead,
          thickness: new Map([...thickness, ...(instead.thickness ?? [])]),
        }
        return {
          model: evaluateModel(definition, { ...(scale && { scale }), ...options }),
          atRatio: (ratio) => attempt(() => evaluateModel(definition, { ...options, scale: parseScale(ratio) })),
        }
      } catch (error) {
        const { problemOf } = require('./problem') as typeof import('./problem')
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
  return text === undefined ? undefined : asked(() => parseScale(text), '--scale: ')
}

function effortOption(text: string): Effort {
  const known = EFFORTS.find((effort) => effort === text)
  if (known) return known
  throw new UsageError(`--effort: "${text}" is no effort`, suggest(text, EFFORTS))
}

function printerOption(root: string, name: string): Printer {
  const { printersIn } = require('./printerFile') as typeof import('./printerFile')
  const { findPrinter } = require('../sheet/printers') as typeof import('../sheet/printers')
  return asked(() => findPrinter(printersIn(root), name))
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
  const [, id, written] = /^([^=]+)=(.*)$/.exec(text.trim()) ?? []
  if (id === undefined) {
    throw new UsageError(`--stock: "${text}" is not a stock with its thickness`, THICKNESS_EXAMPLE)
  }
  const thickness = asked(() => parseBenchLength(written!, `--stock ${id}`))
  if (thickness.bench > 0) return [id, thickness]
  throw new UsageError(`--stock ${id}: "${written!.trim()}" is no thickness, which is above 0`, THICKNESS_EXAMPLE)
}

const THICKNESS_EXAMPLE = 'write it like --stock folder=0.30mm (or cm, in, pt)'
