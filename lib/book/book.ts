import type { Drawing } from '../sheet/drawing'

/** The build book as content, before it is laid out: the same for paper and for the screen. */
export interface Book {
  readonly title: string
  readonly subject: string
  readonly chapters: readonly Chapter[]
}

export interface Chapter {
  readonly title: string
  /** Path of the assembly it is about; undefined for the general ones. */
  readonly assembly?: string
  readonly blocks: readonly Block[]
}

export type Block =
  | { readonly kind: 'heading'; readonly text: string }
  | { readonly kind: 'text'; readonly text: string }
  /** What must not be overlooked: set in a frame. */
  | { readonly kind: 'caution'; readonly items: readonly string[] }
  /** Things to do, each with a box to tick. */
  | { readonly kind: 'steps'; readonly items: readonly string[] }
  | { readonly kind: 'table'; readonly columns: readonly Column[]; readonly rows: readonly (readonly Cell[])[] }
  | { readonly kind: 'drawing'; readonly drawing: Drawing; readonly caption: string }

export interface Column {
  readonly name: string
  /** Share of the breadth, against the other columns. */
  readonly share: number
}

/** A word, a small picture of a piece, an empty box to tick, or a blank to write in. */
export type Cell = string | { readonly picture: CellPicture } | { readonly box: true } | { readonly blank: true }

/** Lines of a piece about its own origin, mm at model size. */
export interface CellPicture {
  readonly cuts: readonly (readonly (readonly [number, number])[])[]
  readonly valleys: readonly (readonly (readonly [number, number])[])[]
  readonly mountains: readonly (readonly (readonly [number, number])[])[]
}
