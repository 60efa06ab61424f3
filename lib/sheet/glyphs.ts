import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Point } from '../shape/point'

/** The bundled font as `assets/make-glyphs.mjs` writes it; lengths in font units. */
interface GlyphTable {
  readonly capHeight: number
  readonly glyphs: Readonly<Record<string, string>>
  readonly kerning: Readonly<Record<string, Readonly<Record<string, string>>>>
}

/** A letter with capitals `size` mm high: mm from its start on the base line, y up. */
export interface Glyph {
  readonly advance: number
  readonly loops: readonly (readonly Point[])[]
  readonly top: number
  readonly bottom: number
}

/** Chords stay this near the font's curves, mm; a tenth of the narrow pen. */
const CHORD = 0.012

let table: GlyphTable | undefined
let kerning: Map<string, number> | undefined
const cache = new Map<number, Map<string, Glyph>>()

/** Whether the font has the character. */
export function hasGlyph(character: string): boolean {
  return Object.hasOwn(openTable().glyphs, character)
}

/** The glyph of a character that the font has, capitals `size` mm high. */
export function glyphOf(character: string, size: number): Glyph {
  let sized = cache.get(size)
  if (!sized) cache.set(size, (sized = new Map()))
  let glyph = sized.get(character)
  if (!glyph) sized.set(character, (glyph = makeGlyph(character, size)))
  return glyph
}

/** What is added between two characters, mm; below 0 where they move together. */
export function kerningOf(left: string, right: string, size: number): number {
  kerning ??= kerningPairs(openTable())
  return ((kerning.get(left + right) ?? 0) * size) / openTable().capHeight
}

/** Read when the first letter is drawn: a command that draws none pays nothing. */
function openTable(): GlyphTable {
  table ??= JSON.parse(readFileSync(join(__dirname, '../../assets/glyphs.json'), 'utf8')) as GlyphTable
  return table
}

function kerningPairs({ kerning: rows }: GlyphTable): Map<string, number> {
  const pairs = new Map<string, number>()
  for (const [left, row] of Object.entries(rows)) {
    for (const [amount, rights] of Object.entries(row)) {
      for (const right of rights) pairs.set(left + right, Number(amount))
    }
  }
  return pairs
}

function makeGlyph(character: string, size: number): Glyph {
  const { glyphs, capHeight } = openTable()
  const [, advance = '0', outline = ''] = /^(\d+) ?(.*)$/.exec(glyphs[character] ?? '') ?? []
  const scale = size / capHeight
  const loops = flatten(outline, scale)
  let [top, bottom] = [0, 0]
  for (const loop of loops) {
    for (const [, y] of loop) {
      top = Math.max(top, y)
      bottom = Math.min(bottom, y)
    }
  }
  return { advance: Number(advance) * scale, loops, top, bottom }
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
