import { compareText } from '../finding/finding'
import type { Model } from '../model/model'
import type { Blank, Form } from '../model/form'
import type { Piece, Score } from '../model/piece'
import type { Relation } from '../model/relation'
import { DEFAULT_SPACING, type Spacing } from '../model/spacing'
import type { Placement } from '../nest/nest'
import type { Point, Polyline } from '../shape/point'
import type { Pose } from '../shape/pose'
import type { Stock } from '../stock/card'
import type { Offcut } from '../stock/offcut'
import type { SurveyedDimension } from '../survey/table'
import { fingerprints as fingerprintsOf } from './fingerprint'

/**
 * Everything that looks back at a build needs to know of it, as plain data: sorted, lengths and angles rounded to
 * 0.001, so that two builds of one source are the same bytes.
 */
export interface Manifest {
  readonly schema: typeof SCHEMA
  /** Folder name under `out/`. */
  readonly model: string
  readonly title: string
  readonly scale: { readonly ratio: number; readonly name: string }
  readonly assemblies: readonly string[]
  /** Codes of the families in the order they are built; version 1 did not tell. */
  readonly families?: readonly string[]
  /** How near to each other the pieces were laid; as by default where it does not tell. */
  readonly spacing?: Omit<Spacing, 'site'>
  readonly relations: readonly Relation[]
  /** What the survey says, by name. */
  readonly dimensions: readonly ManifestDimension[]
  /** By id. Those that pieces are cut from. */
  readonly stocks: readonly ManifestStock[]
  /** By mark. */
  readonly pieces: readonly ManifestPiece[]
}

/** Lengths in mm on the subject. */
export type ManifestDimension = Omit<SurveyedDimension, 'site' | 'mostly'>

export interface ManifestStock extends Stock {
  /** How many sheets are cut. */
  readonly sheets: number
  /** The first of those sheets, where they are offcuts. */
  readonly offcuts?: readonly Offcut[]
}

export interface ManifestPiece extends Omit<Piece, 'site'> {
  readonly fingerprint: string
  /** Of every copy and layer that has a place, in the order of copies. */
  readonly placements: readonly Placement[]
}

/** Where the pieces of one stock are cut. */
export interface StockLayout {
  readonly stock: Stock
  readonly placements: readonly Placement[]
  readonly sheets: number
  readonly offcuts?: readonly Offcut[]
}

/** @param fingerprints by mark */
export function manifestOf(
  model: Model,
  layouts: readonly StockLayout[],
  fingerprints: ReadonlyMap<string, string> = fingerprintsOf(model.pieces),
): Manifest {
  return { ...headOf(model, layouts), pieces: [...entriesOf(model, layouts, fingerprints)] }
}

/** Text of a manifest, a stock or piece a line: short enough to commit, and a diff shows which pieces changed. */
export function writeManifest(manifest: Manifest): string {
  return textOf(manifest, manifest.pieces)
}

/** The manifest of a build as text, without holding all of it as data. */
export function manifestText(
  model: Model,
  layouts: readonly StockLayout[],
  fingerprints: ReadonlyMap<string, string> = fingerprintsOf(model.pieces),
): string {
  return textOf(headOf(model, layouts), entriesOf(model, layouts, fingerprints))
}

/** Raised when the meaning of a field changes; readers of this version take what older ones wrote. */
export const SCHEMA = 2

type Head = Omit<Manifest, 'pieces'>

function headOf(model: Model, layouts: readonly StockLayout[]): Head {
  const used = new Set(model.pieces.map(({ stock }) => stock))
  const cut = new Map(layouts.map((layout) => [layout.stock.id, layout]))
  const stocks = [...model.stocks.values()].filter(({ id }) => used.has(id))
  return {
    schema: SCHEMA,
    model: model.name,
    title: model.title,
    scale: { ratio: model.scale.ratio, name: model.scale.name },
    assemblies: [...model.assemblies],
    ...(model.families && { families: [...model.families] }),
    spacing: spacingOf(model),
    relations: model.relations.map(roundRelation),
    dimensions: model.survey.dimensions.toSorted((a, b) => compareText(a.name, b.name)).map(dimensionOf),
    stocks: stocks
      .toSorted((a, b) => compareText(a.id, b.id))
      .map((stock) => {
        const { sheets = 0, offcuts = [] } = cut.get(stock.id) ?? {}
        return { ...stock, sheets, ...(offcuts.length > 0 && { offcuts }) }
      }),
  }
}

function* entriesOf(
  model: Model,
  layouts: readonly StockLayout[],
  fingerprints: ReadonlyMap<string, string>,
): Generator<ManifestPiece> {
  const places = placesByMark(model, layouts)
  for (const piece of model.pieces.toSorted((a, b) => compareText(a.mark, b.mark))) {
    yield entryOf(piece, fingerprints.get(piece.mark) ?? '', places.get(piece.mark) ?? [])
  }
}

function textOf(head: Head, pieces: Iterable<ManifestPiece>): string {
  const { schema, model, title, scale, assemblies, families, spacing, relations, dimensions, stocks } = head
  const lists = Object.entries({ relations, dimensions, stocks, pieces })
  const texts = lists.map(([name, list]) => `"${name}":[${onePerLine(list)}\n]`)
  const facts = JSON.stringify({ schema, model, title, scale, assemblies, families, spacing })
  return `${facts.slice(0, -1)},\n${texts.join(',\n')}}\n`
}

