import { byDashes } from './dashes'
import { mm } from './digits'
import type { Lettering, Mark, PlacedGlyph, Stroke } from './drawing'
import { fontUnits } from './glyphs'
import type { PdfFonts, PdfGlyph } from './pdfFont'
import { PENS } from './pen'

/** Marks as the operators of a page's content, in mm, to 0.001 mm like every format. */
export function contentOf(marks: readonly Mark[], fonts: PdfFonts): string {
  // Joins are round, ends are flat, as in the SVG.
  return `1 j\n${marks.map((mark) => (mark.kind === 'stroke' ? strokeContent(mark) : letteringContent(mark, fonts))).join('')}`
}

function strokeContent(stroke: Stroke): string {
  const width = `${mm(PENS[stroke.role].width)} w`
  return byDashes(stroke)
    .map(({ dashes, lines }) => `${width} [${dashes}] 0 d\n${lines.map(path).join('')}S\n`)
    .join('')
}

function path({ points, closed }: Stroke['lines'][number]): string {
  let content = ''
  points.forEach(([x, y], i) => (content += `${mm(x)} ${mm(y)} ${i === 0 ? 'm' : 'l'}\n`))
  return closed ? `${content}h\n` : content
}

/**
 * The letters as text of the embedded font, each where the drawing has it: what a printer sees is what the SVG has as
 * outlines, and a reader can find and copy it. Where only part of a text is shown, it runs over several
 * lines or stands at an angle at which readers take letters for lines, the text is given beside it (ActualText, ISO 32000-1, 14.9.4).
 */
function letteringContent({ text, glyphs }: Lettering, fonts: PdfFonts): string {
  if (glyphs.length === 0) return ''
  const shown = glyphs.map(({ character }) => character).join('')
  const all = runs(glyphs, fonts)
  const content = `BT\n${all.map(runContent).join('')}ET\n`
  return shown === text && all.length === 1 && upright(glyphs[0]!) ? content : `/Span <</ActualText <${utf16(text)}>>> BDC\n${content}EMC\n`
}

function upright({ angle }: PlacedGlyph): boolean {
  return angle % 90 === 0
}

interface Run {
  readonly first: PlacedGlyph
  readonly glyphs: { readonly code: string; readonly advance: number; readonly at: PlacedGlyph['at'] }[]
  readonly font: string
}

/** Letters of one part of the font, one size and one direction, each straight after the other. */
function runs(glyphs: readonly PlacedGlyph[], fonts: PdfFonts): Run[] {
  const all: Run[] = []
  for (const placed of glyphs) {
    const glyph = glyphOf(placed, fonts)
    const last = all.at(-1)
    const same = last && last.font === glyph.font && last.first.size === placed.size && last.first.angle === placed.angle
    const run = same && inLine(last.first, placed) ? last : { first: placed, glyphs: [], font: glyph.font }
    if (run !== last) all.push(run)
    run.glyphs.push({ code: glyph.code, advance: glyph.advance, at: placed.at })
  }
  return all
}

/** @throws Error for a character that the font lacks: lettering writes those as their code point */
function glyphOf({ character }: PlacedGlyph, fonts: PdfFonts): PdfGlyph {
  const glyph = fonts.glyph(character)
  if (glyph) return glyph
  throw new Error(`the font has no "${character}"`)
}

function inLine({ at, angle }: PlacedGlyph, other: PlacedGlyph): boolean {
  const { cos, sin } = direction(angle)
  return Math.abs((other.at[1] - at[1]) * cos - (other.at[0] - at[0]) * sin) < 1e-6
}

function runContent({ first, glyphs, font }: Run): string {
  const { cos, sin } = direction(first.angle)
  const { body, capital } = fontUnits()
  const size = (first.size * body) / capital
  const codes = glyphs.map(({ code, advance, at }, i) => {
    const next = glyphs[i + 1]
    if (!next) return `<${code}>`
    const step = (next.at[0] - at[0]) * cos + (next.at[1] - at[1]) * sin
    const back = Math.round((advance - (step / size) * 1000) * 10) / 10
    return back === 0 ? `<${code}>` : `<${code}> ${back} `
  })
  const matrix = [cos, sin, -sin, cos].map((n) => Number(n.toFixed(6))).join(' ')
  const shown = codes.join('').replaceAll('><', '')
  return `/${font} ${Number(size.toFixed(4))} Tf ${matrix} ${mm(first.at[0])} ${mm(first.at[1])} Tm [${shown}] TJ\n`
}

function direction(angle: number): { cos: number; sin: number } {
  const radians = (angle * Math.PI) / 180
  return { cos: Math.cos(radians), sin: Math.sin(radians) }
}

/** A text string as hexadecimal digits, big-endian with its byte order mark. */
function utf16(text: string): string {
  const bytes = Buffer.from(`\uFEFF${text}`, 'utf16le')
  return bytes.swap16().toString('hex').toUpperCase()
}
