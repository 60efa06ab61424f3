import { FindingError } from '../finding/finding'
import { isWithin } from '../model/assemblyPath'
import { sheetName } from '../sheet/sheetName'
import { nearestName } from '../finding/nearest'
import type { Manifest, ManifestPiece } from './manifest'

/** A mark that was asked for, and how many pieces where the words said so: those on a sheet. */
export interface ChosenMark {
  readonly mark: string
  readonly count?: number
}

/**
 * The marks that words stand for, each once, in the order of the words. A word is one of these, or several with commas
 * between:
 *
 * - a mark, `WR-P03`, or the beginning of several, `SE-P03` for `SE-P03-BOX` and `SE-P03-PAN`;
 * - a range, `WR-P03..P09`, `WR-P03..WR-P09` or `WR-P03..09`, both ends included;
 * - a family, `WR`, or one side of it, `WR-P`;
 * - an assembly with all below it, `wing/ribs`, or `wing/` where `wing` alone could mean something else;
 * - a sheet, `folder-02`: every piece that lies on it.
 *
 * @param known marks that may be named although the model no longer has them
 * @throws FindingError for a word that stands for nothing, with the nearest that does, or for two things
 */
export function chooseMarks(words: readonly string[], manifest: Manifest, known: Iterable<string> = []): ChosenMark[] {
  const marks = new Set([...manifest.pieces.map(({ mark }) => mark), ...known])
  const parts = new Set(words.flatMap((word) => word.split(',')).map((word) => word.trim()))
  parts.delete('')
  const chosen = new Map<string, ChosenMark>()
  for (const word of parts) {
    for (const { mark, count } of choiceFor(word, manifest, [...marks])) {
      const sum = chosen.has(mark) ? sumOf(chosen.get(mark)!.count, count) : count
      chosen.set(mark, { mark, ...(sum !== undefined && { count: sum }) })
    }
  }
  return [...chosen.values()]
}

function sumOf(a: number | undefined, b: number | undefined): number | undefined {
  return a === undefined || b === undefined ? undefined : a + b
}

function choiceFor(word: string, manifest: Manifest, marks: readonly string[]): ChosenMark[] {
  if (word.includes('..')) return rangeOf(word, marks).map(asChosen)
  if (marks.includes(word)) return [asChosen(word)]
  const found = READINGS.map(({ what, read }) => ({ what, pieces: read(word, manifest) })).filter(
    ({ pieces }) => pieces.length > 0,
  )
  const [first, second] = found
  if (first && second && !isSame(first.pieces, second.pieces)) {
    throw wordError(
      `"${word}" is both ${first.what} and ${second.what}`,
      second.what === ASSEMBLY ? `write ${word}/ for the assembly, or name marks` : 'name the marks, or a range',
    )
  }
  if (first) return [...first.pieces]
  const below = marks.filter((mark) => mark.startsWith(`${word}-`))
  if (below.length > 0) return below.map(asChosen)
  throw unknown(word, manifest, marks)
}

const ASSEMBLY = 'an assembly'

/** What a word can stand for beside a mark. */
const READINGS: readonly { what: string; read: (word: string, manifest: Manifest) => ChosenMark[] }[] = [
  { what: 'a sheet', read: onSheet },
  { what: 'a family', read: (word, { pieces }) => pieces.filter(({ family }) => family === word).map(markOf) },
  {
    what: 'one side of a family',
    read: (word, { pieces }) =>
      pieces.filter(({ family, side }) => side !== '' && `${family}-${side}` === word).map(markOf),
  },
  { what: ASSEMBLY, read: (word, { pieces }) => pieces.filter(isIn(word.replace(/\/$/, ''))).map(markOf) },
]

function onSheet(word: string, { stocks, pieces }: Manifest): ChosenMark[] {
  const [, id, digits] = /^(.+)-(\d+)$/.exec(word) ?? []
  const stock = stocks.find((one) => one.id === id)
  if (!stock) return []
  const sheet = Number(digits)
  if (sheet < 1 || sheet > stock.sheets) {
    const last = sheetName(stock.id, stock.sheets - 1)
    throw wordError(`there is no sheet "${word}"`, `the sheets of ${stock.id} end with ${last}`)
  }
  return pieces
    .filter((piece) => piece.stock === stock.id)
    .map(({ mark, placements }) => ({ mark, count: placements.filter((place) => place.sheet === sheet - 1).length }))
    .filter(({ count }) => count > 0)
}