function onePerLine(entries: Iterable<unknown>): string {
  const lines: string[] = []
  for (const entry of entries) lines.push(`\n${JSON.stringify(entry)}`)
  return lines.join(',')
}

function placesByMark(model: Model, layouts: readonly StockLayout[]): Map<string, Placement[]> {
  const places = new Map(model.pieces.map(({ mark }): [string, Placement[]] => [mark, []]))
  for (const { placements } of layouts) {
    for (const placement of placements) {
      const list = places.get(placement.id) ?? places.get(placement.id.replace(/#\d+$/, ''))
      if (!list) throw new Error(`placement of "${placement.id}", a piece that the model does not have`)
      list.push(placement)
    }
  }
  return places
}

function entryOf(piece: Piece, fingerprint: string, placements: readonly Placement[]): ManifestPiece {
  const { mark, family, side, station, assembly, stock, plies, copies, grain, pose, also, form } = piece
  const copyOf = ({ id }: Placement) => (id === mark ? 1 : Number(id.slice(mark.length + 1)))
  return {
    mark,
    family,
    side,
    station,
    assembly,
    stock,
    plies,
    copies,
    ...(grain !== undefined && { grain: round(grain) }),
    outline: roundLine(piece.outline),
    openings: piece.openings.map(({ kind, loop }) => ({ kind, loop: roundLine(loop) })),
    scores: piece.scores.map(roundScore),
    lines: piece.lines.map(({ kind, line, closed }) => ({ kind, line: roundLine(line), closed })),
    texts: piece.texts.map(({ text, at, size, angle }) => ({
      text,
      at: roundPoint(at),
      size: round(size),
      angle: round(angle),
    })),
    ...(pose && { pose: roundPose(pose) }),
    ...(also && { also: also.map(roundPose) }),
    ...(form && { form: roundForm(form) }),
    reads: piece.reads.toSorted(compareText),
    notes: [...piece.notes],
    fingerprint,
    placements: placements
      .toSorted((a, b) => copyOf(a) - copyOf(b))
      .map(({ id, sheet, x, y, turn }) => ({ id, sheet, x: round(x), y: round(y), turn: roundTurn(turn) })),
  }
}

const MILLI = 1e3

/** Steps of directions and turns, which have no length: to a thousandth they would miss by a millimetre in a metre. */
const DIRECTION = 1e6

function round(value: number): number {
  return Math.round(value * MILLI) / MILLI + 0
}

function roundTurn(value: number): number {
  return Math.round(value * DIRECTION) / DIRECTION + 0
}

function roundPoint([x, y]: Point): Point {
  return [round(x), round(y)]
}

function roundLine(line: Polyline): Polyline {
  return line.map(roundPoint)
}

function roundScore({ fold, line, angle }: Score): Score {
  return { fold, line: roundLine(line), angle: round(angle) }
}

function roundBlank({ outline, openings, scores, base, out }: Blank): Blank {
  return {
    outline: roundLine(outline),
    openings: openings.map(roundLine),
    scores: scores.map(roundScore),
    ...(base && { base: roundPoint(base) }),
    out: round(out),
  }
}

function roundPose({ origin, right, up }: Pose): Pose {
  return {
    origin: roundVector(origin, MILLI),
    right: roundVector(right, DIRECTION),
    up: roundVector(up, DIRECTION),
  }
}

function roundForm(form: Form): Form {
  switch (form.kind) {
    case 'folded':
      return { kind: form.kind, ...(form.base && { base: roundPoint(form.base) }), ...(form.of && { of: roundBlank(form.of) }) }
    case 'curved':
      return {
        kind: form.kind,
        rulings: form.rulings.map(({ flat: [a, b], model: [from, to] }) => ({
          flat: [roundPoint(a), roundPoint(b)],
          model: [roundVector(from, MILLI), roundVector(to, MILLI)],
        })),
      }
    case 'turned':
      return { kind: form.kind, profile: roundLine(form.profile) }
  }
}

function spacingOf({ spacing: { gap, sharedCuts } = DEFAULT_SPACING }: Model): NonNullable<Manifest['spacing']> {
  return { gap: round(gap), sharedCuts }
}

function roundRelation(relation: Relation): Relation {
  switch (relation.kind) {
    case 'clearance': {
      const { least, most, ...rest } = relation
      return { ...rest, least: round(least), ...(most !== undefined && { most: round(most) }) }
    }
    case 'support':
      return { ...relation, at: roundVector(relation.at, MILLI) }
    case 'join': {
      const { within, opens, ...rest } = relation
      const way = opens && roundVector(opens, DIRECTION)
      return { ...rest, ...(within !== undefined && { within: round(within) }), ...(way && { opens: way }) }
    }
    default:
      return relation
  }
}

function dimensionOf({ name, value, values, unit, within, worst, source, note, from }: SurveyedDimension): ManifestDimension {
  return {
    name,
    value: round(value),
    ...(values && { values: values.map(round) }),
    ...(unit && { unit }),
    ...(within !== undefined && { within: round(within) }),
    ...(worst !== undefined && { worst: round(worst) }),
    ...(source && { source }),
    note,
    from,
  }
}

function roundVector([x, y, z]: readonly [number, number, number], steps: number): [number, number, number] {
  const to = (value: number) => Math.round(value * steps) / steps + 0
  return [to(x), to(y), to(z)]
}
