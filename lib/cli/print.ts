import { readFileSync } from 'node:fs'
import { relative } from 'node:path'
import pico from 'picocolors'
import { compareText, type Finding, type Severity, type Site } from '../finding/finding'
import type { Problem } from './problem'

/** How to print: colours or none, and the folder that file names are shown from. */
export interface Manner {
  readonly color: boolean
  readonly from: string
  readonly trace: boolean
}

/**
 * Findings as text, in the order given; the one place where they are worded. One finding reads
 *
 *     error WR-P07 at 12.30, 4.50 mm: web of 0.42 mm, the knife needs 0.80 mm
 *       parts/sandpiper/wing.ts:41:8 (narrow-web)
 *         .openings(lightening({ count: 3, web: bench.mm(0.4) }))
 *          ^
 *       make the web wider
 *
 * and alike ones, from one line of the source by one rule, are one entry: the worst is told, the others are named.
 */
export function printProblems(problems: readonly Problem[], manner: Manner): string {
  const causes = new Map(problems.map(({ finding, error }) => [finding, error]))
  const groups = groupAlike(problems.map(({ finding }) => finding))
  return groups.map((group) => entry(group, manner, causes.get(group.worst))).join('\n')
}

/** A misuse of the command, or a failure without a model: `error: there is no model "tarm"`. */
export function printError(text: string, remedy: string, { color }: Manner): string {
  return `${pico.createColors(color).red('error')}: ${text}\n  ${remedy}\n`
}

/** `2 errors, 14 warnings`; empty for none. */
export function countFindings(findings: readonly Finding[]): string {
  return (['error', 'warning', 'note'] as const)
    .map((severity) => [findings.filter((finding) => finding.severity === severity).length, severity] as const)
    .filter(([n]) => n > 0)
    .map(([n, severity]) => plural(n, severity))
    .join(', ')
}

export function plural(n: number, word: string): string {
  return `${n} ${word}${n === 1 ? '' : 's'}`
}

/** `WR-P01, WR-P02, WR-P03, FR-9` as `FR-9, WR-P01..P03`. */
export function rangesOfMarks(marks: readonly string[]): string {
  const sorted = [...new Set(marks)].toSorted(compareMarks)
  const runs: string[][] = []
  for (const mark of sorted) {
    const run = runs.at(-1)
    if (run && follows(run.at(-1)!, mark)) run.push(mark)
    else runs.push([mark])
  }
  return runs.flatMap((run) => (run.length < 3 ? run : [`${run[0]}..${lastWord(run.at(-1)!)}`])).join(', ')
}

interface Group {
  readonly worst: Finding
  readonly others: readonly Finding[]
}

function groupAlike(findings: readonly Finding[]): Group[] {
  const byKey = new Map<string, Finding[]>()
  for (const finding of findings) {
    const { severity, id, site, mark, family, dimension, remedy } = finding
    // Of those about no one thing, only what is to be done says whether they are alike.
    const kind = mark ?? family ?? dimension ? '' : remedy
    // Without a line in the source nothing says that two come from one cause.
    const key = site ? [severity, id, site.file, site.line, kind].join('\n') : `${byKey.size}`
    byKey.set(key, [...(byKey.get(key) ?? []), finding])
  }
  return [...byKey.values()].map((alike) => {
    const worst = alike.reduce((a, b) => (shortfall(b) > shortfall(a) ? b : a))
    return { worst, others: alike.filter((finding) => finding !== worst) }
  })
}

function shortfall({ found, wanted }: Finding): number {
  return found === undefined || wanted === undefined ? 0 : Math.abs(wanted - found)
}

