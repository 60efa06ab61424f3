import { type Finding, FindingError, compareText } from '../finding/finding'
import { suggest } from '../finding/nearest'
import { resolveSite } from '../finding/site'
import { keepBench, onBench, record, recording } from '../length/bench'
import type { Length } from '../length/length'
import type { Scale } from '../length/scale'
import type { Stock } from '../stock/card'
import { BUILT_IN_STOCKS, overrideThickness } from '../stock/catalogue'
import { asMeasured, type StockBook } from '../stock/stockBook'
import type { Dimension, SurveySheet } from '../survey/dimension'
import { movedWith } from '../survey/sheet'
import { surveyTable } from '../survey/table'
import { scale } from '../craft/space'
import { flattenAssembly } from './assembly'
import { orderFindings } from './buildOrder'
import { type ModelDefinition, rootAssembly } from './define'
import { familyFinding } from './family'
import { type GluedTo, bondOf, notInModel } from './gluedTo'
import { guarded } from './guard'
import type { Model } from './model'
import type { Piece } from './piece'
import type { Bond, Join, Relation } from './relation'
import { spacingOf } from './spacing'
import { type Named, type Session, inSession, keepSession, newSession } from './session'

export interface EvaluateOptions {
  /** Folder name of the model, `sandpiper`. */
  readonly name: string
  /** In place of the model's own scale. */
  readonly scale?: Scale
  /** What was measured of the stocks, which comes in place of their own figures. */
  readonly measured?: StockBook
  /** Thickness of some stocks in place of the catalogue's, by id. */
  readonly thickness?: ReadonlyMap<string, Length>
  /** Lengths on the subject in place of what the survey says, by dimension; formulas follow. */
  readonly dimensions?: ReadonlyMap<string, Length>
  /** Longest a single station, or the model's function between two stations, may take, ms. */
  readonly timeLimit?: number
}

export const TIME_LIMIT = 10_000

/**
 * Calls every family at every station and gives the model as plain data.
 *
 * @throws FindingError where the model cannot be evaluated, naming family, station and the author's line
 */
export function evaluateModel(definition: ModelDefinition, options: EvaluateOptions): Model {
  const scale = options.scale ?? definition.scale
  const stocks = stocksOf(definition, options)
  const off = offSurvey(definition, options.dimensions ?? new Map())
  const moved = movedWith(definition.survey, off)
  const bench = { scale, moved, thickness: (id: string) => thicknessOf(stocks, id) }
  const mine = newSession(stocks)
  const body = () => {
    const flat = flattenAssembly(rootAssembly(definition, definition.body()))
    return { ...flat, bonds: bondsOf(mine, new Set(flat.pieces.map(({ mark }) => mark))) }
  }
  const work = () => onBench(bench, () => inSession(mine, body))
  const { result, read } = recording(() => watched(definition, mine, options.timeLimit ?? TIME_LIMIT, work))
  const { pieces, assemblies, bonds } = result
  checkStocks(pieces, stocks)
  const marks = new Set(pieces.map(({ mark }) => mark))
  const parts = partsOf(mine, marks)
  return {
    name: options.name,
    title: definition.title,
    scale,
    stocks,
    pieces: pieces.toSorted((a, b) => compareText(a.mark, b.mark)),
    assemblies,
    families: [...new Set(pieces.map(({ family }) => family))],
    relations: relationsOf(mine, bonds.map(({ bond }) => bond), parts),
    survey: surveyTable(definition.survey, off, read),
    spacing: onBench(bench, () => spacingOf(definition)),
    findings: [...findingsOf(mine), ...notInModel([...mine.named, ...bonds.map(({ named }) => named)], marks, parts), ...orderFindings(mine.awaited, assemblies, mine.relations)],
  }
}

/**
 * Lets the work run on as long as it gets on: after a cut-off it starts again, and the stations already worked out
 * are not worked out twice. Only a run that finished no station within the limit is stuck.
 */
function watched<T>(definition: ModelDefinition, mine: Session, limit: number, work: () => T): T {
  const restore = [keepBench(), keepSession()]
  for (;;) {
    const before = mine.results.size
    const done = guarded(limit, work)
    if (done !== 'timeout') return done.value
    for (const put of restore) put()
    if (mine.results.size === before) throw new FindingError(stuck(definition, mine, limit))
    mine.working = undefined
  }
}

function stuck(definition: ModelDefinition, mine: Session, limit: number): Finding {
  const text = `it did not come to an end within ${limit / 1000} s`
  const remedy = 'look for a loop that never ends, or allow more with --time-limit'
  if (mine.working) return { ...familyFinding(mine.working.family, mine.working.station, text, remedy), id: 'time-limit' }
  const site = resolveSite(definition.site)
  return {
    id: 'time-limit',
    severity: 'error',
    text: `the function of model "${definition.title}": ${text}`,
    remedy,
    ...(site && { site }),
  }
}

function stocksOf(
  definition: ModelDefinition,
  { measured = new Map(), thickness = new Map() }: EvaluateOptions,
): Map<string, Stock> {
  const stocks = new Map<string, Stock>()
  for (const stock of [...BUILT_IN_STOCKS, ...definition.stocks]) stocks.set(stock.id, asMeasured(stock, measured))
  for (const [id, length] of thickness) stocks.set(id, overrideThickness(knownStock(stocks, id), length))
  return stocks
}

