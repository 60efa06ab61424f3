import { fontFiles } from './glyphs'
import type { EmbeddedFont, PdfKit } from './pdfDocument'

/** One character as the page's content names it. */
export interface PdfGlyph {
  /** Resource name of the font's part: `F1`. */
  readonly font: string
  /** Four hexadecimal digits. */
  readonly code: string
  /** To the next glyph, thousandths of the body size. */
  readonly advance: number
}

export interface PdfFonts {
  /** The glyph, with its font among those of the page at work; undefined for a character that the font lacks. */
  glyph(character: string): PdfGlyph | undefined
}

/** The bundled font, embedded as far as it is used. It comes in two parts; each character is taken from the one that has it. */
export function openFonts(pdf: PdfKit): PdfFonts {
  const parts: EmbeddedFont[] = []
  const glyphs = new Map<string, { glyph: PdfGlyph; part: EmbeddedFont }>()
  return {
    glyph(character) {
      let known = glyphs.get(character)
      if (!known) {
        if (parts.length === 0) parts.push(...load(pdf))
        const part = parts.find(({ font }) => font.hasGlyphForCodePoint(character.codePointAt(0)!))
        if (!part) return undefined
        const [[code]] = part.encode(character) as [[string], unknown]
        known = { glyph: { font: part.id, code, advance: part.widths[Number.parseInt(code, 16)]! }, part }
        glyphs.set(character, known)
      }
      pdf.page.fonts[known.part.id] ??= known.part.ref()
      return known.glyph
    },
  }
}

function load(pdf: PdfKit): EmbeddedFont[] {
  return fontFiles().map(({ name, bytes }) => {
    pdf.registerFont(name, bytes)
    pdf.font(name)
    return pdf['_font']
  })
}
