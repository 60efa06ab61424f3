import { FindingError } from '../finding/finding'
import { type CallSite, callSite, resolveSite } from '../finding/site'
import { Length } from '../length/length'
import { type Scale, parseScale } from '../length/scale'
import type { Stock } from '../stock/card'
import type { SurveySheet } from '../survey/dimension'
import type { AnySurvey } from '../survey/dimensions'
import { joinSurveys } from '../survey/sheet'
import { Assembly, type Part, isPart } from './assembly'

export interface ModelOptions {
  /** The scale built at unless the command line says otherwise: `1:60`, `1/72`, `60`, or a railway scale by name. */
  readonly scale: string | number
  /** Stocks of the author's own, beside or in place of the built-in ones. */
  readonly stocks?: readonly Stock[]
  /** The subject's dimensions, as `dimensions({ … })` gives them; a list where they are in several parts. */
  readonly survey?: AnySurvey | readonly AnySurvey[]
  /** Least distance between two pieces on a sheet, `bench.mm(1.5)`; 2 mm where not given. */
  readonly gap?: Length
  /** Whether pieces may lie edge to edge where one straight cut parts both; they may where not said otherwise. */
  readonly sharedCuts?: boolean
}

/** What an author's file exports: a description, evaluated as often as scales and stocks ask for it. */
export class ModelDefinition {
  readonly title: string
  readonly scale: Scale
  readonly stocks: readonly Stock[]
  readonly survey: SurveySheet
  readonly gap: Length | undefined
  readonly sharedCuts: boolean | undefined
  readonly body: () => Part | readonly Part[]
  readonly site: CallSite

  constructor(title: string, options: ModelOptions, body: () => Part | readonly Part[]) {
    this.title = title
    this.scale = scaleFrom(options.scale)
    this.stocks = options.stocks ?? []
    this.survey = joinSurveys([options.survey ?? []].flat())
    this.gap = options.gap
    this.sharedCuts = options.sharedCuts
    this.body = body
    this.site = callSite()
    Object.freeze(this)
  }
}

/** A whole model: `export default model('Sandpiper', { scale: '1:60' }, () => assembly(…))`. */
export function model(
  title: string,
  options: ModelOptions,
  body: () => Part | readonly Part[],
): ModelDefinition {
  if (typeof title !== 'string' || title.trim() === '') throw modelError('the model has no title', 'give it one')
  if (typeof body !== 'function') {
    throw modelError(`model "${title}" has no function`, 'give it a function that returns an assembly')
  }
  if (typeof options !== 'object' || options === null || options.scale === undefined) {
    throw modelError(`model "${title}" has no scale`, "give it one: model('Title', { scale: '1:60' }, () => …)")
  }
  if (options.gap !== undefined && !(options.gap instanceof Length)) {
    const given = String(options.gap as unknown)
    throw modelError(`the gap of model "${title}" is ${given}, which is no length`, 'write it with its unit: bench.mm(1.5)')
  }
  return new ModelDefinition(title, options, body)
}

export function isModelDefinition(value: unknown): value is ModelDefinition {
  return value instanceof ModelDefinition
}

/** What the body returned, as one assembly without a name. */
export function rootAssembly(definition: ModelDefinition, made: unknown): Assembly {
  const parts: unknown[] = Array.isArray(made) ? made : [made]
  const wrong = parts.length === 0 ? 'nothing' : parts.filter((part) => !isPart(part)).map(nameOfValue)[0]
  if (wrong !== undefined) {
    const site = resolveSite(definition.site)
    throw new FindingError({
      id: 'model',
      severity: 'error',
      text: `the function of model "${definition.title}" returned ${wrong}`,
      remedy: 'return an assembly from it, or a list of assemblies and families',
      ...(site && { site }),
    })
  }
  return new Assembly('', parts as Part[])
}

function nameOfValue(value: unknown): string {
  if (value === undefined || value === null) return 'nothing'
  if (value instanceof Promise) return 'a promise: it must not be async'
  return Array.isArray(value) ? 'a list within a list' : `what is no part: ${typeof value === 'object' ? 'some other value' : String(value)}`
}

/** The scale, with the author's line where it is none. */
function scaleFrom(text: string | number): Scale {
  try {
    return parseScale(text)
  } catch (error) {
    const site = resolveSite(callSite())
    if (!(error instanceof FindingError) || !site) throw error
    throw new FindingError({ ...error.finding, site }, { cause: error })
  }
}

function modelError(text: string, remedy: string): FindingError {
  const site = resolveSite(callSite())
  return new FindingError({ id: 'model', severity: 'error', text, remedy, ...(site && { site }) })
}
