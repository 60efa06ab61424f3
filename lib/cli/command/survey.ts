import type { Model } from '../../model/model'
import { readersOf } from '../../revision/reads'
import { inSubjectMm, inUnit } from '../../survey/figure'
import { type CheckedRule, gapOf, type SurveyedDimension } from '../../survey/table'
import { columns } from '../columns'
import { keepStdoutClean } from '../console'
import { evaluateAll, tell } from '../evaluated'
import type { Request } from '../parse'
import { type Manner, plural } from '../print'
import { openWorkshop } from '../workshop'

/** `cardwright survey`: the subject's dimensions, how well each is known, and what hangs on it. */
export async function survey(request: Request, manner: Manner): Promise<number> {
  const { json, unsourced } = request.options
  if (json) keepStdoutClean()
  const { made, problems } = evaluateAll(openWorkshop(request))
  const data = () => made.map(({ model }) => dataOf(model, unsourced))
  const text = () => made.map(({ model }) => textOf(model, unsourced)).join('\n')
  return tell({ command: 'survey', problems, data, text }, json, manner)
}

/** A guess, or without any source: what is still to be found out. */
export function isUnsourced({ source, from }: SurveyedDimension): boolean {
  return from.length === 0 && (source === undefined || source.kind === 'guess')
}

function chosen({ survey: { dimensions } }: Model, unsourced: boolean | undefined): readonly SurveyedDimension[] {
  return unsourced ? dimensions.filter(isUnsourced) : dimensions
}

/** Pieces that read it, or what is worked out from it; every copy and layer. */
function countReaders({ pieces, survey: { dimensions } }: Model, name: string): number {
  return readersOf({ pieces, dimensions }, name).reduce((sum, { copies, plies }) => sum + copies * plies, 0)
}

function dataOf(model: Model, unsourced: boolean | undefined): Record<string, unknown> {
  const { name, title, scale, survey: table } = model
  const atModel = (value: number) => Number((value / scale.ratio).toFixed(3))
  return {
    name,
    title,
    scale: scale.name,
    dimensions: chosen(model, unsourced).map((dimension) => ({
      ...withoutSite(dimension),
      unsourced: isUnsourced(dimension),
      atModel: {
        value: atModel(dimension.value),
        ...(dimension.within !== undefined && { within: atModel(dimension.within) }),
      },
      pieces: countReaders(model, dimension.name),
    })),
    ...(!unsourced && { rules: table.rules.map((rule) => ({ ...withoutSite(rule), gap: gapOf(rule) })) }),
  }
}

function withoutSite<T extends { readonly site: unknown }>(given: T): Omit<T, 'site'> {
  const { site: _, ...rest } = given
  return rest
}

function textOf(model: Model, unsourced: boolean | undefined): string {
  const { title, scale, survey: table } = model
  const shown = chosen(model, unsourced)
  const guesses = table.dimensions.filter(isUnsourced).length
  const head = `${title}, ${scale.name}: ${plural(table.dimensions.length, 'dimension')}, ${guesses} of them a guess or without a source\n`
  if (table.dimensions.length === 0) return `${title}, ${scale.name}: no survey; give the model one with dimensions({ … })\n`
  if (shown.length === 0) return head
  const titles = ['dimension', 'on the subject', '±', `at ${scale.name}`, '±', 'read by', 'from', 'note']
  const rows = shown.map((dimension) => rowOf(model, dimension))
  const rules = unsourced || table.rules.length === 0 ? '' : `rules\n${table.rules.map(ruleText(model)).join('')}`
  return `${head}${columns([titles, ...rows], [1, 2, 3, 4, 5])}${rules}`
}

function rowOf(model: Model, dimension: SurveyedDimension): string[] {
  const { name, value, values, unit, within, worst, source, from, note } = dimension
  const { ratio } = model.scale
  const [least, most] = values ? [Math.min(...values), Math.max(...values)] : [value, value]
  const range = (text: (value: number) => string) => (least === most ? text(least) : `${text(least)} … ${text(most)}`)
  const off = within === undefined ? '?' : inSubjectMm(within)
  return [
    name,
    range((size) => inUnit(size, unit)),
    worst !== undefined && worst > within! + WORSE ? `${off}, at worst ${inSubjectMm(worst)}` : off,
    `${range((size) => (size / ratio).toFixed(2))} mm`,
    within === undefined ? '?' : `${(within / ratio).toFixed(2)} mm`,
    String(countReaders(model, name)),
    from.length > 0 ? from.join(', ') : source ? `${source.kind}: ${source.title}` : 'nothing yet',
    note,
  ]
}

/** A worst case that is not worth telling apart, mm on the subject. */
const WORSE = 0.05

function ruleText({ survey: { dimensions } }: Model): (rule: CheckedRule) => string {
  return (rule) => {
    const { name, left, relation, right, within, worst, verdict, from } = rule
    const unit = dimensions.find((one) => from.includes(one.name))?.unit
    const gap = gapOf(rule)
    const off = within === undefined ? 'no tolerance is known' : `± ${inSubjectMm(within)}, at worst ${inSubjectMm(worst!)}`
    const out = gap > 0 ? `, out by ${inSubjectMm(gap)}` : ''
    return `  ${verdict}: ${name}: ${inUnit(left, unit)} ${relation} ${inUnit(right, unit)}${out} (${off})\n`
  }
}
