import { compareText } from '../finding/finding'
import { sheetName } from '../sheet/sheetName'
import type { Model } from '../model/model'
import type { Impact, ImpactedPiece } from '../revision/impact'
import type { Manifest, ManifestPiece } from '../revision/manifest'
import type { Hours } from '../revision/rate'
import { followers } from '../revision/reads'
import { columns } from './columns'
import { figureText } from './figure'
import { plural, rangesOfMarks } from './print'

/** What hangs on some figures of a model. */
export interface ReadersReport {
  readonly model: Model
  readonly figures: readonly Hanging[]
  /** The last build, which knows on which sheets pieces lie. */
  readonly built: Manifest | undefined
}

export interface Hanging {
  readonly name: string
  readonly pieces: readonly ManifestPiece[]
  /** How many of them change with it without having read it themselves. */
  readonly unread: number
}

/** What other values of some figures would do. */
export interface ChangeReport {
  readonly model: Model
  readonly changed: Model
  readonly figures: readonly string[]
  readonly impact: Impact
}

export function readersText({ model, figures, built }: ReadersReport): string {
  const whole = cutCount(model.pieces)
  return figures
    .map(({ name, pieces }) => {
      const through = [...followers(model.survey.dimensions, name)].slice(1)
      const also = through.length > 0 ? `, some of them through ${through.join(', ')}` : ''
      const head = `${model.title}, ${model.scale.name}: ${cutCount(pieces)} of ${plural(whole, 'piece')} hang on ${name}, ${figureText(model, name)}${also}\n`
      const rows = byFamily(pieces).map(([family, members]) => [family, String(cutCount(members)), sheetsOf(members, built).join(', ')])
      const unbuilt = built ? '' : '  there are no sheets yet: cardwright build makes them\n'
      return rows.length === 0 ? head : `${head}${columns([['family', 'pieces', 'sheets'], ...rows], [1])}${unbuilt}`
    })
    .join('\n')
}

export function readersData({ model, figures, built }: ReadersReport): Record<string, unknown> {
  return {
    name: model.name,
    scale: model.scale.name,
    figures: figures.map(({ name, pieces }) => ({
      name,
      value: figureText(model, name),
      through: [...followers(model.survey.dimensions, name)].slice(1),
      pieces: cutCount(pieces),
      families: byFamily(pieces).map(([family, members]) => ({
        family,
        pieces: cutCount(members),
        marks: members.map(({ mark }) => mark),
        sheets: sheetsOf(members, built),
      })),
    })),
  }
}

export function changeText({ model, changed, figures, impact }: ChangeReport): string {
  const { pieces, moved, lost, kept } = impact
  const values = figures.map((name) => `${name} ${figureText(changed, name)} in place of ${figureText(model, name)}`)
  const count = pieces.reduce((sum, { needed }) => sum + needed, 0)
  const head = `${model.title}, ${model.scale.name}: with ${values.join(', ')}, ${count} of ${plural(cutCount(model.pieces), 'piece')} change\n`
  const families = byFamily(pieces).map(([family, members]) => familyRow(family, members))
  const table = families.length === 0 ? '' : columns([FAMILY_TITLES, ...families], [1, 2, 5, 6])
  return [
    head,
    table,
    furthestText(pieces),
    moved.count > 0 ? `${plural(moved.count, 'piece')} ${moved.count === 1 ? 'is' : 'are'} cut the same and ${moved.count === 1 ? 'stands' : 'stand'} elsewhere, by up to ${moved.most.toFixed(2)} mm\n` : '',
    benchText(lost, kept),
  ].join('')
}

export function changeData({ model, changed, figures, impact }: ChangeReport): Record<string, unknown> {
  const { pieces, moved, lost, kept } = impact
  return {
    name: model.name,
    scale: model.scale.name,
    figures: figures.map((name) => ({ name, value: figureText(model, name), instead: figureText(changed, name) })),
    pieces,
    moved,
    lost,
    kept,
  }
}

const FAMILY_TITLES = ['family', 'changed', 'furthest', 'marks', 'may be kept', 'cut', 'glued']

