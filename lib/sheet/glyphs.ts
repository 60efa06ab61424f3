import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Point } from '../shape/point'

/** The bundled font as `assets/make-glyphs.mjs` writes it; lengths in font units. */
interface GlyphTable {
  readonly capHeight: number
  readonly glyphs: Readonly<Record<string, string>>
  readonly kerning: Readonly<Record<string, Readonly<Record<string, string>>>>
}

/** How much room a glyph takes, in heights of a capital: to the next glyph, above and below the base line. */
export interface GlyphMeasure {
  readonly advance: number
  readonly above: number
  readonly below: number
}

/** Chords stay this near the font's curves, mm: half a dot of a 600 dpi printer. */
const CHORD = 0.02

let table: GlyphTable | undefined
let kerning: Map<string, Map<string, number>> | undefined
const measures = new Map<string, GlyphMeasure>()

/** Whether the font has the character. */
export function hasGlyph(character: string): boolean {
  return Object.hasOwn(openTable().glyphs, character)
}

/** Outlines of a character that the font has, capitals `size` mm high: mm from its origin on the base line, y up. */
export function glyphLoops(character: string, size: number): Point[][] {
  const { glyphs, capHeight } = openTable()
  return flatten(outlineOf(glyphs[character]), size / capHeight)
}

/** The font itself, in the parts that it comes in, for formats that embed it: the same outlines as {@link glyphLoops}. */
export function fontFiles(): { readonly name: string; readonly bytes: Buffer }[] {
  return ['glyphs-latin', 'glyphs-latin-ext'].map((name) => ({ name, bytes: readFileSync(asset(`${name}.woff`)) }))
}

/** Font units in a body size of 1, and in the height of a capital. */
export function fontUnits(): { readonly body: number; readonly capital: number } {
  return { body: 1000, capital: openTable().capHeight }
}

export function measureGlyph(character: string): GlyphMeasure {
  let measure = measures.get(character)
  if (!measure) measures.set(character, (measure = measureOf(character)))
  return measure
}

/** What is added between two characters, in heights of a capital; below 0 where they move together. */
export function kerningOf(left: string, right: string): number {
  kerning ??= kerningPairs(openTable())
  return kerning.get(left)?.get(right) ?? 0
}

/** Read when the first letter is drawn: a command that draws none pays nothing. */
function openTable(): GlyphTable {
  table ??= JSON.parse(readFileSync(asset('glyphs.json'), 'utf8')) as GlyphTable
  return table
}

function asset(name: string): string {
  return join(__dirname, '../../assets', name)
}

function kerningPairs({ kerning: rows, capHeight }: GlyphTable): Map<string, Map<string, number>> {
  const pairs = new Map<string, Map<string, number>>()
  for (const [left, row] of Object.entries(rows)) {
    const rights = new Map<string, number>()
    for (const [amount, characters] of Object.entries(row)) {
      for (const right of characters) rights.set(right, Number(amount) / capHeight)
    }
    pairs.set(left, rights)
  }
  return pairs
}

function measureOf(character: string): GlyphMeasure {
  const { glyphs, capHeight } = openTable()
  let [above, below] = [0, 0]
  for (const loop of flatten(outlineOf(glyphs[character]), 1 / capHeight)) {
    for (const [, y] of loop) {
      above = Math.max(above, y)
      below = Math.max(below, -y)
    }
  }
  return { advance: Number.parseInt(glyphs[character] ?? '0', 10) / capHeight, above, below }
}

/** What follows the advance. */
function outlineOf(glyph = ''): string {
  return glyph.slice(glyph.indexOf(' ') + 1)
}

/** Relative path commands m, l, q and z to loops of mm. */
function flatten(outline: string, scale: number): Point[][] {
  const loops: Point[][] = []
  let loop: Point[] = []
  let [x, y] = [0, 0]
  for (const [, letter, rest] of outline.matchAll(/([mlqz])([^mlqz]*)/g)) {
    const numbers = rest!.trim().split(' ').map(Number) as [number, number, number, number]
    const [startX, startY] = [x, y]
    if (letter === 'z') {
      // The next contour starts relative to where this one did, which is where the pen comes back to.
      ;[x, y] = [loop[0]![0] / scale, loop[0]![1] / scale]
      loops.push(withoutRepeat(loop))
    } else if (letter === 'q') {
      ;[x, y] = [startX + numbers[2], startY + numbers[3]]
      const [bendX, bendY] = [startX - 2 * (startX + numbers[0]) + x, startY - 2 * (startY + numbers[1]) + y]
      // A quadratic in n equal steps stands off its chords by |p0 - 2 p1 + p2| / 4n².
      const steps = Math.max(1, Math.ceil(Math.sqrt((Math.hypot(bendX, bendY) * scale) / (4 * CHORD))))
      for (let i = 1; i <= steps; i++) {
        const t = i / steps
        const px = startX + 2 * t * numbers[0] + t * t * bendX
        const py = startY + 2 * t * numbers[1] + t * t * bendY
        loop.push([px * scale, py * scale])
      }
    } else {
      ;[x, y] = [startX + numbers[0], startY + numbers[1]]
      if (letter === 'm') loop = []
      loop.push([x * scale, y * scale])
    }
  }
  return loops
}

function withoutRepeat(loop: Point[]): Point[] {
  const [first, last] = [loop[0]!, loop[loop.length - 1]!]
  const repeats = loop.length > 1 && Math.hypot(first[0] - last[0], first[1] - last[1]) < 1e-6
  return repeats ? loop.slice(0, -1) : loop
}
