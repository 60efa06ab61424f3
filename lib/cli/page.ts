import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { compareText, type Finding, FindingError, sortFindings } from '../finding/finding'
import { weights } from '../fit/mass'
import { type SolidPiece, solidsOf } from '../fit/solid'
import { standAll } from '../fit/standAll'
import type { Piece } from '../model/piece'
import type { Relation } from '../model/relation'
import { type Manifest } from '../revision/manifest'
import { progressOf } from '../revision/progress'
import { readManifest } from '../revision/readManifest'
import type { Stock } from '../stock/card'
import { benchState } from '../view/benchState'
import type { FitState, PackedSolids } from '../view/data'
import { type DocumentInput, type DocumentProgress, documentOf } from '../view/document'
import type { ModelPage } from '../view/html'
import { packSolids } from '../view/pack'
import { digest } from './cache/store'
import { changesSince, type Compared } from './changesPage'
import { LOGBOOK, readProjectLogbook } from './logbook'
import { createRecall } from './recall'
import { findingsOf, hasErrors, type Outcome } from './report'
import { within, type Workshop } from './workshop'

/** What a build gives the page, as far as it is known. */
export interface Draft {
  /**
   * The pieces as they stand now, with the sheets, places and states of the build before, which take as long again to read;
   * undefined for the first build.
   *
   * @param found what was said of the fit before
   */
  soon(found: readonly Finding[]): ModelPage | undefined
  /** @param found what the fit of the model gave, as far as it has been looked at */
  page(fit: FitState, found: readonly Finding[]): ModelPage
}

/** What is on disk beside the source: the last good build, and the logbook. */
interface OnDisk {
  readonly manifest: Manifest | undefined
  readonly sheets: ReadonlyMap<string, string>
  readonly bench: Bench
  readonly changes: DocumentInput['changes']
}

/**
 * Makes what the page tells of one model, build after build, keeping what the last one shares with the next. Where a build
 * failed, that is told of the pieces that could be evaluated, or else of the last build without errors.
 */
export function createDrafter(workshop: Workshop, compared: Compared | undefined): (outcome: Outcome) => Draft {
  const recall = createRecall()
  const bench = once(benchOf)
  const changes = once((manifest: Manifest | undefined) => manifest && compared && changesSince(compared, manifest))
  const manifestIn = once(manifestFrom)
  let before: OnDisk | undefined
  const read = (name: string): OnDisk => {
    const folder = join(workshop.out, name)
    const manifest = manifestIn(textIn(join(folder, MANIFEST)), folder)
    const logbook = textIn(join(workshop.root, LOGBOOK))
    return { manifest, sheets: sheetsIn(folder), bench: bench(manifest, workshop.root, logbook), changes: changes(manifest) }
  }
  return (outcome) => {
    recall.turnOver()
    const last = before
    const now = lazy(() => (before = read(outcome.name)))
    const shown = lazy(() => (outcome.model ? ofModel(outcome.model) : ofManifest(now().manifest)))
    const standing = lazy(() => stand(shown().pieces, shown().stocks, (input, make) => recall.get('page solid', input, make)))
    const pageOf = ({ manifest, sheets, bench, changes }: OnDisk, fit: FitState, found: readonly Finding[]): ModelPage => {
      const { title = outcome.name, ...rest } = shown()
      const { solids, findings } = standing()
      const said = [...findingsOf(outcome), ...findings, ...bench.findings, ...found]
      const data = documentOf({
        ...rest,
        name: outcome.name,
        title,
        fit,
        solids,
        findings: sortFindings(distinct(said)),
        placements: new Map(manifest?.pieces.map(({ mark, placements }) => [mark, placements])),
        sheets: sheetsByStock(rest.stocks, sheets),
        ...(outcome.model && { masses: weights(outcome.model) }),
        fileName: (file) => within(workshop.root, file),
        ...(changes && { changes }),
        ...(bench.progress && { progress: bench.progress }),
        ...(hasErrors(findingsOf(outcome)) && { stale: staleText(outcome) }),
      })
      return { data, sheets }
    }
    return {
      soon: (found) => (last && outcome.model ? pageOf(last, 'under way', found) : undefined),
      page: (fit, found) => pageOf(now(), fit, found),
    }
  }
}

/** Made when it is first asked for. */
function lazy<Made>(make: () => Made): () => Made {
  let made: { readonly value: Made } | undefined
  return () => (made ??= { value: make() }).value
}

/** Keeps the last result, for as long as it is asked for with the same. */
function once<Args extends readonly unknown[], Result>(make: (...args: Args) => Result): (...args: Args) => Result {
  let last: { readonly args: Args; readonly result: Result } | undefined
  return (...args) => {
    if (!last || args.some((arg, i) => arg !== last!.args[i])) last = { args, result: make(...args) }
    return last.result
  }
}

