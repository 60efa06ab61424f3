import { join } from 'node:path'
import { type Estimate, estimateOf } from '../../estimate/estimate'
import { partsCsv } from '../../estimate/partsList'
import { type Quote, quoteOf, type QuoteTerms } from '../../estimate/quote'
import { estimateText, quoteText } from '../../estimate/text'
import { suggest } from '../../finding/nearest'
import { builtManifest, builtModels, outFolder } from '../built'
import { keepStdoutClean } from '../console'
import { readProjectLogbook } from '../logbook'
import { EXIT } from '../options'
import type { Request } from '../parse'
import type { Manner } from '../print'
import { chooseModels, findProject } from '../project'
import { replaceFile } from '../replaceFile'
import { asked, UsageError } from '../usage'
import { within } from '../workshop'

/** `cardwright estimate`: sheets, metres, hours and blades of what was built last; the parts list; what to price from. */
export async function estimate({ operands, options }: Request, _manner: Manner): Promise<number> {
  const { json, csv, quote } = options
  if (json) keepStdoutClean()
  const project = findProject(process.cwd())
  const out = outFolder(project.root, options.out)
  const names = operands.length === 0 ? builtModels(out) : chooseModels(project, operands).map(({ name }) => name)
  if (names.length === 0) throw new UsageError('no model has been built', 'run cardwright build first')
  const { entries, shapes } = asked(() => readProjectLogbook(project.root))
  const manifests = names.map((name) => builtManifest(out, name))
  const terms = termsOf([...new Set(manifests.flatMap(({ stocks }) => stocks.map(({ id }) => id)))], options)
  const models = names.map((name, i) => {
    const manifest = manifests[i]!
    const made = estimateOf(manifest, entries, shapes)
    const priced = quote ? quoteOf(made, terms) : undefined
    const file = join(out, name, 'parts.csv')
    if (csv) replaceFile(file, partsCsv(manifest))
    return { made, ...(priced && { priced }), ...(csv && { file: within(project.root, file) }) }
  })
  process.stdout.write(json ? `${JSON.stringify({ command: 'estimate', ok: true, models }, null, 2)}\n` : models.map(textOf).join('\n'))
  return EXIT.good
}

function textOf({ made, priced, file }: { made: Estimate; priced?: Quote; file?: string }): string {
  const quoted = priced ? `\n${quoteText(priced, `${made.title}, ${made.scale}`)}` : ''
  return `${estimateText(made)}${quoted}${file === undefined ? '' : `parts list: ${file}\n`}`
}

/** @param ids the stocks of all models that are estimated */
function termsOf(ids: readonly string[], options: Request['options']): QuoteTerms {
  const lone = (['hour-rate', 'blade-price', 'price'] as const).find((name) => [options[name] ?? []].flat().length > 0)
  if (lone !== undefined && !options.quote) {
    throw new UsageError(`--${lone} is for the table of --quote, which was not asked for`, 'give --quote as well')
  }
  const sheet = new Map(
    options.price.map((text) => {
      const [id = '', amount = ''] = text.split('=')
      if (!ids.includes(id)) throw new UsageError(`--price: there is no stock "${id}" in what is estimated`, suggest(id, ids))
      return [id, money('--price', text, amount)] as const
    }),
  )
  const { 'hour-rate': hour, 'blade-price': blade } = options
  return {
    sheet,
    spare: options.spare / 100,
    ...(hour !== undefined && { hour: money('--hour-rate', hour, hour) }),
    ...(blade !== undefined && { blade: money('--blade-price', blade, blade) }),
  }
}

function money(option: string, text: string, amount: string): number {
  const value = Number(amount)
  if (amount.trim() !== '' && Number.isFinite(value) && value >= 0) return value
  throw new UsageError(`${option}: "${text}" is no amount of 0 or more`, `write it like ${option === '--price' ? '--price folder=0.35' : `${option} 28`}`)
}
