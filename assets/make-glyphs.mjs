/**
 * Writes assets/glyphs.json and copies the font it is made of, which PDFs embed. Opening and parsing the font costs about 80 ms at every start;
 * the table of the outlines it holds opens in one. Run it by hand after the font package changes:
 *
 *     node assets/make-glyphs.mjs
 *
 * Each glyph is `advance outline`: the advance and the coordinates are whole font units, y up; the outline is in the
 * path commands of SVG, relative (m, l, q, z). Kerning is by left glyph, then amount, then the right glyphs it is for.
 */
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const require = createRequire(import.meta.url)
const opentype = require('opentype.js')
const folder = dirname(fileURLToPath(import.meta.url))
const font = dirname(require.resolve('@fontsource/atkinson-hyperlegible/package.json'))

const parts = ['latin', 'latin-ext'].map((part) => {
  const file = join(font, 'files', `atkinson-hyperlegible-${part}-400-normal.woff`)
  copyFileSync(file, join(folder, `glyphs-${part}.woff`))
  const bytes = readFileSync(file)
  return opentype.parse(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length))
})
const [latin] = parts

const glyphs = {}
for (const part of parts) {
  if (part.unitsPerEm !== latin.unitsPerEm) throw new Error('the parts of the font are of different sizes')
  for (const code of Object.keys(part.tables.cmap.glyphIndexMap).map(Number)) {
    const glyph = part.charToGlyph(String.fromCodePoint(code))
    // Combining accents stand on no letter of their own; letters with accents are in the font ready made.
    if (code >= 0x300 && code < 0x370) continue
    glyphs[String.fromCodePoint(code)] ??= `${glyph.advanceWidth} ${outline(glyph.path.commands)}`.trim()
  }
}

const kerning = {}
const printable = Array.from({ length: 0x7f - 0x21 }, (_, i) => String.fromCodePoint(0x21 + i))
for (const left of printable) {
  const row = {}
  for (const right of printable) {
    const value = latin.getKerningValue(latin.charToGlyph(left), latin.charToGlyph(right))
    if (value) row[value] = (row[value] ?? '') + right
  }
  if (Object.keys(row).length > 0) kerning[left] = row
}

const { version } = JSON.parse(readFileSync(join(font, 'package.json'), 'utf8'))
const sorted = Object.fromEntries(Object.entries(glyphs).sort(([a], [b]) => a.codePointAt(0) - b.codePointAt(0)))
const table = {
  font: 'Atkinson Hyperlegible Regular',
  source: `@fontsource/atkinson-hyperlegible ${version}`,
  licence: 'SIL Open Font License 1.1, see glyphs-licence.txt',
  capHeight: latin.tables.os2.sCapHeight,
  glyphs: sorted,
  kerning,
}
writeFileSync(join(folder, 'glyphs.json'), JSON.stringify(table, undefined, 1) + '\n')
copyFileSync(join(font, 'LICENSE'), join(folder, 'glyphs-licence.txt'))

function outline(commands) {
  let [x, y] = [0, 0]
  let [startX, startY] = [0, 0]
  const relative = (...numbers) => numbers.map((n, i) => Math.round(n - (i % 2 ? y : x))).join(' ')
  let text = ''
  for (const command of commands) {
    if (command.type === 'Z') {
      text += 'z'
      ;[x, y] = [startX, startY]
      continue
    }
    // The font closes its curves with lines of no length.
    if (command.type === 'L' && Math.round(command.x) === x && Math.round(command.y) === y) continue
    if (command.type === 'M') {
      text += `m${relative(command.x, command.y)}`
      ;[startX, startY] = [Math.round(command.x), Math.round(command.y)]
    } else if (command.type === 'L') text += `l${relative(command.x, command.y)}`
    else if (command.type === 'Q') text += `q${relative(command.x1, command.y1, command.x, command.y)}`
    else throw new Error(`the font has a path command ${command.type}, which the table has no letter for`)
    ;[x, y] = [Math.round(command.x), Math.round(command.y)]
  }
  return text
}