function familyRow(family: string, members: readonly ImpactedPiece[]): string[] {
  const most = Math.max(...members.map(({ deviation = 0 }) => deviation))
  const keep = members.filter(({ keeps }) => keeps)
  const sum = (count: (piece: ImpactedPiece) => number) => members.reduce((total, piece) => total + count(piece), 0)
  const others = members.filter(({ kind }) => kind !== 'reshaped')
  const kinds = [...new Set(others.map(({ kind }) => kind))]
  return [
    family,
    String(sum(({ needed }) => needed)),
    [...(most > 0 ? [`${most.toFixed(2)} mm`] : []), ...kinds].join(', '),
    short(rangesOfMarks(members.map(({ mark }) => mark))),
    keep.length === members.length ? 'all' : keep.length === 0 ? 'none' : short(rangesOfMarks(keep.map(({ mark }) => mark))),
    sum(({ done }) => done.cut) > 0 ? String(sum(({ done }) => done.cut)) : '',
    sum(({ done }) => done.glued) > 0 ? String(sum(({ done }) => done.glued)) : '',
  ]
}

const MOST_SHOWN = 10

/** Those that change most, each with the place. */
function furthestText(pieces: readonly ImpactedPiece[]): string {
  const told = pieces.filter(({ deviation }) => deviation !== undefined)
  if (told.length === 0) return ''
  const first = told.toSorted((a, b) => b.deviation! - a.deviation! || compareText(a.mark, b.mark)).slice(0, MOST_SHOWN)
  const rows = first.map(({ mark, deviation, at, tolerance, keeps, done }) => [
    mark,
    `${deviation!.toFixed(2)} mm`,
    `at ${at![0].toFixed(2)}, ${at![1].toFixed(2)} mm`,
    keeps ? `within ${tolerance.toFixed(2)} mm` : `more than ${tolerance.toFixed(2)} mm`,
    done.glued > 0 ? `${done.glued} glued` : done.cut > 0 ? `${done.cut} cut` : '',
  ])
  const rest = told.length > first.length ? `, the first ${first.length} of ${told.length} (--json tells all)` : ''
  return `furthest${rest}\n${columns(rows, [1])}`
}

function benchText({ cut, formed, glued, hours }: Impact['lost'], kept: number): string {
  if (cut === 0 && kept === 0) return 'nothing that is cut already changes\n'
  const saved = kept > 0 ? `${plural(kept, 'piece')} cut already may be kept\n` : ''
  if (cut === 0) return `${saved}nothing is lost\n`
  const how = [`${cut} cut`, ...(formed > 0 ? [`${formed} of them formed`] : []), ...(glued > 0 ? [`${glued} of them glued`] : [])]
  return `${saved}lost: ${how.join(', ')}, about ${hoursText(hours)}\n`
}

function hoursText({ likely, low, high }: Hours): string {
  return `${likely.toFixed(1)} h (${low.toFixed(1)} to ${high.toFixed(1)} h)`
}

function short(text: string): string {
  return text.length > LONGEST ? `${text.slice(0, text.lastIndexOf(',', LONGEST))}, …` : text
}

const LONGEST = 48

function cutCount(pieces: readonly { readonly copies: number; readonly plies: number }[]): number {
  return pieces.reduce((sum, { copies, plies }) => sum + copies * plies, 0)
}

function byFamily<P extends { readonly family: string }>(pieces: readonly P[]): [string, P[]][] {
  const families = new Map<string, P[]>()
  for (const piece of pieces) families.set(piece.family, [...(families.get(piece.family) ?? []), piece])
  return [...families].toSorted(([a], [b]) => compareText(a, b))
}

/** Sheets of the last build that pieces lie on as they still are. */
function sheetsOf(pieces: readonly ManifestPiece[], built: Manifest | undefined): string[] {
  const places = new Map(built?.pieces.map((piece) => [piece.mark, piece]))
  const names = pieces.flatMap(({ mark, fingerprint }) => {
    const place = places.get(mark)
    if (!place || place.fingerprint !== fingerprint) return []
    return place.placements.map(({ sheet }) => sheetName(place.stock, sheet))
  })
  return [...new Set(names)].toSorted(compareText)
}