/** How far dimensions stand off what the survey says when these lengths are put in their place. */
function offSurvey({ survey }: ModelDefinition, wanted: ReadonlyMap<string, Length>): Map<string, number> {
  return new Map([...wanted].map(([name, length]) => [name, length.full - knownDimension(survey, name).value]))
}

function knownDimension({ dimensions }: SurveySheet, name: string): Dimension {
  const dimension = dimensions.find((one) => one.name === name)
  if (dimension) return dimension
  throw new FindingError({
    id: 'survey',
    severity: 'error',
    text: `there is no dimension "${name}"`,
    remedy: suggest(name, dimensions.map((one) => one.name)),
  })
}

function thicknessOf(stocks: ReadonlyMap<string, Stock>, id: string): number {
  record(`stock:${id}.thickness`)
  return knownStock(stocks, id).thickness.value
}

function knownStock(stocks: ReadonlyMap<string, Stock>, id: string): Stock {
  const stock = stocks.get(id)
  if (stock) return stock
  throw new FindingError({
    id: 'stock',
    severity: 'error',
    text: `there is no stock "${id}"`,
    remedy: suggest(id, stocks.keys()),
  })
}

function checkStocks(pieces: readonly Piece[], stocks: ReadonlyMap<string, Stock>): void {
  for (const piece of pieces) {
    if (stocks.has(piece.stock)) continue
    const site = resolveSite(piece.site)
    throw new FindingError({
      id: 'stock',
      severity: 'error',
      text: `${piece.mark} is of stock "${piece.stock}", which there is not`,
      remedy: suggest(piece.stock, stocks.keys()),
      mark: piece.mark,
      family: piece.family,
      ...(site && { site }),
    })
  }
}

/** What the pieces of the model are glued to; other families may be asked for it, now that all are worked out. */
function bondsOf(mine: Session, marks: ReadonlySet<string>): { bond: Bond; named: Named }[] {
  const own = ({ mark }: GluedTo): boolean => marks.has(mark) || mine.parted.has(mark)
  return [...mine.results.values()].flatMap(({ bonds }) => bonds.filter(own).map(bondOf))
}

/** The marks in the model that a mark stands for: its own, or those of what its piece was taken apart into. */
function partsOf({ parted }: Session, marks: ReadonlySet<string>): (mark: string) => string[] {
  const parts = (mark: string): string[] => {
    if (marks.has(mark)) return [mark]
    return parted.get(mark)?.marks.flatMap(parts) ?? []
  }
  return parts
}

/** A join may name a piece that was taken apart later, or one that the author left out. */
function relationsOf(mine: Session, bonds: readonly Bond[], parts: (mark: string) => string[]): Relation[] {
  const stations = [...mine.results.values()].flatMap(({ relations }) => relations)
  const all = [...mine.relations, ...stations, ...bonds].flatMap((relation): Relation[] => {
    switch (relation.kind) {
      case 'clearance':
        return [{ ...relation, a: relation.a.flatMap(parts), b: relation.b.flatMap(parts) }]
      case 'bond':
        return bondInOrder(relation.a.flatMap(parts), relation.b.flatMap(parts))
      case 'join':
        return joinsOf(relation, mine, parts)
      case 'seam':
        return parts(relation.a).flatMap((a) => parts(relation.b).map((b) => ({ ...relation, a, b })))
      default:
        return [relation]
    }
  })
  const byText = new Map(all.map((relation) => [JSON.stringify(relation), relation]))
  return [...byText.keys()].toSorted(compareText).map((text) => byText.get(text)!)
}

/**
 * What goes into a slot goes through all plies of a piece, and a skin lies on the edges of all; what is glued to it touches
 * one of them. Of tiles one is met.
 */
function joinsOf(join: Join, { parted }: Session, parts: (mark: string) => string[]): Relation[] {
  const [ours, theirs] = [parts(join.a), parts(join.b)]
  const faces = join.how === 'glue' && join.within === undefined
  const oneOf = (mark: string): boolean => {
    const into = parted.get(mark)
    return into !== undefined && (faces || into.into === 'tiles' || into.marks.some(oneOf))
  }
  const some = oneOf(join.a) || oneOf(join.b)
  if (some) return bondInOrder(ours, theirs)
  return ours.flatMap((a) => theirs.map((b) => joinInOrder(join, a, b)))
}

function bondInOrder(a: readonly string[], b: readonly string[]): Bond[] {
  return a.length > 0 && b.length > 0 ? [{ kind: 'bond', a: [...new Set(a)].toSorted(compareText), b: [...new Set(b)].toSorted(compareText) }] : []
}

function joinInOrder(join: Join, a: string, b: string): Join {
  if (a < b) return { ...join, a, b }
  const { opens, ...rest } = join
  return { ...rest, a: b, b: a, ...(opens && { opens: scale(opens, -1) }) }
}

function findingsOf(mine: Session): Finding[] {
  return [...[...mine.results.values()].flatMap(({ findings }) => findings), ...mine.said]
}
