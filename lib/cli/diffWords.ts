import type { Piece } from '../model/piece'
import { type ChangeKind, type Changes, KINDS, type PieceChange } from '../revision/changes'
import { againOf, countKinds, familyChanges, type FamilyChange, reachOf } from '../revision/familyChanges'
import { figure, LEAST_SEEN, shapeWords } from '../revision/words'
import { plural, rangesOfMarks } from './print'

/** The changes of one model as text: families first, then the pieces. Ends without a line break. */
export function diffText(changes: Changes): string {
  const lines = [headline(changes), ...aboutLines(changes).map(indent)]
  const families = familyChanges(changes)
  if (families.length === 0) return lines.join('\n')
  lines.push(...families.map((family) => indent(`${family.family}: ${familyLine(family)}`)))
  for (const kind of KINDS) {
    if (kind === 'unchanged') continue
    const pieces = changes.pieces.filter((piece) => piece.kind === kind)
    if (pieces.length > 0) lines.push('', indent(kind), ...pieceLines(kind, pieces).map((line) => indent(indent(line))))
  }
  return lines.join('\n')
}

/** `Launch: 5 of 9 pieces changed, 7 to cut again`. */
export function headline({ title, pieces }: Changes): string {
  const counts = countKinds(pieces)
  const unchanged = counts.find(({ kind }) => kind === 'unchanged')?.count ?? 0
  const changed = pieces.length - unchanged
  if (changed === 0) return `${title}: ${plural(pieces.length, 'piece')}, none changed`
  const again = againOf(pieces)
  const cut = again === 0 ? 'nothing to cut again' : `${again} to cut again`
  return `${title}: ${changed} of ${plural(pieces.length, 'piece')} changed, ${cut}`
}

/** What changed beside the pieces. */
export function aboutLines({ scale, thickness, pieces }: Changes): string[] {
  const moved = pieces.filter(({ kind, stands }) => kind === 'unchanged' && stands !== undefined)
  const most = Math.max(...moved.map(({ stands }) => stands!))
  return [
    ...(scale ? [`scale ${scale.before}, now ${scale.after}`] : []),
    ...thickness.map(({ stock, before, after }) => `${stock} ${thick(before)} mm thick, now ${thick(after)} mm`),
    ...(moved.length > 0
      ? [`${plural(moved.length, 'piece')} cut as before but standing elsewhere, by ${figure(most)} mm at most`]
      : []),
  ]
}

/** Card is measured to a few thousandths: as many digits as that takes, two at least. */
function thick(mm: number): string {
  return mm.toFixed(4).replace(/0{1,2}$/, '')
}

/** `14 reshaped, at most 0.41 mm at WR-P07; 2 added`. */
export function familyLine({ counts, worst }: FamilyChange): string {
  return counts
    .filter(({ kind }) => kind !== 'unchanged')
    .map(({ kind, count }) => `${count} ${kind}${worst?.kind === kind ? atMost(worst) : ''}`)
    .join('; ')
}

/** What else there is to say of a piece, by its kind and those beside it. */
export function otherWords(change: PieceChange): string[] {
  const { before, after } = change
  if (!before || !after) return []
  return [change.kind, ...change.also].flatMap((kind) => {
    switch (kind) {
      case 'restocked':
        return `${stockWords(before)}, now ${stockWords(after)}`
      case 'recounted':
        return `${before.copies}, now ${after.copies}`
      case 'renamed':
        return `was ${before.mark}`
      case 're-marked':
        return kind === change.kind ? markWords(before, after) : 're-marked'
      default:
        return []
    }
  })
}

function pieceLines(kind: ChangeKind, pieces: readonly PieceChange[]): string[] {
  if (kind === 'added' || kind === 'removed') return [rangesOfMarks(pieces.map(({ mark }) => mark))]
  const worstFirst = pieces.toSorted((a, b) => reachOf(b) - reachOf(a))
  const width = Math.max(...worstFirst.map(({ mark }) => mark.length))
  return worstFirst.map((change) => {
    const words = [...otherWords(change), ...(change.deviation ? shapeWords(change.deviation) : [])]
    return `${change.mark.padEnd(width)}  ${words.join('; ')}`.trimEnd()
  })
}

function atMost(worst: PieceChange): string {
  const reach = reachOf(worst)
  return reach > LEAST_SEEN ? `, at most ${figure(reach)} mm at ${worst.mark}` : ''
}

function stockWords({ stock, plies, grain }: Piece): string {
  const layers = plies === 1 ? '' : ` in ${plies} layers`
  return `${stock}${layers}${grain === undefined ? '' : `, grain at ${Number(grain.toFixed(2))}°`}`
}

/** Which of words, lines and notes are others. */
function markWords(before: Piece, after: Piece): string {
  const other = (of: (piece: Piece) => unknown) => JSON.stringify(of(before)) !== JSON.stringify(of(after))
  const words = [
    other(({ texts }) => texts) ? `words ${quoted(before)}, now ${quoted(after)}` : '',
    other(({ lines }) => lines) ? 'drawn lines' : '',
    other(({ notes }) => notes) ? 'notes' : '',
  ]
  return words.filter((word) => word !== '').join('; ')
}

function quoted({ texts }: Piece): string {
  return texts.length === 0 ? 'none' : JSON.stringify(texts.map(({ text }) => text).join(' '))
}

function indent(line: string): string {
  return line === '' ? '' : `  ${line}`
}