/** Standing up and the fit both say that a piece has no place. */
function distinct(findings: readonly Finding[]): Finding[] {
  return [...new Map(findings.map((finding) => [JSON.stringify([finding.id, finding.mark, finding.family, finding.text]), finding])).values()]
}

/** Solids of all pieces that have a place a flat thing can have, by mark, and what is wrong with the others. */
function stand(
  pieces: readonly Piece[],
  stocks: readonly Stock[],
  keep: (input: string, make: () => PackedSolids | undefined) => PackedSolids | undefined,
): { solids: Map<string, PackedSolids>; findings: readonly Finding[] } {
  const solids = new Map<string, PackedSolids>()
  const { findings } = standAll(pieces, new Map(stocks.map((stock) => [stock.id, stock])), (piece, stock) => {
    const packed = keep(solidInput(piece, stock), () => {
      const bodies = solidsOf(piece, stock)
      return bodies.length > 0 ? packSolids(bodies) : undefined
    })
    if (packed) solids.set(piece.mark, packed)
    return []
  })
  return { solids, findings }
}

/** All that the solids of a piece hang on. */
function solidInput({ mark, plies, copies, outline, openings, scores, pose, also, form }: SolidPiece, stock: Stock): string {
  const { thickness, glueLine, fold } = stock
  return JSON.stringify([mark, plies, copies, outline, openings, scores, pose, also, form, thickness, glueLine, fold])
}

interface Bench {
  readonly progress?: DocumentProgress
  readonly findings: readonly Finding[]
}

/**
 * What the logbook says of the build; nothing where there is none, or where it cannot be read, which is a finding.
 *
 * @param logbook its text: it is only ever added to, so that the same text is the same logbook
 */
function benchOf(manifest: Manifest | undefined, root: string, logbook: string | undefined): Bench {
  if (!manifest || logbook === undefined) return { findings: [] }
  try {
    const { entries, shapes, findings } = readProjectLogbook(root)
    return { progress: benchState(progressOf(manifest, entries, { shapes })), findings }
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    return { findings: [error.finding] }
  }
}

interface Shown {
  readonly title?: string
  readonly scale: { readonly name: string; readonly ratio: number }
  readonly assemblies: readonly string[]
  readonly families?: readonly string[]
  readonly relations: readonly Relation[]
  readonly stocks: readonly Stock[]
  readonly pieces: readonly Piece[]
}

function ofModel({ title, scale, assemblies, families, relations, stocks, pieces }: NonNullable<Outcome['model']>): Shown {
  const used = new Set(pieces.map(({ stock }) => stock))
  const list = [...stocks.values()].filter(({ id }) => used.has(id))
  const sorted = list.toSorted((a, b) => compareText(a.id, b.id))
  return { title, scale, assemblies, ...(families && { families }), relations, pieces, stocks: sorted }
}

function ofManifest(manifest: Manifest | undefined): Shown {
  if (!manifest) return { scale: { name: '', ratio: 1 }, assemblies: [], relations: [], stocks: [], pieces: [] }
  const { title, scale, assemblies, families, relations, stocks, pieces } = manifest
  return { title, scale, assemblies, ...(families && { families }), relations, stocks, pieces }
}

function staleText({ model }: Outcome): string {
  return model
    ? 'the sheets are those of the last build without errors'
    : 'the source could not be read; this is the last build without errors'
}

const MANIFEST = 'manifest.json'

/** The manifest on disk; a broken one is the build's to complain of. */
function manifestFrom(text: string | undefined, folder: string): Manifest | undefined {
  try {
    return text === undefined ? undefined : readManifest(text, join(folder, MANIFEST))
  } catch {
    return undefined
  }
}

function textIn(file: string): string | undefined {
  return existsSync(file) ? readFileSync(file, 'utf8') : undefined
}

function sheetsIn(folder: string): Map<string, string> {
  const sheets = join(folder, 'sheets')
  const names = existsSync(sheets) ? readdirSync(sheets).filter((name) => name.endsWith('.svg')) : []
  return new Map(names.toSorted(compareText).map((name) => [name.slice(0, -4), readFileSync(join(sheets, name), 'utf8')]))
}

/** Sheets are named for their stock and numbered: `folder-01`. */
function sheetsByStock(stocks: readonly Stock[], sheets: ReadonlyMap<string, string>): DocumentInput['sheets'] {
  const named = [...sheets].map(([name, text]) => ({ name, digest: digest(text).slice(0, 12) }))
  return new Map(stocks.map(({ id }) => [id, named.filter(({ name }) => name.replace(/-\d+$/, '') === id)]))
}
