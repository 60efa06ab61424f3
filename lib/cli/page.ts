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

/** What is known of a build but for its fit, which is found later. */
export interface Draft {
  /** @param found what the fit of the model gave, as far as it has been looked at */
  page(fit: FitState, found: readonly Finding[]): ModelPage
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
  return (outcome) => {
    recall.turnOver()
    const folder = join(workshop.out, outcome.name)
    const manifest = manifestIn(textIn(join(folder, MANIFEST)), folder)
    const sheets = sheetsIn(folder)
    const shown = outcome.model ? ofModel(outcome.model) : ofManifest(manifest)
    const { solids, findings: standing } = stand(shown.pieces, shown.stocks, (input, make) => recall.get('page solid', input, make))
    const { progress, findings: told } = bench(manifest, workshop.root, logbookIn(workshop.root))
    const since = changes(manifest)
    const found = [...findingsOf(outcome), ...standing, ...told]
    const input: Omit<DocumentInput, 'findings'> = {
      ...shown,
      name: outcome.name,
      title: shown.title ?? outcome.name,
      placements: new Map(manifest?.pieces.map(({ mark, placements }) => [mark, placements])),
      sheets: sheetsByStock(shown.stocks, sheets),
      solids,
      ...(outcome.model && { masses: weights(outcome.model) }),
      fileName: (file) => within(workshop.root, file),
      ...(since && { changes: since }),
      ...(progress && { progress }),
      ...(hasErrors(findingsOf(outcome)) && { stale: staleText(outcome) }),
    }
    return {
      page: (fit, more) => ({ data: documentOf({ ...input, fit, findings: sortFindings(distinct([...found, ...more])) }), sheets }),
    }
  }
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

/** What the logbook says of the build; nothing where there is none, or where it cannot be read, which is a finding. */
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

/** It is only ever added to: what it is now, or undefined where there is none. */
function logbookIn(root: string): string | undefined {
  return textIn(join(root, LOGBOOK))
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