function isIn(assembly: string): (piece: ManifestPiece) => boolean {
  return (piece) => isWithin(piece.assembly, assembly)
}

function isSame(a: readonly ChosenMark[], b: readonly ChosenMark[]): boolean {
  return a.length === b.length && a.every(({ mark }, i) => mark === b[i]!.mark)
}

/** The marks of a range, a family that counts on in one number of its marks. */
function rangeOf(word: string, marks: readonly string[]): string[] {
  const [from = '', to = '', ...more] = word.split('..')
  const ends = more.length === 0 ? endsOf(from, to) : undefined
  if (!ends) throw wordError(`"${word}" is not a range of marks`, 'write it like WR-P03..P09')
  const { head, first, last, tail } = ends
  const numbered = marks.flatMap((mark) => {
    if (!mark.startsWith(head)) return []
    const [, digits, rest] = /^(\d+)(.*)$/.exec(mark.slice(head.length)) ?? []
    const fits = rest !== undefined && rest.startsWith(tail) && /^(?:-|$)/.test(rest.slice(tail.length))
    return fits ? [{ mark, number: Number(digits) }] : []
  })
  for (const [end, number] of [
    [from, first],
    [fullEnd(to, ends), last],
  ] as const) {
    if (numbered.some((one) => one.number === number)) continue
    const near = nearestName(end, marks)
    const known = numbered.map((one) => one.number)
    const reach = known.length > 0 ? `${head}n${tail} goes from ${Math.min(...known)} to ${Math.max(...known)}` : ''
    throw wordError(
      `there is no mark "${end}", an end of the range ${word}`,
      reach || (near === undefined ? 'cardwright list shows the families' : `did you mean "${near}"?`),
    )
  }
  if (first > last) {
    throw wordError(`the range ${word} runs backwards, from ${first} to ${last}`, `write ${fullEnd(to, ends)}..${from}`)
  }
  return numbered.filter(({ number }) => number >= first && number <= last).map(({ mark }) => mark)
}

interface Ends {
  readonly head: string
  readonly first: number
  readonly last: number
  readonly tail: string
}

/** What two ends have in common, and the numbers that they differ in. */
function endsOf(from: string, to: string): Ends | undefined {
  const [a, b] = [from.split(/(\d+)/), to.split(/(\d+)/)]
  const differ = a.flatMap((part, i) => (part === b[i] ? [] : [i]))
  const at = differ[0] ?? a.length - 2
  // Every second part is a number.
  if (a.length === b.length && differ.length <= 1 && at % 2 === 1) {
    return { head: a.slice(0, at).join(''), first: Number(a[at]), last: Number(b[at]), tail: a.slice(at + 1).join('') }
  }
  const [, head, letters, first] = /^(.*?)([A-Za-z]*)(\d+)$/.exec(from) ?? []
  const [, same, last] = /^([A-Za-z]*)(\d+)$/.exec(to) ?? []
  if (head === undefined || last === undefined || (same !== '' && same !== letters)) return undefined
  return { head: head + letters, first: Number(first), last: Number(last), tail: '' }
}

/** The second end as a mark, when it was written short. */
function fullEnd(to: string, { head, tail }: Ends): string {
  return to.startsWith(head) ? to : `${head}${/\d+/.exec(to)![0]}${tail}`
}

function unknown(word: string, manifest: Manifest, marks: readonly string[]): FindingError {
  const { model, pieces, assemblies, stocks } = manifest
  const families = new Set(pieces.map(({ family }) => family))
  const near = nearestName(word, [...marks, ...families, ...assemblies])
  const [family = 'WR'] = families
  const examples = [family, assemblies.at(-1), stocks[0] && `${stocks[0].id}-01`].filter((name) => name !== undefined)
  return wordError(
    `${model} has no mark, family, assembly or sheet "${word}"`,
    near === undefined ? `name marks, or what stands for many, as ${examples.join(', ')}` : `did you mean "${near}"?`,
  )
}

function wordError(text: string, remedy: string): FindingError {
  return new FindingError({ id: 'marks', severity: 'error', text, remedy })
}

function markOf({ mark }: ManifestPiece): ChosenMark {
  return { mark }
}

function asChosen(mark: string): ChosenMark {
  return { mark }
}
