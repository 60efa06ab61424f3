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
  /** In the order they are built: by assembly as each is finished, then by family. */
  readonly pieces: readonly PagePiece[]
  readonly findings: readonly PageFinding[]
  /** Whether what is to be said of the fit is among the findings. */
  readonly fit: FitState
  readonly changes?: PageChanges
  readonly progress?: PageProgress
  /** Why what is shown is not what the source says now; absent where it is. */
  readonly stale?: string
}

/** `under way`: it is being looked at and comes later. `none`: the model could not be evaluated, or nobody asked. */
export type FitState = 'under way' | 'known' | 'none'

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
  /** Of its drawing: another for another drawing. */
  readonly digest: string
}

export interface PagePiece {
  readonly mark: string
  readonly family: string
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
  /** Its copies as they stand; absent where it has no place in space. */
  readonly solids?: PackedSolids
}

/** Where a copy or ply is cut: sheet, x, y, degrees. */
export type PagePlace = readonly [sheet: number, x: number, y: number, turn: number]

export interface PageFinding {
  readonly id: string
  readonly severity: Severity
  readonly text: string
  readonly remedy: string
  /** Pieces that it speaks of: first the one that it is about. */
  readonly pieces: readonly number[]
  /** What it speaks of when that is no piece that is there: a family, a mark that is gone. */
  readonly subject?: string
  /** On the flat piece. */
  readonly at?: readonly [number, number]
  /** Other pieces that it is as much about, and where on their flat. */
  readonly also?: readonly { readonly piece: number; readonly at?: readonly [number, number] }[]
  /** In the model. */
  readonly spot?: readonly [number, number, number]
  readonly site?: string
}

/** All copies of a piece as triangles, in one stretch of numbers. */
export interface PackedSolids {
  /** A corner is at `origin + step × its three numbers`. */
  readonly origin: readonly [number, number, number]
  readonly step: number
  /** Base64 of Uint16 triples. */
  readonly corners: string
  /** Base64 of Uint32 triples if `wide`, else of Uint16; corners counted within their solid. */
  readonly triangles: string
  readonly wide: boolean
  /** Two numbers a copy, in their order: corners, triangles. */
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

/**
 * What has changed from one edition of a page's data to the next, as it is sent to pages that are open. Pieces stand in it
 * by mark, whole.
 */
export interface PageDelta {
  /** The edition that it makes into the next. */
  readonly from: string
  /** Everything but the pieces: what is new or changed, and the names of what is there no longer. */
  readonly parts: Partial<Omit<PageData, 'pieces'>>
  readonly without: readonly string[]
  /** Marks of all pieces in their order; absent where these are as they were. */
  readonly marks?: readonly string[]
  /** Those that are new or changed. */
  readonly pieces: readonly PagePiece[]
}

/** Told to pages that are open: a model was built, or its fit was looked at. */
export interface PageNews {
  readonly model: string
  readonly title: string
  readonly edition: string
  /** How often it was built since the server began; the same where only more became known of the build. */
  readonly build: number
  /** Absent for the first edition. */
  readonly delta?: PageDelta
}

/** A model as a page asks for it. */
export interface ServedModel {
  readonly edition: string
  readonly build: number
  readonly data: PageData
}
