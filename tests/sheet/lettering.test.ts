import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import opentype from 'opentype.js'
import { describe, expect, test } from 'vitest'
import { boundsOf } from '../../lib/nest/turn'
import { letter, measureText, shorten, textWidth } from '../../lib/sheet/lettering'

/** The font itself, read by an independent library. */
const file = createRequire(__filename).resolve(
  '@fontsource/atkinson-hyperlegible/files/atkinson-hyperlegible-latin-400-normal.woff',
)
const bytes = readFileSync(file)
const font = opentype.parse(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length) as ArrayBuffer)
const capHeight = Number(font.tables.os2!.sCapHeight)

describe('lettering', () => {
  test.each(['WR-P07', 'AVATAR Ty 1:60', 'SE-03-PAN ×2', 'Kesselwagen “Ä” 1/2'])(
    '%s is as long as opentype.js sets it, kerned',
    (text) => {
      const size = 2.5
      const em = (size * font.unitsPerEm) / capHeight
      expect(textWidth(text, size)).toBeCloseTo(font.getAdvanceWidth(text, em), 2)
    },
  )

  test('glyphs stand where opentype.js puts them, to half a dot of a 600 dpi printer', () => {
    const size = 3
    const em = (size * font.unitsPerEm) / capHeight
    for (const character of 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefgjkpqy0123456789-×&#') {
      const box = font.getPath(character, 0, 0, em).getBoundingBox()
      const ours = boundsOf(letter(character, { at: [0, 0], size }).loops.flat())
      expect(Math.abs(ours.minX - box.x1), character).toBeLessThan(0.02)
      expect(Math.abs(ours.maxX - box.x2), character).toBeLessThan(0.02)
      expect(Math.abs(ours.maxY + box.y1), character).toBeLessThan(0.02)
      expect(Math.abs(ours.minY + box.y2), character).toBeLessThan(0.02)
    }
  })

  test('size is the height of a capital in mm', () => {
    const { minY, maxY } = boundsOf(letter('H', { at: [10, 20], size: 2.5 }).loops.flat())
    expect(minY).toBeCloseTo(20, 6)
    expect(maxY).toBeCloseTo(22.5, 6)
  })

  test('text set in the middle and turned keeps its middle', () => {
    const straight = boundsOf(letter('HIH', { at: [50, 40], size: 2, anchor: 'middle' }).loops.flat())
    const upright = boundsOf(letter('HIH', { at: [50, 40], size: 2, anchor: 'middle', angle: 90 }).loops.flat())
    expect((straight.minX + straight.maxX) / 2).toBeCloseTo(50, 1)
    expect((straight.minY + straight.maxY) / 2).toBeCloseTo(40, 6)
    expect(upright.maxY - upright.minY).toBeCloseTo(straight.maxX - straight.minX, 6)
    expect((upright.minX + upright.maxX) / 2).toBeCloseTo(50, 6)
  })

  test('a character the font lacks is written as its code point, so that marks stay different', () => {
    const width = (text: string) => textWidth(text, 2)
    expect(width('中')).toBeCloseTo(width('‹4E2D›'), 9)
    expect(width('\u{1F6A2}')).toBeCloseTo(width('‹1F6A2›'), 9)
    expect(width('\uD800')).toBeCloseTo(width('‹D800›'), 9)
    expect(width('a\tb\n')).toBeCloseTo(width('a b '), 9)
    // A letter and its accent as two characters are the one the font has.
    expect(width('A\u0308')).toBeCloseTo(width('Ä'), 9)
  })

  test('a text that is too long keeps its beginning and its end', () => {
    const long = `WINGRIB-${'X'.repeat(10_000)}-P07`
    const short = shorten(long, 2, 30)
    expect(short).toMatch(/^WINGRIB-X*…X*-P07$/)
    expect(textWidth(short, 2)).toBeLessThanOrEqual(30)
    expect(shorten('WR-P07', 2, 30)).toBe('WR-P07')
    expect(shorten('WR-P07', 2, 0.1)).toBe('…')
  })

  test('reach is measured above and below the base line', () => {
    expect(measureText('HEX').above).toBeCloseTo(1, 6)
    expect(measureText('HEX').below).toBe(0)
    expect(measureText('gyp').below).toBeGreaterThan(0.2)
    expect(measureText('Ä').above).toBeGreaterThan(1.1)
  })
})
