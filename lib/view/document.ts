import type { Finding, Site } from '../finding/finding'
import { resolveSite } from '../finding/site'
import { buildOrder } from '../model/buildOrder'
import type { Piece } from '../model/piece'
import type { Relation } from '../model/relation'
import type { Placement } from '../nest/nest'
import { builtAssemblies } from '../sheet/buildSteps'
import type { Stock } from '../stock/card'
import type { FitState, PackedSolids, PageChanges, PageData, PageFinding, PagePiece, PagePlace, PageProgress, PageSheet } from './data'
import { packLoops } from './pack'

/** All that the page tells of a model; what is not known yet is left out. */
export interface DocumentInput {
  readonly name: string
  readonly title: string
  readonly scale: { readonly name: string; readonly ratio: number }
  readonly assemblies: readonly string[]
  /** Codes of families in the order they are built. */
  readonly families?: readonly string[]
  readonly relations: readonly Relation[]
  readonly stocks: readonly Stock[]
  readonly pieces: readonly Piece[]
  /** By mark. */
  readonly placements: ReadonlyMap<string, readonly Placement[]>
  /** The sheets that are there, by stock. */
  readonly sheets: ReadonlyMap<string, readonly DocumentSheet[]>
  readonly findings: readonly Finding[]
  readonly fit?: FitState
  /** Of pieces that stand, by mark. */
  readonly solids: ReadonlyMap<string, PackedSolids>
  /** Grams, by mark. */
  readonly masses?: ReadonlyMap<string, number>
  readonly changes?: DocumentChanges
  readonly progress?: DocumentProgress
  readonly stale?: string
  /** A file of the author's as the page calls it. */
  readonly fileName?: (file: string) => string
}

export interface DocumentSheet {
  /** File name without its ending. */
  readonly name: string
  /** Of its drawing. */
  readonly digest: string
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
  const pieces = asBuilt(input)
  const numbers = new Map(pieces.map(({ mark }, i) => [mark, i]))
  const sheets = sheetsOf(input)
  return {
    name,
    title,
    scale: { name: scale.name, ratio: scale.ratio },
    assemblies: [...assemblies],
    stocks: stocks.map(({ id, title, thickness }) => ({ id, title, thickness: thickness.value })),
    sheets: sheets.list,
    pieces: pagePieces(pieces, input, sheets.numbers),
    findings: findings.map((finding) => pageFinding(finding, pieces, numbers, input)),
    fit: input.fit ?? 'none',
    ...(input.changes && { changes: pageChanges(input.changes, numbers) }),
    ...(input.progress && { progress: pageProgress(input.progress, pieces) }),
    ...(stale !== undefined && { stale }),
  }
}

/** As the build book has it; where assemblies wait for one another, which the build complains of, as they are listed. */
function asBuilt({ pieces, assemblies, families, relations }: DocumentInput): Piece[] {
  const found = buildOrder(assemblies, relations)
  const order = 'cycle' in found ? assemblies : found.order
  return builtAssemblies(pieces, order, families).flatMap((built) => [...built.pieces])
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
    list.push(...names.map((drawn) => ({ ...drawn, stock, width: sheet.width, height: sheet.height })))
  }
  return { list, numbers }
}

function pagePieces(
  pieces: readonly Piece[],
  { assemblies, stocks, placements, masses, solids, fileName }: DocumentInput,
  sheetNumbers: ReadonlyMap<string, readonly number[]>,
): PagePiece[] {
  const assemblyNumbers = new Map(assemblies.map((path, i) => [path, i]))
  const stockNumbers = new Map(stocks.map(({ id }, i) => [id, i]))
  return pieces.map((piece) => {
    const { mark, family, assembly, stock, plies, copies, grain, outline, openings, reads, notes } = piece
    const site = resolveSite(piece.site)
    const loops = [outline, ...openings.map(({ loop }) => loop)]
    const mass = masses?.get(mark)
    const stands = solids.get(mark)
    return {
      mark,
      family,
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
      ...(stands && { solids: stands }),
    }
  })
}

function placesOn(placements: readonly Placement[], sheets: readonly number[]): PagePlace[] {
  return placements.flatMap(({ sheet, x, y, turn }): PagePlace[] => {
    const number = sheets[sheet]
    return number === undefined ? [] : [[number, x, y, turn]]
  })
}

function pageFinding(
  { id, severity, text, remedy, mark, family, at, also = [], inModel, site }: Finding,
  pieces: readonly Piece[],
  numbers: ReadonlyMap<string, number>,
  { fileName }: DocumentInput,
): PageFinding {
  const piece = mark === undefined ? undefined : numbers.get(mark)
  const subject = piece === undefined ? (mark ?? family) : undefined
  const others = also.flatMap(({ mark: other, at: there }) => {
    const number = numbers.get(other)
    return number === undefined ? [] : [{ piece: number, ...(there && { at: [there[0], there[1]] as const }) }]
  })
  const spot = inModel ?? (piece !== undefined && at ? inPlace(pieces[piece]!, at) : undefined)
  return {
    id,
    severity,
    text,
    remedy,
    pieces: [...new Set([...(piece === undefined ? [] : [piece]), ...namedIn(text, numbers)])],
    ...(subject !== undefined && { subject }),
    ...(at && { at: [at[0], at[1]] as const }),
    ...(others.length > 0 && { also: others }),
    ...(spot && { spot: spot.map((value) => Number(value.toFixed(2))) as unknown as Spot }),
    ...(site && { site: siteText(site, fileName) }),
  }
}

type Spot = NonNullable<PageFinding['spot']>

/** Pieces whose marks are in the text, as in `FR-P03 and ST-01 are in each other's way`. */
function namedIn(text: string, numbers: ReadonlyMap<string, number>): number[] {
  return text.split(/[\s,;:()“”]+/).flatMap((word) => numbers.get(word) ?? [])
}

/** Where a place on the flat piece is in the model; undefined for one that is folded, curled or rolled, or has no place. */
function inPlace({ pose, form }: Piece, [x, y]: readonly [number, number]): number[] | undefined {
  if (!pose || form) return undefined
  return [0, 1, 2].map((k) => pose.origin[k]! + x * pose.right[k]! + y * pose.up[k]!)
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
