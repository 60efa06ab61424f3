import { checkModel } from '../check/index'
import { type Finding, sortFindings } from '../finding/finding'
import type { Model } from '../model/model'
import type { Piece } from '../model/piece'
import type { Effort } from '../nest/nest'
import { fingerprints as fingerprintsOf } from '../revision/fingerprint'
import { keptPlacements } from '../revision/kept'
import { type Manifest, manifestText } from '../revision/manifest'
import { type Drawing, type FormatName, labelRoom, openFormat, printableArea, type Sheet, type SheetFile, sheetName, sheetsOf } from '../sheet/index'
import { area } from '../shape/measure'
import type { Stock } from '../stock/card'
import { type Layout, layOut } from './layout'
import type { OutFile } from './write'

export interface CompileOptions {
  /** The same model at another scale, for checks that say at which scale a detail would work. */
  readonly atRatio?: (ratio: number) => Model | undefined
  readonly effort?: Effort
  /** The build before: pieces that have not changed since stay where they are. */
  readonly before?: Manifest
  /** What the sheets are written as; SVG alone where not given. */
  readonly formats?: readonly FormatName[]
  /** Dots in an inch of a preview. */
  readonly dpi?: number
  readonly onProgress?: (what: string, done: number, total: number) => void
}

export interface Compiled {
  /** Sorted. */
  readonly findings: readonly Finding[]
  /** Empty where there is an error, as are the files: what cannot be cut is not drawn. */
  readonly sheets: readonly SheetCount[]
  readonly files: readonly OutFile[]
}

/** What is cut from one stock. */
export interface SheetCount {
  readonly stock: Stock
  /** Pieces to cut: every copy, every ply. */
  readonly pieces: number
  readonly sheets: number
  /** Share of each sheet's room for pieces that is card of pieces, 0 to 1. */
  readonly use: readonly number[]
}

/** From a model to its findings and the content of every file of its build, without touching the disk. */
export function compileModel(model: Model, options: CompileOptions = {}): Compiled {
  const { atRatio, onProgress, effort, before } = options
  const checked = checkModel(model, { area: printableArea, ...(atRatio && { atRatio }) })
  if (checked.some(isError)) return { findings: checked, sheets: [], files: [] }
  const fingerprints = fingerprintsOf(model.pieces)
  const { layouts, findings } = layOut(model, {
    area: printableArea,
    ...(effort && { effort }),
    ...(before && { keep: keptPlacements(before, model.stocks, fingerprints) }),
    room: (piece) => labelRoom(piece)?.footprint ?? piece.outline,
    ...(onProgress && { onProgress }),
  })
  const all = sortFindings([...checked, ...findings])
  if (all.some(isError)) return { findings: all, sheets: [], files: [] }
  return { findings: all, sheets: layouts.map(countOf), files: filesOf(model, layouts, fingerprints, options) }
}

function isError({ severity }: Finding): boolean {
  return severity === 'error'
}

function countOf({ stock, cuts, sheets, placements }: Layout): SheetCount {
  const room = printableArea(stock)
  const whole = (room.maxX - room.minX) * (room.maxY - room.minY)
  const pieces = new Map(cuts.map(({ id, piece }) => [id, piece]))
  const used = Array.from({ length: sheets }, () => 0)
  for (const { id, sheet } of placements) used[sheet]! += cardArea(pieces.get(id)!)
  return { stock, pieces: cuts.length, sheets, use: used.map((area) => area / whole) }
}

function cardArea({ outline, openings }: Piece): number {
  return area([outline, ...openings.map(({ loop }) => loop)])
}

function filesOf(
  model: Model,
  layouts: readonly Layout[],
  fingerprints: ReadonlyMap<string, string>,
  { onProgress, formats = ['svg'], dpi = PREVIEW_DPI }: CompileOptions,
): OutFile[] {
  const total = layouts.reduce((sum, { sheets }) => sum + sheets, 0)
  let drawn = 0
  const files = layouts.flatMap(({ stock, placements, sheets }): SheetFile[] => {
    const pieces = model.pieces.filter((piece) => piece.stock === stock.id)
    const input = { title: model.title, scale: model.scale.name, stock, pieces, placements, sheets, fingerprints }
    const set = { title: `${model.title} ${model.scale.name}`, stock, assemblies: model.assemblies, dpi }
    const before = drawn
    drawn += sheets
    const writers = formats.map((name) => openFormat(name, set))
    for (const [index, each] of sheetsOf(input).entries()) {
      const sheet = once(each)
      for (const writer of writers) writer.add(sheet, sheetName(stock.id, index))
      onProgress?.('drawing', before + index + 1, total)
    }
    return writers.flatMap((writer) => writer.files())
  })
  return [...files, { path: 'manifest.json', content: manifestText(model, layouts, fingerprints) }]
}

/** Several formats share a sheet's drawing, which goes when the next sheet comes. */
function once({ draw, content }: Sheet): Sheet {
  let [drawing, shown]: [Drawing?, string?] = []
  return { draw: () => (drawing ??= draw()), content: () => (shown ??= content()) }
}

/** Enough to tell every mark on a screen. */
export const PREVIEW_DPI = 100
