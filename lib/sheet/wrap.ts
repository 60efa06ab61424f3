import { textWidth } from './lettering'

/** Text in lines of a width, mm, broken between words; a word that is longer than a line stands alone. */
export function wrapText(text: string, size: number, width: number): string[] {
  const lines: string[] = []
  for (const word of text.split(/\s+/).filter(Boolean)) {
    const last = lines.at(-1)
    const longer = `${last} ${word}`
    if (last !== undefined && textWidth(longer, size) <= width) lines[lines.length - 1] = longer
    else lines.push(word)
  }
  return lines
}