function entry({ worst, others }: Group, { color, from, trace }: Manner, error: unknown): string {
  const paint = pico.createColors(color)
  const { severity, mark, family, station, at, text, site, id, remedy } = worst
  const who = plain(mark ?? (text.startsWith('family ') ? '' : nameOf(family, station)), MARK_LENGTH)
  const where = at ? ` at ${at[0].toFixed(2)}, ${at[1].toFixed(2)} mm` : ''
  const subject = who || where ? ` ${paint.bold(who)}${where}` : ''
  const lines = [`${PAINT[severity](paint)(severity)}${subject}: ${plain(text, TEXT_LENGTH)}`]
  if (site) {
    lines.push(`  ${relative(from, site.file) || site.file}:${site.line}:${site.column} ${paint.dim(`(${id})`)}`)
    if (severity === 'error') lines.push(...sourceLines(site).map((line) => `    ${paint.dim(line)}`))
  }
  lines.push(...also(others, worst), `  ${plain(remedy, TEXT_LENGTH)}`)
  const stack = trace && error instanceof Error ? error.stack : undefined
  if (stack) lines.push(...stack.split('\n').map((line) => `    ${paint.dim(plain(line, SOURCE_LENGTH))}`))
  return `${lines.join('\n')}\n`
}

function nameOf(family: string | undefined, station: string | undefined): string {
  return [family ?? '', station ?? ''].filter((word) => word !== '').join(' ')
}

const PAINT: Record<Severity, (paint: ReturnType<typeof pico.createColors>) => (text: string) => string> = {
  error: (paint) => paint.red,
  warning: (paint) => paint.yellow,
  note: (paint) => paint.cyan,
}

/** Marks that differ from the one told already are named. */
function also(others: readonly Finding[], worst: Finding): string[] {
  if (others.length === 0) return []
  const marks = others.flatMap(({ mark }) => (mark === undefined || mark === worst.mark ? [] : mark))
  const dimensions = others.flatMap(({ dimension }) => dimension ?? [])
  const names = [...(marks.length > 0 ? [rangesOfMarks(marks)] : []), ...dimensions].join(', ')
  const named = names === '' ? '' : `: ${plain(names, TEXT_LENGTH)}`
  return [`  and ${others.length} more like it${named}`]
}

/** The line as written, less its indent, and a caret below the place. */
function sourceLines({ file, line, column }: Site): string[] {
  const text = lineOf(file, line)
  if (text === undefined || text.trim() === '' || text.length > SOURCE_LENGTH) return []
  const indent = text.length - text.trimStart().length
  return [plain(text.trim(), SOURCE_LENGTH), `${' '.repeat(Math.max(0, column - 1 - indent))}^`]
}

function lineOf(file: string, line: number): string | undefined {
  try {
    return readFileSync(file, 'utf8').split(/\r?\n/)[line - 1]
  } catch {
    return undefined
  }
}

const MARK_LENGTH = 60
const TEXT_LENGTH = 300
const SOURCE_LENGTH = 160

/** What an author wrote, cut to length, and with control characters shown, not sent: it must not steer the terminal. */
function plain(text: string, most: number): string {
  const short = text.length > most ? `${text.slice(0, most)}… (${text.length} characters)` : text
  return short.replace(/\p{Cc}/gu, (character) =>
    character === '\t' ? ' ' : `\\x${character.charCodeAt(0).toString(16).padStart(2, '0')}`,
  )
}

function compareMarks(a: string, b: string): number {
  const [stemA, numberA] = numbered(a)
  const [stemB, numberB] = numbered(b)
  return compareText(stemA, stemB) || numberA - numberB || compareText(a, b)
}

function follows(before: string, after: string): boolean {
  const [stemA, numberA] = numbered(before)
  const [stemB, numberB] = numbered(after)
  return stemA === stemB && numberB === numberA + 1
}

/** `WR-P07` as `WR-P` and 7. */
function numbered(mark: string): [stem: string, number: number] {
  const [, stem = mark, digits] = /^(.*?)(\d+)$/.exec(mark) ?? []
  return digits === undefined ? [mark, Number.NaN] : [stem, Number(digits)]
}

function lastWord(mark: string): string {
  return mark.slice(mark.lastIndexOf('-') + 1)
}
