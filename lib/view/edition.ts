import { createHash } from 'node:crypto'
import type { PageData, PageDelta } from './data'

/** A page's data as text, with its parts, so that what has changed since another edition can be told. */
export interface Edition {
  /** The same for the same data. */
  readonly id: string
  readonly text: string
  /** JSON by name, the pieces left out. */
  readonly parts: ReadonlyMap<string, string>
  /** JSON by mark, in the order of pieces. */
  readonly pieces: ReadonlyMap<string, string>
}

export function editionOf({ pieces, ...rest }: PageData): Edition {
  const parts = new Map(Object.entries(rest).map(([name, part]) => [name, JSON.stringify(part)]))
  const texts = new Map(pieces.map((piece) => [piece.mark, JSON.stringify(piece)]))
  const named = [...parts].map(([name, json]) => `${JSON.stringify(name)}:${json}`)
  const text = `{${[...named, `"pieces":[${[...texts.values()].join(',')}]`].join(',')}}`
  return { id: createHash('sha256').update(text).digest('hex').slice(0, 16), text, parts, pieces: texts }
}

/** JSON of the {@link PageDelta} between two editions. */
export function deltaText(before: Edition, now: Edition): string {
  const changed = (old: ReadonlyMap<string, string>, list: ReadonlyMap<string, string>) =>
    [...list].filter(([name, json]) => old.get(name) !== json)
  const parts = changed(before.parts, now.parts).map(([name, json]) => `${JSON.stringify(name)}:${json}`)
  const without = [...before.parts.keys()].filter((name) => !now.parts.has(name))
  const marks = JSON.stringify([...now.pieces.keys()])
  const reordered = marks !== JSON.stringify([...before.pieces.keys()])
  const fields: Record<keyof PageDelta, string | undefined> = {
    from: JSON.stringify(before.id),
    parts: `{${parts.join(',')}}`,
    without: JSON.stringify(without),
    marks: reordered ? marks : undefined,
    pieces: `[${changed(before.pieces, now.pieces).map(([, json]) => json).join(',')}]`,
  }
  const present = Object.entries(fields).filter(([, json]) => json !== undefined)
  return `{${present.map(([name, json]) => `"${name}":${json}`).join(',')}}`
}
