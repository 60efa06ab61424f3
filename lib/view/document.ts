import { compareText, type Finding, type Site } from '../finding/finding'
import { resolveSite } from '../finding/site'
import type { Piece } from '../model/piece'
import type { Placement } from '../nest/nest'
import type { Stock } from '../stock/card'
import type { PageChanges, PageData, PageFinding, PagePiece, PagePlace, PageProgress, PageSheet } from './data'
import { type Body, packLoops, packSolids } from './pack'

/** All that the page tells of a model; what is not known yet is left out. */
export interface DocumentInput {
  readonly name: string
  readonly title: string
  readonly scale: { readonly name: string; readonly ratio: number }
  readonly assemblies: readonly string[]
  readonly stocks: readonly Stock[]
  readonly pieces: readonly Piece[]
  /** By mark. */
  readonly placements: ReadonlyMap<string, readonly Placement[]>
  /** Names of the sheets that are there, without their ending, by stock. */
  readonly sheets: ReadonlyMap<string, readonly string[]>
  readonly findings: readonly Finding[]
  readonly solids: readonly DocumentSolid[]
  /** Grams, by mark. */
  readonly masses?: ReadonlyMap<string, number>
  readonly changes?: DocumentChanges
  readonly progress?: DocumentProgress
  readonly stale?: string
  /** A file of the author's as the page calls it. */
  readonly fileName?: (file: string) => string
}

export interface DocumentSolid {
  readonly mark: string
  readonly copy: number
  readonly vertices: ArrayLike<number>
  readonly triangles: ArrayLike<number>
}

export interface DocumentChanges {
  readonly since: string
  readonly pieces: readonly { readonly mark: string; readonly kind: string; readonly text: string }[]
  readonly gone: readonly string[]
}

export interface DocumentProgress {
  readonly states: readonly string[]
  /** By mark; a piece that is not in it is in the first state. */
  readonly pieces: ReadonlyMap<string, string>
}

/** The page's data, the same bytes for the same input. */
export function documentOf(input: DocumentInput): PageData {
  const { name, title, scale, assemblies, stocks, findings, stale } = input
  const pieces = inBuildOrder(input.pieces, assemblies)
  const numbers = new Map(pieces.map(({ mark }, i) => [mark, i]))
  const told = findings.map((finding) => pageFinding(finding, numbers, input))
  const solids = input.solids.flatMap(({ mark, ...solid }): Body[] => {
    const piece = numbers.get(mark)
    return piece === undefined ? [] : [{ piece, ...solid }]
  })
  const sheets = sheetsOf(input)
  return {
    name,
    title,
    scale: { name: scale.name, ratio: scale.ratio },
    assemblies: [...assemblies],
    stocks: stocks.map(({ id, title, thickness }) => ({ id, title, thickness: thickness.value })),
    sheets: sheets.list,
    pieces: pagePieces(pieces, input, sheets.numbers, told, new Set(solids.map(({ piece }) => piece))),
    findings: told,
    solids: packSolids(solids.toSorted((a, b) => a.piece - b.piece || a.copy - b.copy)),
    ...(input.changes && { changes: pageChanges(input.changes, numbers) }),
    ...(input.progress && { progress: pageProgress(input.progress, pieces) }),
    ...(stale !== undefined && { stale }),
  }
}

function inBuildOrder(pieces: readonly Piece[], assemblies: readonly string[]): Piece[] {
  const rank = new Map(assemblies.map((path, i) => [path, i]))
  const of = ({ assembly }: Piece) => rank.get(assembly) ?? -1
  return pieces.toSorted((a, b) => of(a) - of(b) || compareText(a.mark, b.mark))
}

/** Sheets in the order of stocks, and the number of a sheet in that list by stock and page. */
function sheetsOf({ stocks, sheets }: DocumentInput): { list: PageSheet[]; numbers: Map<string, readonly number[]> } {
  const list: PageSheet[] = []
  const numbers = new Map<string, readonly number[]>()
  for (const [stock, { id, sheet }] of stocks.entries()) {
    const names = sheets.get(id) ?? []
    numbers.set(
      id,
      names.map((_, i) => list.length + i),
    )
    list.push(...names.map((name) => ({ name, stock, width: sheet.width, height: sheet.height })))
  }
  return { list, numbers }
}

function pagePieces(
  pieces: readonly Piece[],
  { assemblies, stocks, placements, masses, fileName }: DocumentInput,
  sheetNumbers: ReadonlyMap<string, readonly number[]>,
  findings: readonly PageFinding[],
  standing: ReadonlySet<number>,
): PagePiece[] {
  const assemblyNumbers = new Map(assemblies.map((path, i) => [path, i]))
  const stockNumbers = new Map(stocks.map(({ id }, i) => [id, i]))
  const found = findingsByPiece(findings)
  return pieces.map((piece, i) => {
    const { mark, assembly, stock, plies, copies, grain, outline, openings, reads, notes } = piece
    const site = resolveSite(piece.site)
    const loops = [outline, ...openings.map(({ loop }) => loop)]
    const mass = masses?.get(mark)
    return {
      mark,
      assembly: assemblyNumbers.get(assembly) ?? -1,
      stock: stockNumbers.get(stock) ?? -1,
      plies,
      copies,
      ...(grain !== undefined && { grain }),
      reads: [...reads],
      notes: [...notes],
      ...(site && { site: siteText(site, fileName) }),
      ...(mass !== undefined && { mass }),
      places: placesOn(placements.get(mark) ?? [], sheetNumbers.get(stock) ?? []),
      flat: packLoops(loops),
      loops: loops.map(({ length }) => length),
      findings: found.get(i) ?? [],
      stands: standing.has(i),
    }
  })
}

function placesOn(placements: readonly Placement[], sheets: readonly number[]): PagePlace[] {
  return placements.flatMap(({ sheet, x, y, turn }): PagePlace[] => {
    const number = sheets[sheet]
    return number === undefined ? [] : [[number, x, y, turn]]
  })
}

function findingsByPiece(findings: readonly PageFinding[]): Map<number, number[]> {
  const found = new Map<number, number[]>()
  for (const [i, { piece }] of findings.entries()) {
    if (piece !== undefined) found.set(piece, [...(found.get(piece) ?? []), i])
  }
  return found
}

function pageFinding(
  { id, severity, text, remedy, mark, family, at, site }: Finding,
  numbers: ReadonlyMap<string, number>,
  { fileName }: DocumentInput,
): PageFinding {
  const piece = mark === undefined ? undefined : numbers.get(mark)
  const subject = piece === undefined ? (mark ?? family) : undefined
  return {
    id,
    severity,
    text,
    remedy,
    ...(piece !== undefined && { piece }),
    ...(subject !== undefined && { subject }),
    ...(at && { at: [at[0], at[1]] as const }),
    ...(site && { site: siteText(site, fileName) }),
  }
}

function siteText({ file, line }: Site, fileName = (name: string) => name): string {
  return `${fileName(file)}:${line}`
}

function pageChanges({ since, pieces, gone }: DocumentChanges, numbers: ReadonlyMap<string, number>): PageChanges {
  return {
    since,
    pieces: pieces.flatMap(({ mark, kind, text }) => {
      const piece = numbers.get(mark)
      return piece === undefined ? [] : [{ piece, kind, text }]
    }),
    gone: [...gone],
  }
}

function pageProgress({ states, pieces }: DocumentProgress, list: readonly Piece[]): PageProgress {
  return {
    states: [...states],
    pieces: list.map(({ mark }) => Math.max(0, states.indexOf(pieces.get(mark) ?? ''))),
  }
}
