import { compareText } from '../finding/finding'
import type { Piece } from '../model/piece'
import { type Deviation, deviation } from './deviation'
import type { Manifest, ManifestPiece } from './manifest'
import { type Pair, pairPieces } from './pairs'

/**
 * What became of a piece. Where several hold, the first of this order is its kind and the others are told beside it:
 * what asks for new card, what changes how many there are, what only changes the print.
 *
 * - `added`, `removed`: only the later build has it, or only the earlier;
 * - `restocked`: cut from another stock, in other plies or with the grain another way;
 * - `reshaped`: other cut lines or folds;
 * - `recounted`: the same piece, more or fewer of it;
 * - `renamed`: the same piece, count aside, under another mark;
 * - `re-marked`: the same to cut and fold, with other words, drawn lines or notes; not said of what is cut again;
 * - `unchanged`.
 */
export type ChangeKind = (typeof KINDS)[number]

export const KINDS = [
  'added',
  'removed',
  'restocked',
  'reshaped',
  'recounted',
  'renamed',
  're-marked',
  'unchanged',
] as const

export interface PieceChange {
  readonly kind: ChangeKind
  /** What else holds, in the order of kinds. */
  readonly also: readonly ChangeKind[]
  /** Its mark now; of a piece that was removed, the one it had. */
  readonly mark: string
  readonly family: string
  readonly before?: ManifestPiece
  readonly after?: ManifestPiece
  /** Where cut lines or folds are others. */
  readonly deviation?: Deviation
  /** By how many mm the piece stands elsewhere in the model, where it does: what is cut is the same. */
  readonly stands?: number
  /** How many have to be cut again, counting layers: of a recounted piece only those that are more. */
  readonly again: number
}

export interface Changes {
  readonly model: string
  readonly title: string
  /** Name of the scale: `1:60`; of the later build where they are two. */
  readonly scaleName: string
  /** By mark, unchanged ones among them. */
  readonly pieces: readonly PieceChange[]
  /** Name of the scale, where it is another. */
  readonly scale?: { readonly before: string; readonly after: string }
  /** Stocks of both builds whose thickness is another, by id; mm. */
  readonly thickness: readonly { readonly stock: string; readonly before: number; readonly after: number }[]
}

/** What changed between two builds of a model; undefined stands for a model that was not there, or no longer is. */
export function compareManifests(before: Manifest | undefined, after: Manifest | undefined): Changes {
  const { model = '', title = '', scale } = after ?? before ?? {}
  const pieces = pairPieces(before?.pieces ?? [], after?.pieces ?? []).map(changeOf)
  const scales = before && after && before.scale.ratio !== after.scale.ratio
  return {
    model,
    title,
    scaleName: scale?.name ?? '',
    pieces: pieces.toSorted(
      (a, b) => compareText(a.mark, b.mark) || KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind),
    ),
    ...(scales && { scale: { before: before.scale.name, after: after.scale.name } }),
    thickness: thicknessChanges(before, after),
  }
}

/** Whether anything is other than it was: pieces, or what they are made of. */
export function isChanged({ pieces, scale, thickness }: Changes): boolean {
  return scale !== undefined || thickness.length > 0 || pieces.some(({ kind }) => kind !== 'unchanged')
}

function changeOf({ before, after }: Pair): PieceChange {
  if (!before) return changed('added', after!, { after: after! }, cutCount(after!))
  if (!after) return changed('removed', before, { before }, 0)
  if (before.fingerprint === after.fingerprint) {
    const kinds = kindsOf(before, after)
    const more = Math.max(0, after.copies - before.copies) * after.plies
    return withAlso(kinds, after, { before, after, ...standing(before, after) }, more)
  }
  const apart = deviation(before, after)
  const restocked = isRestocked(before, after)
  const reshaped = !restocked || apart.refolded || apart.distance > 0
  const kinds = [...(restocked ? ['restocked' as const] : []), ...(reshaped ? ['reshaped' as const] : [])]
  const about = { before, after, ...(reshaped && { deviation: apart }), ...standing(before, after) }
  // What is cut anew carries its new print: only what stays on the bench has an old one.
  const rest = kindsOf(before, after).filter((kind) => kind !== 're-marked')
  return withAlso([...kinds, ...rest], after, about, cutCount(after))
}

type About = Pick<PieceChange, 'before' | 'after' | 'deviation' | 'stands'>

function changed(kind: ChangeKind, { mark, family }: Piece, about: About, again: number): PieceChange {
  return { kind, also: [], mark, family, ...about, again }
}

function withAlso([kind, ...also]: readonly ChangeKind[], piece: Piece, about: About, again: number): PieceChange {
  return { ...changed(kind ?? 'unchanged', piece, about, again), also }
}

/** How many times a piece is cut: copies, each in all its layers. */
function cutCount({ copies, plies }: Piece): number {
  return copies * plies
}

/** What can change of a piece whatever its shape. */
function kindsOf(before: Piece, after: Piece): ChangeKind[] {
  const kinds: ChangeKind[] = []
  if (before.copies !== after.copies) kinds.push('recounted')
  if (before.mark !== after.mark) kinds.push('renamed')
  if (printOf(before) !== printOf(after)) kinds.push('re-marked')
  return kinds
}

/** What is printed on a piece or said beside it; not its mark, which is told apart. */
function printOf({ mark, texts, lines, notes }: Piece): string {
  const words = texts.map(({ text, ...place }) => ({ ...place, text: text === mark ? '' : text }))
  return JSON.stringify([words, lines, notes])
}

function isRestocked(before: Piece, after: Piece): boolean {
  return before.stock !== after.stock || before.plies !== after.plies || grainOf(before) !== grainOf(after)
}

/** Of an arrow without a head: a half turn makes no other. */
function grainOf({ grain }: Piece): number | undefined {
  return grain === undefined ? undefined : ((grain % 180) + 180) % 180
}

function standing({ pose: before }: Piece, { pose: after }: Piece): { stands?: number } {
  if (!before || !after) return {}
  const stands = Math.hypot(...before.origin.map((value, i) => value - after.origin[i]!))
  return stands > LEAST_MOVE ? { stands } : {}
}

/** A thousandth is what a manifest is rounded to. */
const LEAST_MOVE = 0.0015

function thicknessChanges(before: Manifest | undefined, after: Manifest | undefined): Changes['thickness'] {
  const old = new Map(before?.stocks.map(({ id, thickness }) => [id, thickness.value]))
  return (after?.stocks ?? []).flatMap(({ id, thickness: { value } }) => {
    const was = old.get(id)
    return was === undefined || was === value ? [] : [{ stock: id, before: was, after: value }]
  })
}
