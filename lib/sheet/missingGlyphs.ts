import type { Finding } from '../finding/finding'
import { resolveSite } from '../finding/site'
import type { Model } from '../model/model'
import { lacking } from './lettering'

/**
 * Words that go on sheets with a character that the font lacks, one finding for each. On a sheet it is written as its
 * code point, `‹4E2D›`; a document that embeds its font is refused.
 */
export function missingGlyphs(model: Model, embeds: boolean): Finding[] {
  const used = new Set(model.pieces.map(({ stock }) => stock))
  const stocks = [...model.stocks.values()].filter(({ id }) => used.has(id))
  return [
    ...findings(`the title "${model.title}"`, model.title, embeds),
    ...stocks.flatMap(({ id, title }) => findings(`the title of stock ${id}, "${title}",`, title, embeds)),
    ...model.pieces.flatMap((piece) => {
      const site = resolveSite(piece.site)
      const about = { mark: piece.mark, family: piece.family, ...(site && { site }) }
      const words = piece.texts.flatMap(({ text }) => findings(`its text "${text}"`, text, embeds))
      return [...findings('its mark', piece.mark, embeds), ...words].map((finding) => ({ ...finding, ...about }))
    }),
  ]
}

function findings(what: string, text: string, embeds: boolean): Finding[] {
  const missing = lacking(text)
  if (missing.length === 0) return []
  const listed = missing.map((character) => `"${character}" (${codePoint(character)})`).join(', ')
  const has = missing.length === 1 ? 'has the character' : 'has the characters'
  return [
    {
      id: 'missing-glyph',
      severity: embeds ? 'error' : 'warning',
      text: `${what} ${has} ${listed}, which the font of the sheets lacks`,
      remedy: 'write it in Latin letters; the font has those of European languages',
    },
  ]
}

function codePoint(character: string): string {
  return `U+${character.codePointAt(0)!.toString(16).toUpperCase().padStart(4, '0')}`
}
