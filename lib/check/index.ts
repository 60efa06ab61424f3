import { type Finding, sortFindings } from '../finding/finding'
import type { Model } from '../model/model'
import type { CheckContext } from './rule'
import { rules } from './rules'

/** Everything the rules have to say of a model, with what its evaluation said, sorted. */
export function checkModel(model: Model, context: CheckContext): Finding[] {
  return sortFindings([...model.findings, ...rules.flatMap((rule) => rule.check(model, context))])
}

export type { CheckContext, Rule } from './rule'
export { rules } from './rules'
