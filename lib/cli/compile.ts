import { isDeepStrictEqual } from 'node:util'
import { checkModel } from '../check/index'
import { type Finding, sortFindings } from '../finding/finding'
import type { Model } from '../model/model'
import type { Piece } from '../model/piece'
import type { Effort } from '../nest/nest'
import { fingerprints as fingerprintsOf } from '../revision/fingerprint'
import { keptPlacements } from '../revision/kept'
import { type Manifest, manifestText } from '../revision/manifest'
import type { Patch } from '../revision/patch'
import { readManifest } from '../revision/readManifest'
import {
  type Drawing, type FormatName, labelFootprint, labelPlaces, missingGlyphs, openFormat, overMargin, printableArea,
  type Printer, type Sheet, type SheetFile, sheetName, sheetsOf,
} from '../sheet/index'
import { area } from '../shape/measure'
import type { Stock } from '../stock/card'
import { stockOfSheet } from '../stock/offcut'
import { gapNote } from './gapNote'
import { type Layout, layOut } from './layout'
import { type GivenOffcuts, offcutsOf } from './offcuts'
import type { OutFile } from './write'

export interface CompileOptions {
  /** The same model at another scale, for checks that say at which scale a detail would work. */
  readonly atRatio?: (ratio: number) => Model | undefined
  readonly effort?: Effort
  /** The build before: pieces that have not changed since stay where they are. */
  readonly before?: Manifest
  /** Offcuts to be used first; where none are given for a stock, those of the build before. */
  readonly offcuts?: GivenOffcuts
  /** What the sheets are written as; SVG alone where not given. */
  readonly formats?: readonly FormatName[]
  /** Whose faults the sheets make up for. */
  readonly printer?: Printer
  /** Dots in an inch of a preview. */
  readonly dpi?: number
  /** Only these pieces are laid out and drawn; all are checked. */
  readonly patch?: Patch
  readonly onProgress?: (what: string, done: number, total: number) => void
}

export interface Compiled {
  /** Sorted. */
  readonly findings: readonly Finding[]
  /** Empty where there is an error, as are the files: what cannot be cut is not drawn. */
  readonly sheets: readonly SheetCount[]
  readonly files: readonly OutFile[]
  /** Whether a build that starts from this one's manifest gives the very same files. */
  readonly settled: () => boolean
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
  const { atRatio, before, patch } = options
  const unwritten = missingGlyphs(model, options.formats?.includes('pdf') === true)
  const checked = [...checkModel(model, { area: printableArea, ...(atRatio && { atRatio }) }), ...unwritten]
  if (checked.some(isError)) return faulty(checked)
  const fingerprints = fingerprintsOf(model.pieces)
  const cut = patch ? { ...model, pieces: patch.pieces } : model
  const { layouts, findings, notes } = layOutAfter(before, cut, fingerprints, options)
  const all = [...checked, ...findings, ...notes]
  if (all.some(isError)) return faulty(all)
  const drawn = draw(cut, layouts, fingerprints, options)
  const manifest = manifestText(cut, layouts, fingerprints)
  return {
    findings: sortFindings([...all, ...drawn.findings]),
    sheets: layouts.map(countOf),
    files: [...drawn.files, { path: MANIFEST, content: manifest }],
    settled() {
      // What is told of the step from the build before is not to be told again.
      if (notes.length > 0) return false
      const again = layOutAfter(readManifest(manifest, MANIFEST), cut, fingerprints, options)
      return isDeepStrictEqual(again.layouts.map(placesOf), layouts.map(placesOf))
    },
  }
}

const MANIFEST = 'manifest.json'

function faulty(findings: readonly Finding[]): Compiled {
  return { findings: sortFindings(findings), sheets: [], files: [], settled: () => false }
}

function layOutAfter(
  before: Manifest | undefined,
  model: Model,
  fingerprints: ReadonlyMap<string, string>,
  { effort, onProgress, offcuts: given = NO_OFFCUTS }: CompileOptions,
): ReturnType<typeof layOut> & { notes: Finding[] } {
  const offcuts = offcutsOf(model, given, before)
  const keep = before && keptPlacements(before, model.stocks, fingerprints, offcuts)
  const laid = layOut(model, {
    area: printableArea,
    ...(effort && { effort }),
    ...(keep && { keep }),
    offcuts,
    labels: (piece) => labelPlaces(piece).map(labelFootprint),
    ...(onProgress && { onProgress }),
  })
  return { ...laid, notes: keep ? gapNote(before, model, keep, laid.layouts) : [] }
}

/** All of a layout that is not the model's, in any order. */
function placesOf({ placements, sheets, offcuts }: Layout): unknown {
  return { sheets, offcuts, places: new Map(placements.map(({ id, ...place }) => [id, place])) }
}

const NO_OFFCUTS: GivenOffcuts = new Map()

function isError({ severity }: Finding): boolean {
  return severity === 'error'
}

function countOf({ stock, cuts, sheets, placements, offcuts }: Layout): SheetCount {
  const pieces = new Map(cuts.map(({ id, piece }) => [id, piece]))
  const used = Array.from({ length: sheets }, () => 0)
  const roomOn = (index: number): number => {
    const { minX, minY, maxX, maxY } = printableArea(stockOfSheet(stock, offcuts, index))
    const gone = offcuts?.[index]?.used?.reduce((sum, { width, height }) => sum + width * height, 0) ?? 0
    return (maxX - minX) * (maxY - minY) - gone
  }
  for (const { id, sheet } of placements) used[sheet]! += cardArea(pieces.get(id)!)
  return { stock, pieces: cuts.length, sheets, use: used.map((area, i) => area / roomOn(i)) }
}

function cardArea({ outline, openings }: Piece): number {
  return area([outline, ...openings.map(({ loop }) => loop)])
}

interface Drawn {
  readonly files: readonly SheetFile[]
  readonly findings: readonly Finding[]
}

function draw(
  model: Model,
  layouts: readonly Layout[],
  fingerprints: ReadonlyMap<string, string>,
  { onProgress, formats = ['svg'], dpi = PREVIEW_DPI, printer, patch }: CompileOptions,
): Drawn {
  const { title, scale, assemblies } = model
  const total = layouts.reduce((sum, { sheets }) => sum + sheets, 0)
  const findings: Finding[] = []
  let done = 0
  const files = layouts.flatMap(({ stock, placements, sheets, offcuts }): SheetFile[] => {
    const pieces = model.pieces.filter((piece) => piece.stock === stock.id)
    const rest = { ...(printer && { printer }), ...(offcuts && { offcuts }), ...(patch && { patch: patch.says }) }
    const given = { title, scale: scale.name, stock, pieces, placements, sheets, ...rest }
    const writers = formats.map((name) => openFormat(name, { title: `${title} ${scale.name}`, stock, assemblies, dpi }))
    for (const [index, each] of sheetsOf({ ...given, fingerprints }).entries()) {
      const sheet = once(each)
      const name = sheetName(stock.id, index)
      for (const writer of writers) writer.add(sheet, name)
      if (printer) findings.push(...overMargin(sheet.draw(), stock.margin, name, printer.name))
      onProgress?.('drawing', ++done, total)
    }
    return writers.flatMap((writer) => writer.files())
  })
  return { files, findings }
}

/** Several formats share a sheet's drawing, which goes when the next sheet comes. */
function once({ draw, content }: Sheet): Sheet {
  let [drawing, shown]: [Drawing?, string?] = []
  return { draw: () => (drawing ??= draw()), content: () => (shown ??= content()) }
}

/** Enough to tell every mark on a screen. */
export const PREVIEW_DPI = 100
