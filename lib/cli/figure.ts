import { suggest } from '../finding/nearest'
import type { Length } from '../length/length'
import { parseBenchLength, parseFullLength } from '../length/parse'
import { parseScale } from '../length/scale'
import { bench, full } from '../length/unit'
import type { EvaluateOptions } from '../model/evaluate'
import type { Model } from '../model/model'
import { inUnit } from '../survey/figure'
import { asked, UsageError } from './usage'

/** A figure as it was asked for: `span`, `span=24.9m`, `span+=50mm`, `folder.thickness=0.3mm`, `scale=1:72`. */
export interface AskedFigure {
  readonly name: string
  readonly how: 'set' | 'raise' | 'lower' | undefined
  readonly value: string
}

/** What to evaluate a model with in place of what it says itself. */
export type Instead = Pick<EvaluateOptions, 'scale' | 'thickness' | 'dimensions'>

/** @throws UsageError for a word without a name */
export function askedFigure(word: string): AskedFigure {
  const [, name = '', sign, value = ''] = /^([^=]*?)\s*(?:([+-]?)=(.*))?$/s.exec(word) ?? []
  if (name === '') throw new UsageError(`"${word}" names no figure`, 'write it like span, span=24.9m or scale=1:72')
  return { name, how: sign === undefined ? undefined : HOW[sign as keyof typeof HOW], value }
}

const HOW = { '': 'set', '+': 'raise', '-': 'lower' } as const

/**
 * What the figures asked for put in the place of a model's own.
 *
 * @throws UsageError for a value that is no length, or that makes nothing
 */
export function insteadOf(figures: readonly AskedFigure[], model: Model): Instead {
  let instead: Instead = {}
  for (const figure of figures) {
    const { name, how } = figure
    if (how === undefined) continue
    if (name === 'scale') instead = { ...instead, scale: asked(() => parseScale(setValue(figure))) }
    else if (name.includes('.')) {
      const thickness = new Map(instead.thickness).set(name.slice(0, name.lastIndexOf('.')), thicknessOf(figure))
      instead = { ...instead, thickness }
    } else {
      instead = { ...instead, dimensions: new Map(instead.dimensions).set(name, dimensionOf(figure, model)) }
    }
  }
  return instead
}

/** A figure a little off what it is: a dimension by 1 mm at model size, others by a tenth. */
export function stirredBy(name: string, { survey, stocks, scale }: Model): Instead {
  if (name === 'scale') return { scale: parseScale(scale.ratio * STIR) }
  const stock = stocks.get(name.slice(0, Math.max(0, name.lastIndexOf('.'))))
  if (stock) return { thickness: new Map([[stock.id, bench.mm(stock.thickness.value * STIR)]]) }
  const { value } = survey.dimensions.find((dimension) => dimension.name === name)!
  return { dimensions: new Map([[name, full.mm(value + scale.ratio)]]) }
}

const STIR = 1.1

/** The value a figure has in a model, as people write it. */
export function figureText({ survey, stocks, scale }: Model, name: string): string {
  if (name === 'scale') return scale.name
  if (name.includes('.')) return `${stocks.get(name.slice(0, name.lastIndexOf('.')))!.thickness.value} mm`
  const { value, values, unit } = survey.dimensions.find((dimension) => dimension.name === name)!
  if (!values) return inUnit(value, unit)
  return `${inUnit(Math.min(...values), unit)} … ${inUnit(Math.max(...values), unit)}`
}

function setValue({ name, how, value }: AskedFigure): string {
  if (how === 'set') return value
  throw new UsageError(`${name} cannot be raised or lowered by "${value}"`, `write ${name}=VALUE`)
}

function thicknessOf(figure: AskedFigure): Length {
  const length = asked(() => parseBenchLength(setValue(figure), figure.name))
  return aboveNought(length.bench, figure) && length
}

function dimensionOf(figure: AskedFigure, { survey }: Model): Length {
  const { name, how, value } = figure
  const { value: now, values } = survey.dimensions.find((dimension) => dimension.name === name)!
  const length = asked(() => parseFullLength(value, name))
  if (how !== 'set') {
    if (length.full === 0) throw new UsageError(`${name} moved by 0 mm is what it is`, `write ${name}+=50mm`)
    return full.mm(now + (how === 'raise' ? length.full : -length.full))
  }
  if (values) {
    throw new UsageError(
      `${name} is a table of ${values.length} values, and cannot be set to one`,
      `say by how much all of them move: ${name}+=10mm`,
    )
  }
  return aboveNought(length.full, figure) && length
}

function aboveNought(size: number, { name, value }: AskedFigure): true {
  if (size > 0) return true
  throw new UsageError(`${name}: "${value}" is ${size === 0 ? 'no size at all' : 'below 0'}`, 'give it a length above 0')
}

/** @throws UsageError for a name that none of the models has, with the nearest */
export function unknownFigure(name: string, known: Iterable<string>): UsageError {
  return new UsageError(`there is no figure "${name}"`, suggest(name, [...new Set(known)]))
}
