import { type Changes, KINDS, type PieceChange } from '../revision/changes'
import { familyChanges, type FamilyChange, reachOf } from '../revision/familyChanges'
import { figure, shapeWords } from '../revision/words'
import { aboutLines, familyLine, headline, otherWords } from './diffWords'

/** The changes of one model for a pull request: a table of families, the pieces folded away below it. */
export function diffMarkdown(changes: Changes): string {
  const families = familyChanges(changes)
  const blocks = [`### ${plain(headline(changes))}`, ...aboutLines(changes).map(plain)]
  if (families.length === 0) return blocks.join('\n\n')
  blocks.push(table(['family', 'change', 'largest deviation', 'to cut again'], families.map(familyRow)))
  const pieces = changes.pieces.filter(({ kind }) => kind !== 'unchanged').toSorted(byWeight)
  const shown = pieces.slice(0, MOST_ROWS)
  const left = pieces.length - shown.length
  blocks.push(
    `<details>\n<summary>${pieces.length === 1 ? 'The piece' : `All ${pieces.length} pieces`}</summary>`,
    table(['piece', 'change', 'to cut again', 'what'], shown.map(pieceRow)),
    ...(left > 0 ? [`and ${left} more: see \`cardwright diff\``] : []),
    '</details>',
  )
  return blocks.join('\n\n')
}

/** A comment or job summary may be cut off where it grows too long. */
const MOST_ROWS = 200

function familyRow(family: FamilyChange): string[] {
  const { worst, again } = family
  const reach = worst ? reachOf(worst) : 0
  const { worst: _, ...rest } = family
  return [family.family, familyLine(rest), reach > 0 ? `${figure(reach)} mm at ${worst!.mark}` : '', again ? `${again}` : '']
}

function pieceRow(change: PieceChange): string[] {
  const { mark, kind, also, again, deviation } = change
  const words = [...otherWords(change), ...(deviation ? shapeWords(deviation) : [])]
  return [mark, [kind, ...also].join(', '), again ? `${again}` : '', words.join('; ')]
}

function byWeight(a: PieceChange, b: PieceChange): number {
  return KINDS.indexOf(a.kind) - KINDS.indexOf(b.kind) || reachOf(b) - reachOf(a)
}

function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const line = (cells: readonly string[]) => `| ${cells.map(plain).join(' | ')} |`
  return [line(head), line(head.map(() => '---')), ...rows.map(line)].join('\n')
}

/** An author's words as words: no table, tag, link or emphasis of their own. */
function plain(text: string): string {
  return text.replace(/[\\`*_[\]<>|~&]/g, (sign) => `\\${sign}`).replace(/\s+/g, ' ')
}
