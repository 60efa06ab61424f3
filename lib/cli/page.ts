import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { compareText, type Finding, FindingError, sortFindings } from '../finding/finding'
import { weights } from '../fit/mass'
import { type Solid, solidsOf } from '../fit/solid'
import { standAll } from '../fit/standAll'
import type { Piece } from '../model/piece'
import { type Manifest } from '../revision/manifest'
import { readManifest } from '../revision/readManifest'
import type { Stock } from '../stock/card'
import { progressOf } from '../revision/progress'
import { benchState } from '../view/benchState'
import { type DocumentProgress, documentOf } from '../view/document'
import type { ModelPage } from '../view/html'
import { changesSince, type Compared } from './changesPage'
import { LOGBOOK, readProjectLogbook } from './logbook'
import type { Recall } from './recall'
import { findingsOf, hasErrors, type Outcome } from './report'
import { within, type Workshop } from './workshop'

/**
 * Of a build that was just done. Where it failed, of the pieces that could be evaluated, or else of the last build.
 *
 * @param recall keeps solids from one build of this model to the next
 */
export function pageOf(
  outcome: Outcome,
  workshop: Workshop,
  recall: Recall,
  compared: Compared | undefined,
): ModelPage {
  recall.turnOver()
  const folder = join(workshop.out, outcome.name)
  const manifest = lastBuild(folder)
  const sheets = sheetsIn(folder)
  const { title, scale, assemblies, stocks, pieces } = outcome.model ? ofModel(outcome.model) : ofManifest(manifest)
  const { solids, findings: standing } = stand(pieces, stocks, recall)
  const bench = manifest && benchOf(manifest, workshop.root)
  const findings = sortFindings([...findingsOf(outcome), ...standing, ...(bench?.findings ?? [])])
  const data = documentOf({
    name: outcome.name,
    title: title ?? outcome.name,
    scale,
    assemblies,
    stocks,
    pieces,
    placements: new Map(manifest?.pieces.map(({ mark, placements }) => [mark, placements])),
    sheets: sheetsByStock(stocks, sheets),
    findings,
    solids,
    ...(outcome.model && { masses: weights(outcome.model) }),
    fileName: (file) => within(workshop.root, file),
    ...(compared && manifest && { changes: changesSince(compared, manifest) }),
    ...(bench?.progress && { progress: bench.progress }),
    ...(hasErrors(findingsOf(outcome)) && { stale: staleText(outcome) }),
  })
  return { data, sheets }
}

/** Solids of all pieces that have a place a flat thing can have, and what is wrong with the others. */
function stand(
  pieces: readonly Piece[],
  stocks: readonly Stock[],
  recall: Recall,
): { solids: Solid[]; findings: Finding[] } {
  return standAll(pieces, new Map(stocks.map((stock) => [stock.id, stock])), (piece, stock) => {
    const { mark, plies, copies, outline, openings, scores, pose, also, form } = piece
    const { thickness, glueLine, fold } = stock
    const input = JSON.stringify([
      { mark, plies, copies, outline, openings, scores, pose, also, form },
      { thickness, glueLine, fold },
    ])
    return recall.get('solid', input, () => solidsOf(piece, stock))
  })
}

/** What the logbook says of the build; nothing where there is none, or where it cannot be read, which is a finding. */
function benchOf(manifest: Manifest, root: string): { progress?: DocumentProgress; findings: readonly Finding[] } {
  if (!existsSync(join(root, LOGBOOK))) return { findings: [] }
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
  readonly stocks: readonly Stock[]
  readonly pieces: readonly Piece[]
}

function ofModel({ title, scale, assemblies, stocks, pieces }: NonNullable<Outcome['model']>): Shown {
  const used = new Set(pieces.map(({ stock }) => stock))
  const list = [...stocks.values()].filter(({ id }) => used.has(id))
  return { title, scale, assemblies, pieces, stocks: list.toSorted((a, b) => compareText(a.id, b.id)) }
}

function ofManifest(manifest: Manifest | undefined): Shown {
  return manifest ?? { scale: { name: '', ratio: 1 }, assemblies: [], stocks: [], pieces: [] }
}

function staleText({ model }: Outcome): string {
  return model
    ? 'the sheets are those of the last build without errors'
    : 'the source could not be read; this is the last build without errors'
}

/** The manifest on disk; a broken one is the build's to complain of. */
function lastBuild(folder: string): Manifest | undefined {
  const file = join(folder, 'manifest.json')
  try {
    return existsSync(file) ? readManifest(readFileSync(file, 'utf8'), file) : undefined
  } catch {
    return undefined
  }
}

function sheetsIn(folder: string): Map<string, string> {
  const sheets = join(folder, 'sheets')
  const names = existsSync(sheets) ? readdirSync(sheets).filter((name) => name.endsWith('.svg')) : []
  return new Map(names.toSorted(compareText).map((name) => [name.slice(0, -4), readFileSync(join(sheets, name), 'utf8')]))
}

/** Sheets are named for their stock and numbered: `folder-01`. */
function sheetsByStock(stocks: readonly Stock[], sheets: ReadonlyMap<string, string>): Map<string, string[]> {
  return new Map(
    stocks.map(({ id }) => [id, [...sheets.keys()].filter((name) => name.replace(/-\d+$/, '') === id)]),
  )
}
