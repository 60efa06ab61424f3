type Child = Node | string | undefined | false

/** Properties by their DOM names; `aria-` and `data-` ones and SVG's are set as attributes. */
export type Attributes = Readonly<Record<string, unknown>>

/** An element with its children: text is text, never markup. */
export function el<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  attributes: Attributes = {},
  ...children: Child[]
): HTMLElementTagNameMap[Name] {
  const element = document.createElement(name)
  for (const [key, value] of Object.entries(attributes)) {
    if (value === undefined) continue
    if (key in element && !key.startsWith('aria-')) (element as unknown as Record<string, unknown>)[key] = value
    else element.setAttribute(key, String(value))
  }
  element.append(...present(children))
  return element
}

export function svg(name: string, attributes: Attributes = {}, ...children: Child[]): SVGElement {
  const element = document.createElementNS('http://www.w3.org/2000/svg', name)
  for (const [key, value] of Object.entries(attributes)) {
    if (value !== undefined) element.setAttribute(key, String(value))
  }
  element.append(...present(children))
  return element
}

/** Empties a place and fills it anew. */
export function fill(place: Element, ...children: Child[]): void {
  place.replaceChildren(...present(children))
}

export function plural(n: number, word: string): string {
  return `${n} ${word}${n === 1 ? '' : 's'}`
}

function present(children: readonly Child[]): (Node | string)[] {
  return children.filter((child): child is Node | string => child !== undefined && child !== false && child !== '')
}
