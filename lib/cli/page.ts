import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { compareText } from '../finding/finding'
import { isRigid } from '../fit/place'
import { posesOf, type Solid, solidsOf } from '../fit/solid'
import type { Piece } from '../model/piece'
import { type Manifest } from '../revision/manifest'
import { readManifest } from '../revision/readManifest'
import type { Stock } from '../stock/card'
import { documentOf } from '../view/document'
import type { ModelPage } from '../view/html'
import { findingsOf, hasErrors, type Outcome } from './report'
import { within, type Workshop } from './workshop'

/** Of a build that was just done. Where it failed, of the pieces that could be evaluated, or else of the last build. */
export function pageOf(outcome: Outcome, workshop: Workshop): ModelPage {
  const folder = join(workshop.out, outcome.name)
  const manifest = lastBuild(folder)
  const sheets = sheetsIn(folder)
  const findings = findingsOf(outcome)
  const { title, scale, assemblies, stocks, pieces } = outcome.model ? ofModel(outcome.model) : ofManifest(manifest)
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
    solids: standing(pieces, stocks),
    fileName: (file) => within(workshop.root, file),
    ...(hasErrors(findings) && { stale: staleText(outcome) }),
  })
  return { data, sheets }
}

/** Solids of all pieces that have a place a flat thing can have; what is wrong with the others is a finding. */
function standing(pieces: readonly Piece[], stocks: readonly Stock[]): Solid[] {
  const byId = new Map(stocks.map((stock) => [stock.id, stock]))
  return pieces.flatMap((piece) => {
    const stock = byId.get(piece.stock)
    return stock && posesOf(piece).every(isRigid) ? solidsOf(piece, stock) : []
  })
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
