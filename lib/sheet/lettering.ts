import type { Point } from '../shape/point'
import type { Lettering } from './drawing'
import { glyphOf, hasGlyph, kerningOf } from './glyphs'

/** Where a line of text goes. `at` is on the base line for `start` and `end`, the middle of the capitals for `middle`. */
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
  const loops: Point[][] = []
  eachGlyph(shown, size, (character, x) => {
    for (const loop of glyphOf(character, size).loops) {
      loops.push(
        loop.map(([gx, gy]): Point => {
          const [px, py] = [gx + x + left, gy + down]
          return [at[0] + px * cos - py * sin, at[1] + px * sin + py * cos]
        }),
      )
    }
  })
  return { kind: 'lettering', text: place.text ?? shown, loops }
}

/** Length of a line of text, mm. */
export function textWidth(text: string, size: number): number {
  return eachGlyph(text, size, () => {})
}

/** How far the letters reach above and below the base line, mm; both 0 or more. */
export function textReach(text: string, size: number): { readonly above: number; readonly below: number } {
  let [above, below] = [0, 0]
  eachGlyph(text, size, (character) => {
    const { top, bottom } = glyphOf(character, size)
    above = Math.max(above, top)
    below = Math.max(below, -bottom)
  })
  return { above, below }
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

/** Calls with each character and where it starts on the base line; gives the whole length. */
function eachGlyph(text: string, size: number, visit: (character: string, x: number) => void): number {
  let x = 0
  let last: string | undefined
  for (const character of drawable(text)) {
    if (last !== undefined) x += kerningOf(last, character, size)
    visit(character, x)
    x += glyphOf(character, size).advance
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
    const code = character.codePointAt(0)!
    if (/\s/.test(character) || code < 0x20 || code === 0x7f) drawn += ' '
    else if (hasGlyph(character)) drawn += character
    else drawn += `‹${code.toString(16).toUpperCase().padStart(4, '0')}›`
  }
  return drawn
}

const PLAIN = /^[\x20-\x7e]*$/

/** Cosine and sine, exact for quarter turns. */
function direction(angle: number): { cos: number; sin: number } {
  if (angle === 0) return { cos: 1, sin: 0 }
  if (angle === 90) return { cos: 0, sin: 1 }
  const radians = (angle * Math.PI) / 180
  return { cos: Math.cos(radians), sin: Math.sin(radians) }
}
