import { suggest } from '../finding/nearest'
import type { Length } from '../length/length'
import { type BasisWeight, grammage } from './basisWeight'
import { published } from './behaviour'
import type { Figure, KnifeLimits, Margin, SheetSize, Stock } from './card'
import { lengthOnCard, stockError } from './cardLength'
import { builtInStock } from './catalogue'
import { withThickness } from './override'
import { sheetSize } from './sheetSize'
import { validateStock } from './validate'

/** What an author says about a card of their own; what is left out is as in `like`. */
export interface StockOptions {
  /** The card it is most like: one of `catalogue`, an earlier stock, or the id of a built-in one. */
  readonly like: Stock | string
  readonly title?: string
  readonly thickness?: Length
  /** g/m², or pounds with their grade: `{ lb: 110, grade: 'index' }`. */
  readonly grammage?: number | BasisWeight
  readonly grain?: 'long' | 'short'
  /** A size by name (`A4`, `folder blank`) or one made with `sheetOf`. */
  readonly sheet?: SheetSize | string
  /** The same all round, or edge by edge. */
  readonly margin?: Length | Partial<Record<keyof Margin, Length>>
  readonly knife?: Partial<Record<keyof KnifeLimits, Length>>
  readonly fit?: Partial<Record<keyof Stock['fit'], Length>>
  readonly fold?: {
    readonly k?: number
    readonly insideRadius?: Length
    readonly leastCurlAlong?: Length
    readonly leastCurlAcross?: Length
  }
  readonly glueLine?: Length
  /** GPa. */
  readonly modulus?: { readonly along?: number; readonly across?: number }
  /** Where the figures given here come from; `the author's own` unless said. */
  readonly source?: string
}

/**
 * A card of the author's own:
 * `stock('wing', { like: catalogue.divider, thickness: bench.mm(0.5), title: 'grey card' })`.
 * A new thickness takes the fold, curl and knife figures with it, and the grammage in proportion, unless they are
 * given too.
 *
 * @throws FindingError for figures that no card has, naming the stock and both numbers
 */
export function stock(id: string, given: StockOptions): Stock {
  const what = `stock "${id}"`
  refuseUnknown(what, OPTIONS, given)
  const source = given.source ?? "the author's own"
  const like = likeness(what, given.like)
  const figure = (value: number): Figure => published(value, source)
  const onCard = (length: Length, name: string): Figure => figure(lengthOnCard(length, `${what}: ${name}`))
  const each = <T extends object>(name: string, base: T, lengths: Partial<Record<keyof T, Length>> | undefined): T => {
    const out: T = { ...base }
    for (const [part, length] of entriesOf(`${what}: ${name}`, base, lengths)) {
      out[part] = onCard(length, `${name}.${String(part)}`) as T[keyof T]
    }
    return out
  }

  const base = given.thickness ? thicker(like, onCard(given.thickness, 'thickness')) : like
  const { k, ...radii } = given.fold ?? {}
  const fold = each('fold', base.fold, radii)
  return validateStock({
    ...base,
    id,
    title: given.title ?? (given.thickness ? `${like.title}, made ${base.thickness.value.toFixed(2)} mm` : like.title),
    ...(given.grammage !== undefined && { grammage: figure(grammageOf(given.grammage)) }),
    ...(given.grain && { grain: given.grain }),
    ...(given.sheet && { sheet: typeof given.sheet === 'string' ? sheetSize(given.sheet) : given.sheet }),
    ...(given.margin && { margin: marginOf(what, base.margin, given.margin) }),
    knife: each('knife', base.knife, given.knife),
    fit: each('fit', base.fit, given.fit),
    fold: k === undefined ? fold : { ...fold, k: figure(k) },
    ...(given.glueLine && { glueLine: onCard(given.glueLine, 'glueLine') }),
    ...(given.modulus && { modulus: modulusOf(base.modulus, given.modulus, figure) }),
  })
}

const OPTIONS: Readonly<Record<keyof StockOptions, true>> = {
  like: true,
  title: true,
  thickness: true,
  grammage: true,
  grain: true,
  sheet: true,
  margin: true,
  knife: true,
  fit: true,
  fold: true,
  glueLine: true,
  modulus: true,
  source: true,
}

/** An author's file also runs where its types are not checked, so a misspelt name must not pass for one left out. */
function refuseUnknown(what: string, known: object, given: object): void {
  for (const name of Object.keys(given)) {
    if (!Object.hasOwn(known, name)) throw stockError(`${what} has no "${name}"`, suggest(name, Object.keys(known)))
  }
}

function entriesOf<K extends PropertyKey, V>(
  what: string,
  known: object,
  given: Partial<Record<K, V>> = {},
): [K, V][] {
  refuseUnknown(what, known, given)
  return Object.entries(given).filter(([, value]) => value !== undefined) as [K, V][]
}

function likeness(what: string, like: Stock | string): Stock {
  if (typeof like === 'string') return builtInStock(like)
  if (like?.thickness) return like
  throw stockError(
    `${what} is like ${String(like)}, which is no stock`,
    "name the card it is most like: like: catalogue.folder, or like: 'folder'",
  )
}

/** The same board made thicker or thinner weighs in proportion. */
function thicker(like: Stock, thickness: Figure): Stock {
  const weight = (like.grammage.value * thickness.value) / like.thickness.value
  const grammage: Figure = {
    value: Number(weight.toFixed(1)),
    source: `in proportion to ${like.title}`,
    nominal: true,
  }
  return { ...withThickness(like, thickness), grammage }
}

function grammageOf(given: number | BasisWeight): number {
  return typeof given === 'number' ? given : grammage(given)
}

function marginOf(what: string, base: Margin, given: Length | Partial<Record<keyof Margin, Length>>): Margin {
  const lengths = isLength(given) ? { left: given, right: given, top: given, bottom: given } : given
  const margin: Record<keyof Margin, number> = { ...base }
  for (const [edge, length] of entriesOf(`${what}: margin`, base, lengths)) {
    margin[edge] = lengthOnCard(length, `${what}: ${edge} margin`)
  }
  return margin
}

function isLength(given: object): given is Length {
  return 'bench' in given
}

function modulusOf(
  base: Stock['modulus'],
  given: { readonly along?: number; readonly across?: number },
  figure: (value: number) => Figure,
): Stock['modulus'] {
  return {
    along: given.along === undefined ? base.along : figure(given.along),
    across: given.across === undefined ? base.across : figure(given.across),
  }
}
