/** Text as it stands in XML and HTML, between tags and within quoted values. */
export function markupText(text: string): string {
  return SPECIAL.test(text) ? text.replace(SPECIALS, (character) => ENTITIES[character]!) : text
}

// Most texts of a sheet are numbers: one look is enough for them.
const SPECIAL = /[&<>"]/
const SPECIALS = /[&<>"]/g
const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' }
