import type { Finding } from '../finding/finding'
import type { Model } from '../model/model'
import type { SheetCount } from './compile'
import { countFindings, plural } from './print'
import type { Problem } from './problem'
import { within } from './workshop'

/** What a command found out about one model: the base of the closing summary and of `--json`. */
export interface Outcome {
  readonly name: string
  /** The author's file. */
  readonly file: string
  /** Undefined where it could not be evaluated. */
  readonly facts?: ModelFacts
  /** Undefined also where nothing has changed since it was last evaluated, unless the command wants models. */
  readonly model?: Model
  readonly sheets: readonly SheetCount[]
  readonly problems: readonly Problem[]
  /** What became of the output folder; undefined where the command does not write. */
  readonly written?: 'written' | 'unchanged' | 'kept'
  readonly folder?: string
}

/** What is told of a model in any case. */
export interface ModelFacts {
  readonly title: string
  readonly scale: string
  /** To cut: every copy, every ply. */
  readonly pieces: number
}

export function factsOf({ title, scale, pieces }: Model): ModelFacts {
  return { title, scale: scale.name, pieces: pieces.reduce((sum, { copies, plies }) => sum + copies * plies, 0) }
}

export function hasErrors(findings: readonly Finding[]): boolean {
  return findings.some(({ severity }) => severity === 'error')
}

export function findingsOf({ problems }: Outcome): Finding[] {
  return problems.map(({ finding }) => finding)
}

/** The lines that close a build or a check, for one model. */
export function summary(outcome: Outcome, root: string): string {
  const { name, facts, sheets, written, folder } = outcome
  const found = countFindings(findingsOf(outcome))
  if (!facts) return `${name}: not evaluated, ${found}\n`
  const lines = [`${facts.title}, ${facts.scale}: ${totals(facts, sheets)}`]
  for (const { stock, pieces, sheets: pages, use } of sheets) {
    lines.push(
      `  ${stock.id} ${stock.thickness.value.toFixed(2)} mm: ${plural(pieces, 'piece')} on ${plural(pages, 'sheet')}, ` +
        `${useText(use)} of the room used`,
    )
  }
  if (found !== '') lines.push(`  ${found}`)
  if (written && folder !== undefined) lines.push(`  ${within(root, folder)}: ${WRITTEN[written]}`)
  return `${lines.join('\n')}\n`
}

/** Sheet by sheet, as `81 %, 79 % and 34 %`; of many sheets the range and the last. */
function useText(use: readonly number[]): string {
  const percent = use.map((share) => `${Math.round(share * 100)} %`)
  if (percent.length <= 1) return percent.join('')
  if (percent.length <= MOST_LISTED) return `${percent.slice(0, -1).join(', ')} and ${percent.at(-1)!}`
  const full = use.slice(0, -1).map((share) => Math.round(share * 100))
  return `${Math.min(...full)} to ${Math.max(...full)} %, on the last ${percent.at(-1)!}`
}

const MOST_LISTED = 8

const WRITTEN = {
  written: 'sheets and manifest written',
  unchanged: 'nothing has changed',
  kept: 'left as it was, because of the errors',
} as const

function totals({ pieces }: ModelFacts, sheets: readonly SheetCount[]): string {
  const pages = sheets.reduce((sum, { sheets: n }) => sum + n, 0)
  return pages > 0 ? `${plural(pieces, 'piece')} on ${plural(pages, 'sheet')}` : plural(pieces, 'piece')
}

/** The `--json` document: the same facts, files named from the project's folder, nothing that a clock would change. */
export function jsonReport(
  command: string,
  outcomes: readonly Outcome[],
  types: readonly Finding[] | undefined,
  root: string,
): Record<string, unknown> {
  const all = [...outcomes.flatMap(findingsOf), ...(types ?? [])]
  return {
    command,
    ok: !hasErrors(all),
    models: outcomes.map((outcome) => ({
      name: outcome.name,
      file: within(root, outcome.file),
      ...(outcome.facts && { title: outcome.facts.title, scale: outcome.facts.scale }),
      sheets: outcome.sheets.map(({ stock, pieces, sheets, use }) => ({
        stock: stock.id,
        thickness: stock.thickness.value,
        pieces,
        sheets,
        use: use.map((share) => Number(share.toFixed(4))),
      })),
      ...(outcome.written && { folder: within(root, outcome.folder!), result: outcome.written }),
      findings: findingsOf(outcome).map((finding) => jsonFinding(finding, root)),
    })),
    ...(types && { types: types.map((finding) => jsonFinding(finding, root)) }),
  }
}

function jsonFinding({ site, ...finding }: Finding, root: string): Record<string, unknown> {
  return { ...finding, ...(site && { site: { ...site, file: within(root, site.file) } }) }
}
