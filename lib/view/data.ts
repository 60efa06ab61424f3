import type { Severity } from '../finding/finding'

/**
 * What the page knows of a model: plain JSON, made by `documentOf`, read by the browser. Lengths in mm at model size.
 * Numbers that point at something are indices into the list of that name.
 */
export interface PageData {
  readonly name: string
  readonly title: string
  readonly scale: { readonly name: string; readonly ratio: number }
  /** Paths in build order: `wing`, `wing/ribs`. */
  readonly assemblies: readonly string[]
  readonly stocks: readonly PageStock[]
  readonly sheets: readonly PageSheet[]
  /** In build order: by assembly, then by mark. */
  readonly pieces: readonly PagePiece[]
  readonly findings: readonly PageFinding[]
  readonly solids: PackedSolids
  readonly changes?: PageChanges
  readonly progress?: PageProgress
  /** Why what is shown is not what the source says now; absent where it is. */
  readonly stale?: string
}

export interface PageStock {
  readonly id: string
  readonly title: string
  readonly thickness: number
}

export interface PageSheet {
  /** File name without its ending: `folder-01`. */
  readonly name: string
  readonly stock: number
  readonly width: number
  readonly height: number
}

export interface PagePiece {
  readonly mark: string
  readonly assembly: number
  readonly stock: number
  readonly plies: number
  readonly copies: number
  /** Degrees from the piece's x axis. */
  readonly grain?: number
  readonly reads: readonly string[]
  readonly notes: readonly string[]
  /** `parts/sandpiper/wing.ts:41` */
  readonly site?: string
  /** Grams, all copies. */
  readonly mass?: number
  readonly places: readonly PagePlace[]
  /** Outline and openings on the flat, base64 of Float32 pairs, and how many points each loop has. */
  readonly flat: string
  readonly loops: readonly number[]
  readonly findings: readonly number[]
  /** Whether a solid could be made: it has a place in space. */
  readonly stands: boolean
}

/** Where a copy or ply is cut: sheet, x, y, degrees. */
export type PagePlace = readonly [sheet: number, x: number, y: number, turn: number]

export interface PageFinding {
  readonly id: string
  readonly severity: Severity
  readonly text: string
  readonly remedy: string
  /** Piece, where it speaks of one. */
  readonly piece?: number
  /** What it speaks of when that is no piece that is there: a family, a mark that is gone. */
  readonly subject?: string
  /** On the flat piece. */
  readonly at?: readonly [number, number]
  readonly site?: string
}

/** Every copy of every piece as triangles, in one stretch of numbers. */
export interface PackedSolids {
  /** A corner is at `origin + step × its three numbers`. */
  readonly origin: readonly [number, number, number]
  readonly step: number
  /** Base64 of Uint16 triples. */
  readonly corners: string
  /** Base64 of Uint32 triples if `wide`, else of Uint16; corners counted within their solid. */
  readonly triangles: string
  readonly wide: boolean
  /** Four numbers a solid: piece, copy (from 1), corners, triangles. */
  readonly list: readonly number[]
}

export interface PageChanges {
  /** What the pieces are compared with: `the last commit`. */
  readonly since: string
  /** Kind and reason, by piece; one that has not changed is not in it. */
  readonly pieces: readonly PageChange[]
  /** Marks that are there no longer. */
  readonly gone: readonly string[]
}

export interface PageChange {
  readonly piece: number
  readonly kind: string
  readonly text: string
}

export interface PageProgress {
  /** States in the order of work: `printed`, `cut`, …; the first is that of a piece nobody has touched. */
  readonly states: readonly string[]
  /** Index into the states, by piece. */
  readonly pieces: readonly number[]
}
