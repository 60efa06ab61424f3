/**
 * An id for a mark that XML 1.0 accepts as a name, different for different marks. Letters, digits and hyphens stay,
 * so that most marks are their own id. The `#` before the number of a copy becomes a dot, `_` is doubled, and anything
 * else is written `_hex_`: `WR-P07#2` is `WR-P07.2`, `A<B` is `A_3c_B`.
 */
export function xmlId(mark: string): string {
  const name = mark.replace(/[^A-Za-z0-9-]|^[0-9-]/gu, (character, offset: number) => {
    if (character === '_') return '__'
    // A name does not start with a dot, a digit or a hyphen.
    return character === '#' && offset > 0 ? '.' : `_${character.codePointAt(0)!.toString(16)}_`
  })
  return name || '_'
}

/** The text without what XML 1.0 cannot hold, even escaped: controls and halves of characters become `\uFFFD`. */
export function xmlText(text: string): string {
  return PLAIN.test(text) ? text : text.replace(IMPOSSIBLE, '\uFFFD')
}

/** Text that may stand in an element or between quotation marks, of XML and of HTML. */
export function xmlEscaped(text: string): string {
  return xmlText(text).replace(/[&<>"]/g, (character) => `&#${character.charCodeAt(0)};`)
}

const PLAIN = /^[\x20-\x7e]*$/

/** What is not a Char of XML 1.0, section 2.2. With `u` a lone surrogate is a character of its own. */
// oxlint-disable-next-line no-control-regex
const IMPOSSIBLE = /[\u0000-\u0008\u000B\u000C\u000E-\u001F\uD800-\uDFFF\uFFFE\uFFFF]/gu
