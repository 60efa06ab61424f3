import type { Point } from '../shape/point'
import type { Lettering, PlacedGlyph } from './drawing'
import { glyphLoops, hasGlyph, kerningOf, measureGlyph } from './glyphs'

/** Where a line of text goes: `at` is on the base line for `start` and `end`, for `middle` half-way up a capital. */
export interface LetteringPlace {
  readonly at: Point
  /** Height of a capital, mm. */
  readonly size: number
  /** Degrees counter-clockwise. */
  readonly angle?: number
  readonly anchor?: 'start' | 'middle' | 'end'
  /** The plain text that goes with the outlines, where these show only part of it. */
  readonly text?: string
}

/** Base line to base line, times the height of a capital. */
export const LINE_PITCH = 1.75

/** One line of text as filled outlines. */
export function letter(shown: string, place: LetteringPlace): Lettering {
  const { at, size, angle = 0, anchor = 'start' } = place
  const width = anchor === 'start' ? 0 : textWidth(shown, size)
  const left = anchor === 'start' ? 0 : anchor === 'end' ? -width : -width / 2
  const down = anchor === 'middle' ? -size / 2 : 0
  const { cos, sin } = direction(angle)
  const glyphs: PlacedGlyph[] = []
  eachGlyph(shown, (character, x) => {
    const [px, py] = [x * size + left, down]
    glyphs.push({ character, at: [at[0] + px * cos - py * sin, at[1] + px * sin + py * cos], size, angle })
  })
  return lettering(place.text ?? shown, glyphs)
}

/** Placed glyphs as a mark, with the plain text they stand for. */
export function lettering(text: string, glyphs: readonly PlacedGlyph[]): Lettering {
  let loops: Lettering['loops'] | undefined
  return {
    kind: 'lettering',
    text,
    glyphs,
    get loops() {
      return (loops ??= glyphs.flatMap(outlines))
    },
  }
}

function outlines({ character, at, size, angle }: PlacedGlyph): Point[][] {
  const { cos, sin } = direction(angle)
  return glyphLoops(character, size).map((loop) =>
    loop.map(([x, y]): Point => [at[0] + x * cos - y * sin, at[1] + x * sin + y * cos]),
  )
}

/** What a line of text takes up, in heights of a capital: its length, and its reach above and below the base line. */
export interface TextMeasure {
  readonly width: number
  readonly above: number
  readonly below: number
}

export function measureText(text: string): TextMeasure {
  let measure = measures.get(text)
  if (!measure) {
    if (measures.size >= MOST_MEASURES) measures.clear()
    measures.set(text, (measure = measureOf(text)))
  }
  return measure
}

/** Length of a line of text, mm. */
export function textWidth(text: string, size: number): number {
  return measureText(text).width * size
}

/** Characters of a text that the font lacks, each once; white space and controls need no glyph. */
export function lacking(text: string): string[] {
  if (PLAIN.test(text)) return []
  const missing = [...text.normalize('NFC')].filter((character) => !isBlank(character) && !hasGlyph(character))
  return [...new Set(missing)]
}

/** Words into lines of a width, mm; a word that is longer has a line of its own. */
export function wrapText(text: string, size: number, width: number): string[] {
  const lines: string[] = []
  for (const word of text.split(' ').filter(Boolean)) {
    const last = lines[lines.length - 1]
    const longer = `${last} ${word}`
    if (last !== undefined && textWidth(longer, size) <= width) lines[lines.length - 1] = longer
    else lines.push(word)
  }
  return lines
}

/** The text, or as much of its beginning and end as goes into a width, with an ellipsis for the rest. */
export function shorten(text: string, size: number, width: number): string {
  // No line on a sheet holds more; measuring ten thousand letters to drop them would be waste.
  const characters = [...(text.length > 1000 ? text.slice(0, 500) + text.slice(-500) : text)]
  if (text.length <= 1000 && textWidth(text, size) <= width) return text
  let kept = Math.min(characters.length - 1, Math.ceil(width / (size * 0.3)))
  for (; kept > 0; kept--) {
    // Numbers stand at the end of a mark, and neighbours differ in them.
    const tail = Math.floor(kept / 2)
    const shown = `${characters.slice(0, kept - tail).join('')}…${tail > 0 ? characters.slice(-tail).join('') : ''}`
    if (textWidth(shown, size) <= width) return shown
  }
  return '…'
}

/** Every mark is measured several times over, for each place and size that is tried. */
const measures = new Map<string, TextMeasure>()
const MOST_MEASURES = 10_000

function measureOf(text: string): TextMeasure {
  let [above, below] = [0, 0]
  const width = eachGlyph(text, (character) => {
    const measure = measureGlyph(character)
    above = Math.max(above, measure.above)
    below = Math.max(below, measure.below)
  })
  return { width, above, below }
}

/** Calls with each character and where it starts on the base line; gives the whole length; in heights of a capital. */
function eachGlyph(text: string, visit: (character: string, x: number) => void): number {
  let x = 0
  let last: string | undefined
  for (const character of drawable(text)) {
    if (last !== undefined) x += kerningOf(last, character)
    visit(character, x)
    x += measureGlyph(character).advance
    last = character
  }
  return x
}

/**
 * The text in characters that the font has: white space and controls become spaces, and a character it lacks is
 * written as its code point, `‹4E2D›`, so that two marks never look alike for want of a letter.
 */
function drawable(text: string): Iterable<string> {
  if (PLAIN.test(text)) return text
  let drawn = ''
  for (const character of text.normalize('NFC')) {
    if (isBlank(character)) drawn += ' '
    else if (hasGlyph(character)) drawn += character
    else drawn += `‹${character.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}›`
  }
  return drawn
}

function isBlank(character: string): boolean {
  const code = character.codePointAt(0)!
  return /\s/.test(character) || code < 0x20 || code === 0x7f
}

const PLAIN = /^[\x20-\x7e]*$/

/** Cosine and sine, exact for quarter turns. */
function direction(angle: number): { cos: number; sin: number } {
  if (angle === 0) return { cos: 1, sin: 0 }
  if (angle === 90) return { cos: 0, sin: 1 }
  const radians = (angle * Math.PI) / 180
  return { cos: Math.cos(radians), sin: Math.sin(radians) }
}
